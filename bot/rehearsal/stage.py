"""What a room holds: its people, chats, files and queues, and the rules of who may write where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, NamedTuple

from bot.rehearsal.clock import MovableClock
from bot.rehearsal.errors import NotPossible, Refused, bad_request
from bot.rehearsal.faults import Fault, FaultKind, Faults
from bot.rehearsal.files import FileStore
from bot.rehearsal.limits import SendingLimits
from bot.rehearsal.live import Live
from bot.rehearsal.people import Chat, Group, Json, Person, PrivateChat, Status
from bot.rehearsal.updates import UpdateQueue

Place = Chat | Person | int  # where a call may point: a chat, a person's private talk, or an id

_FIRST_SUPERGROUP: Final = -1_000_000_000_000  # Bot API, Chat: supergroup ids are below this
_TOKEN: Final = "700100:rehearsal-only-never-leaves-this-machine"  # noqa: S105 - opens nothing


class Call(NamedTuple):
    """One call of the bot, as it arrived."""

    method: str
    params: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Toast:
    """An answered press, as the person sees it; an empty text shows nothing."""

    query_id: str
    user_id: int
    text: str
    is_alert: bool


@dataclass(slots=True)
class Press:
    """A press of a button that waits for its answer."""

    user_id: int
    pressed_at: datetime
    is_answered: bool = False


class Stage:
    """The state of a rehearsal. `Room` adds what people do in it.

    Args:
        clock: Gives the present instant, aware, UTC.
        zone: IANA name of the zone in which the page shows times.
        enforce_limits: True refuses sending beyond the platform's rates, by `clock`.
    """

    def __init__(
        self,
        clock: MovableClock,
        *,
        token: str = _TOKEN,
        bot_username: str = "rungbell_rehearsal_bot",
        bot_name: str = "Rungbell",
        can_read_all_group_messages: bool = True,
        zone: str = "UTC",
        enforce_limits: bool = False,
    ) -> None:
        self.clock = clock
        self.token = token
        self.zone = zone
        self.can_read_all_group_messages = can_read_all_group_messages
        self.enforce_limits = enforce_limits
        self.bot = Person(int(token.partition(":")[0]), bot_name, bot_username, is_bot=True)
        self.people: dict[int, Person] = {}
        self.chats: dict[int, Chat] = {}
        self.files = FileStore()
        self.updates = UpdateQueue()
        self.faults = Faults()
        self.no_voice: set[int] = set()  # chats that take no voice messages
        self.limits = SendingLimits()
        self.live = Live()
        self.calls: list[Call] = []  # everything but getUpdates, whether it went well or not
        self.presses: dict[str, Press] = {}
        self.toasts: list[Toast] = []
        self.menus: dict[tuple[str, str], list[Json]] = {}  # commands by (scope, language)
        self.profile: dict[tuple[str, str], str] = {}  # texts by (which, language)
        self.is_logged_out = False

    def add_person(
        self,
        first_name: str,
        *,
        language_code: str | None = None,
        username: str | None = None,
        person_id: int | None = None,
        is_bot: bool = False,
    ) -> Person:
        """Invent a person; the private talk with the bot stays closed until they start it."""
        user_id = person_id or 5001 + len(self.people)
        person = Person(user_id, first_name, username, language_code, is_bot=is_bot)
        self.people[person.user_id] = person
        self.chats[person.user_id] = PrivateChat(person)
        self.live.tell("who")
        return person

    def add_group(
        self,
        title: str,
        *,
        bot_status: Status | str = Status.ADMINISTRATOR,
        topics: Mapping[int, str] | None = None,
        is_basic: bool = False,
        chat_id: int | None = None,
    ) -> Group:
        """Open a group that has the bot in it already, so no update tells of it."""
        number = sum(isinstance(chat, Group) for chat in self.chats.values()) + 1
        usual_id = -4000 - number if is_basic else _FIRST_SUPERGROUP - 7000 - number
        group = Group(
            chat_id or usual_id,
            title,
            kind="group" if is_basic else "supergroup",
            bot_status=Status(bot_status),
            topics=dict(topics or {}),
        )
        self.chats[group.chat_id] = group
        self.live.tell("who")
        return group

    def put_in_group(
        self, person: Person, group: Group, status: Status | str = Status.MEMBER
    ) -> None:
        """Set the scene: a person is in a group as if always so. `join` is the event."""
        group.members[person.user_id] = Status(status)
        self.live.tell("who")

    def answer_next(
        self,
        method: str,
        *,
        status: int,
        description: str,
        parameters: Mapping[str, Any] | None = None,
        times: int = 1,
    ) -> None:
        """Refuse the next calls of a method with exactly this; nothing is carried out."""
        fault = Fault(FaultKind.REFUSED, status, description, parameters or {})
        self.faults.plan(method, fault, times=times)

    def garble_next(self, method: str, *, carried_out: bool = False, times: int = 1) -> None:
        """Answer the next calls of a method with something that is no JSON."""
        fault = Fault(FaultKind.GARBLED, carried_out=carried_out)
        self.faults.plan(method, fault, times=times)

    def drop_next(self, method: str, *, carried_out: bool = False, times: int = 1) -> None:
        """Break the connection in the middle of the next answers of a method."""
        fault = Fault(FaultKind.DROPPED, carried_out=carried_out)
        self.faults.plan(method, fault, times=times)

    def calls_of(self, method: str) -> list[dict[str, Any]]:
        """Give the parameters of all calls of one method so far, oldest first."""
        return [call.params for call in self.calls if call.method == method]

    def chat(self, place: Place) -> Chat:
        """Find the chat meant by a chat, a person (their private talk) or an id.

        Raises:
            NotPossible: There is no such chat.
        """
        if isinstance(place, Group | PrivateChat):
            return place
        chat_id = place.user_id if isinstance(place, Person) else place
        found = self.chats.get(chat_id)
        if found is None:
            raise NotPossible(f"no chat has the id {chat_id}")
        return found

    def messages(self, place: Place) -> list[Json]:
        """Give what stands in a chat, oldest first; deleted messages are gone."""
        return list(self.chat(place).talk.messages.values())

    def chat_for_bot(self, chat_id: int, *, to_write: bool = True) -> Chat:
        """Find a chat for a call of the bot.

        Args:
            chat_id: As the bot gave it.
            to_write: False is enough for asking about a person who never started the bot.

        Raises:
            Refused: 400 for an unknown or upgraded chat, 403 where the bot is not (any more).
        """
        chat = self.chats.get(chat_id)
        if chat is None:
            raise bad_request("chat not found")
        if isinstance(chat, Group):
            if chat.moved_to is not None:
                raise Refused(
                    400,
                    "group chat was upgraded to a supergroup chat",
                    parameters={"migrate_to_chat_id": chat.moved_to},
                )
            if chat.bot_status is Status.KICKED:
                raise Refused(403, f"bot was kicked from the {chat.kind} chat")
            if not chat.bot_status.is_inside:
                raise Refused(403, f"bot is not a member of the {chat.kind} chat")
        elif to_write and chat.person.has_blocked:
            raise Refused(403, "bot was blocked by the user")
        elif to_write and not chat.person.has_started:
            raise Refused(403, "bot can't initiate conversation with a user")
        return chat

    def new_message(self, chat: Chat, sender: Json, content: Mapping[str, Any]) -> Json:
        """Write a message into a chat and show it."""
        message: Json = {
            "message_id": chat.talk.next_message_id(),
            "from": sender,
            "chat": chat.as_chat(),
            "date": self.now_s(),
            **content,
        }
        chat.talk.messages[message["message_id"]] = message
        self.show(chat, message["message_id"])
        return message

    def show(self, chat: Chat, message_id: int) -> None:
        """Tell onlookers that a message is new or has changed."""
        self.live.tell("message", chat_id=chat.chat_id, message_id=message_id)

    def remove(self, chat: Chat, message_id: int) -> None:
        """Take a message away; no update tells of it, as on the platform."""
        del chat.talk.messages[message_id]
        chat.talk.reactions.pop(message_id, None)
        if message_id in chat.talk.pinned:
            chat.talk.pinned.remove(message_id)
        self.live.tell("gone", chat_id=chat.chat_id, message_id=message_id)

    def reply_content(self, chat: Chat, message_id: int) -> Json:
        """Build what a message carries when it answers another one of the same chat."""
        answered = chat.talk.messages[message_id]
        kept = {key: value for key, value in answered.items() if key != "reply_to_message"}
        return {"reply_to_message": kept}

    def now_s(self) -> int:
        """Give the present instant in whole seconds since 1970."""
        return int(self.clock().timestamp())

    def pick_up(self) -> None:
        """Start taking calls, also again after `hang_up`."""
        self.updates.pick_up()

    def hang_up(self) -> None:
        """End everything that waits, for the server to close."""
        self.updates.hang_up()
        self.live.hang_up()

    def admins(self, group: Group) -> Sequence[Person]:
        """Give the people who are administrators, creator first; other bots are left out."""
        people = [self.people[user_id] for user_id, s in group.members.items() if s.is_admin]
        return sorted(
            (person for person in people if not person.is_bot),
            key=lambda person: group.members[person.user_id] is not Status.CREATOR,
        )
