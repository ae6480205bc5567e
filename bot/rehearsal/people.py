"""Who and where: pretend people, the bot itself, groups and private talks."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Final

Json = dict[str, Any]

# Bot API server: fixed senders shown for people who write without their own name.
ANONYMOUS_ADMIN: Final[Json] = {
    "id": 1087968824,
    "is_bot": True,
    "first_name": "Group",
    "username": "GroupAnonymousBot",
}
CHANNEL_WRITER: Final[Json] = {
    "id": 136817688,
    "is_bot": True,
    "first_name": "Channel",
    "username": "Channel_Bot",
}


class Status(StrEnum):
    """What somebody is in a group."""

    CREATOR = "creator"
    ADMINISTRATOR = "administrator"
    MEMBER = "member"
    LEFT = "left"
    KICKED = "kicked"

    @property
    def is_inside(self) -> bool:
        """Tell whether this is somebody in the group."""
        return self not in (Status.LEFT, Status.KICKED)

    @property
    def is_admin(self) -> bool:
        """Tell whether the platform counts this as an administrator."""
        return self in (Status.CREATOR, Status.ADMINISTRATOR)


@dataclass(slots=True, eq=False)
class Person:
    """Somebody who talks in the room; `is_bot` marks another bot."""

    user_id: int
    first_name: str
    username: str | None = None
    language_code: str | None = None
    is_bot: bool = False
    has_started: bool = False  # the private talk with the bot is open
    has_blocked: bool = False

    def as_user(self) -> Json:
        """Give the Bot API User."""
        user: Json = {"id": self.user_id, "is_bot": self.is_bot, "first_name": self.first_name}
        if self.username:
            user["username"] = self.username
        if self.language_code:
            user["language_code"] = self.language_code
        return user


@dataclass(slots=True, eq=False)
class Talk:
    """What one chat holds: messages by number, reactions, pins. Numbers count from 1."""

    messages: dict[int, Json] = field(default_factory=dict)
    reactions: dict[int, dict[int, list[str]]] = field(
        default_factory=dict
    )  # message, user, emoji
    pinned: list[int] = field(default_factory=list)  # oldest first
    last_message_id: int = 0

    def next_message_id(self) -> int:
        """Take the next number; a deleted one is never used again."""
        self.last_message_id += 1
        return self.last_message_id


@dataclass(slots=True, eq=False)
class PrivateChat:
    """The talk of one person with the bot; its id is the person's."""

    person: Person
    talk: Talk = field(default_factory=Talk)

    @property
    def chat_id(self) -> int:
        """Give the chat's id."""
        return self.person.user_id

    def as_chat(self) -> Json:
        """Give the Bot API Chat."""
        chat: Json = {
            "id": self.chat_id,
            "type": "private",
            "first_name": self.person.first_name,
        }
        if self.person.username:
            chat["username"] = self.person.username
        return chat


@dataclass(slots=True, eq=False)
class Group:
    """A group with its members; `kind` is "supergroup" or "group" (the basic sort)."""

    chat_id: int
    title: str
    kind: str = "supergroup"
    members: dict[int, Status] = field(default_factory=dict)  # people by id, the bot is apart
    bot_status: Status = Status.ADMINISTRATOR
    topics: dict[int, str] = field(default_factory=dict)  # thread id to name
    allowed_reactions: frozenset[str] | None = None  # None: all
    moved_to: int | None = None  # the supergroup this basic group became
    talk: Talk = field(default_factory=Talk)

    def as_chat(self) -> Json:
        """Give the Bot API Chat."""
        chat: Json = {"id": self.chat_id, "type": self.kind, "title": self.title}
        if self.topics:
            chat["is_forum"] = True
        return chat

    def status_of(self, user_id: int) -> Status:
        """Give a person's status; somebody unknown here has left."""
        return self.members.get(user_id, Status.LEFT)


Chat = PrivateChat | Group


def as_chat_member(user: Json, status: Status) -> Json:
    """Give the Bot API ChatMember; an administrator of a rehearsal may do everything we use."""
    member: Json = {"user": user, "status": str(status)}
    if status is Status.CREATOR:
        return {**member, "is_anonymous": False}
    if status is Status.KICKED:
        return {**member, "until_date": 0}
    if status is Status.ADMINISTRATOR:
        rights = dict.fromkeys(
            (
                "can_manage_chat",
                "can_delete_messages",
                "can_manage_video_chats",
                "can_restrict_members",
                "can_promote_members",
                "can_change_info",
                "can_invite_users",
                "can_post_stories",
                "can_edit_stories",
                "can_delete_stories",
                "can_pin_messages",
                "can_manage_topics",
            ),
            True,
        )
        return {**member, "can_be_edited": False, "is_anonymous": False, **rights}
    return member
