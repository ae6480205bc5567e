"""The room: what pretend people do in it, and the updates the bot gets to see of that."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.rehearsal.entities import found_entities
from bot.rehearsal.errors import NotPossible
from bot.rehearsal.files import DOT_PNG, StoredFile, Upload
from bot.rehearsal.people import (
    ANONYMOUS_ADMIN,
    CHANNEL_WRITER,
    Chat,
    Group,
    Json,
    Person,
    PrivateChat,
    Status,
    as_chat_member,
)
from bot.rehearsal.stage import Place, Press, Stage


class Room(Stage):
    """A rehearsal's chats with people in them. Not thread-safe: use it on the server's loop."""

    def say(
        self,
        person: Person,
        place: Place,
        text: str = "",
        *,
        caption: str | None = None,
        photo: bytes | None = None,
        document: Upload | None = None,
        reply_to: int | None = None,
        thread_id: int | None = None,
        sender_chat: Group | Json | None = None,
        via_bot: Json | None = None,
        fields: Mapping[str, Any] | None = None,
    ) -> Json:
        """Let a person write, and queue the update if the bot may see it.

        Args:
            person: Who writes; must be in that chat.
            place: A group, or a person: their private talk with the bot.
            text: May be empty when there is a caption.
            caption: Under a photo (a grey dot unless `photo` is given) or a document.
            photo: Bytes of a PNG or JPEG.
            document: Any file.
            reply_to: Number of a message in the same chat.
            thread_id: The topic, in a group that has topics.
            sender_chat: The same group for an administrator without a name, or a channel's Chat.
            via_bot: User of the bot through which it was written.
            fields: More Bot API fields of the message, such as `forward_origin`.

        Raises:
            NotPossible: The person is not in that chat, or the message answered is not there.
        """
        chat = self.chat(place)
        self._require_inside(person, chat)
        content: Json = {}
        if caption is not None or photo or document:
            content.update(self._file_content(photo, document))
            if beside := caption or text:  # the platform sends no empty caption
                content.update(_marked("caption", beside))
        else:
            content.update(_marked("text", text))
        if reply_to is not None:
            self._message(chat, reply_to)
            content.update(self.reply_content(chat, reply_to))
        if thread_id is not None:
            content.update({"message_thread_id": thread_id, "is_topic_message": True})
        if via_bot is not None:
            content["via_bot"] = via_bot
        sender = person.as_user()
        if isinstance(sender_chat, Group):
            sender = dict(ANONYMOUS_ADMIN)
            content["sender_chat"] = sender_chat.as_chat()
        elif sender_chat is not None:
            sender = dict(CHANNEL_WRITER)
            content["sender_chat"] = dict(sender_chat)
        message = self.new_message(chat, sender, {**content, **(fields or {})})
        if self._bot_sees(chat, message):
            self.updates_for("message", message)
        return message

    def edit(self, person: Person, place: Place, message_id: int, text: str) -> Json:
        """Let a person change the text or caption of their own message.

        Raises:
            NotPossible: There is no such message of theirs.
        """
        chat = self.chat(place)
        message = self._message(chat, message_id)
        if message["from"]["id"] != person.user_id:
            raise NotPossible(f"message {message_id} is not from {person.first_name}")
        what = "text" if "text" in message else "caption"
        changed = {key: value for key, value in message.items() if not key.endswith("entities")}
        changed.update({**_marked(what, text), "edit_date": self.now_s()})
        chat.talk.messages[message_id] = changed
        self.show(chat, message_id)
        if self._bot_sees(chat, changed):
            self.updates_for("edited_message", changed)
        return changed

    def erase(self, person: Person, place: Place, message_id: int) -> None:
        """Let a person delete their own message: the bot is not told."""
        chat = self.chat(place)
        if self._message(chat, message_id)["from"]["id"] != person.user_id:
            raise NotPossible(f"message {message_id} is not from {person.first_name}")
        self.remove(chat, message_id)

    def press(self, person: Person, place: Place, message_id: int, callback_data: str) -> str:
        """Let a person press a button and give the query's id.

        Raises:
            NotPossible: That message has no such button, or the person is not in the chat.
        """
        chat = self.chat(place)
        self._require_inside(person, chat)
        message = self._message(chat, message_id)
        rows = message.get("reply_markup", {}).get("inline_keyboard", [])
        offered = [button.get("callback_data") for row in rows for button in row]
        if callback_data not in offered:
            raise NotPossible(f"message {message_id} has no button {callback_data!r}: {offered}")
        query_id = str(8_000_000_001 + len(self.presses))
        self.presses[query_id] = Press(person.user_id, self.clock())
        query = {
            "id": query_id,
            "from": person.as_user(),
            "message": message,
            "chat_instance": str(abs(chat.chat_id)),
            "data": callback_data,
        }
        self.updates_for("callback_query", query)
        return query_id

    def react(self, person: Person, place: Place, message_id: int, *emoji: str) -> None:
        """Let a person react; without emoji the reaction is taken back."""
        chat = self.chat(place)
        self._require_inside(person, chat)
        self._message(chat, message_id)
        of_message = chat.talk.reactions.setdefault(message_id, {})
        before = of_message.get(person.user_id, [])
        of_message[person.user_id] = list(emoji)
        self.show(chat, message_id)
        if isinstance(chat, Group) and not chat.bot_status.is_admin:
            return
        reaction = {
            "chat": chat.as_chat(),
            "message_id": message_id,
            "user": person.as_user(),
            "date": self.now_s(),
            "old_reaction": [{"type": "emoji", "emoji": one} for one in before],
            "new_reaction": [{"type": "emoji", "emoji": one} for one in emoji],
        }
        self.updates_for("message_reaction", reaction)

    def start_private(self, person: Person, payload: str = "") -> Json:
        """Let a person press Start, which also ends a block."""
        was_blocked, person.has_blocked = person.has_blocked, False
        person.has_started = True
        if was_blocked:
            self._bot_status_changed(
                self.chat(person), person, before=Status.KICKED, after=Status.MEMBER
            )
        self.live.tell("who")
        return self.say(person, person, f"/start {payload}".strip())

    def block(self, person: Person) -> None:
        """Let a person block the bot."""
        person.has_blocked = True
        self._bot_status_changed(
            self.chat(person), person, before=Status.MEMBER, after=Status.KICKED
        )
        self.live.tell("who")

    def invite_bot(
        self, person: Person, group: Group, status: Status | str = Status.MEMBER
    ) -> None:
        """Let a person put the bot into a group, or change what it is there."""
        before, group.bot_status = group.bot_status, Status(status)
        self._bot_status_changed(group, person, before=before, after=group.bot_status)
        if group.bot_status.is_inside and not before.is_inside:
            news = {"new_chat_members": [self.bot.as_user()]}
            self.updates_for("message", self.new_message(group, person.as_user(), news))

    def kick_bot(self, group: Group, by: Person | None = None) -> None:
        """Let somebody (the creator, unless named) throw the bot out."""
        admins = self.admins(group)
        who = by or (admins[0] if admins else Person(1, "Nobody"))
        before, group.bot_status = group.bot_status, Status.KICKED
        self._bot_status_changed(group, who, before=before, after=Status.KICKED)

    def join(self, person: Person, group: Group, status: Status | str = Status.MEMBER) -> None:
        """Let a person come into a group, or change what they are there."""
        before = group.status_of(person.user_id)
        self.put_in_group(person, group, status)
        self._member_changed(person, group, before)
        if not before.is_inside:
            news = {"new_chat_members": [person.as_user()]}
            self._service_message(group, person, news)

    def leave(self, person: Person, group: Group) -> None:
        """Let a person go out of a group."""
        before = group.status_of(person.user_id)
        self.put_in_group(person, group, Status.LEFT)
        self._member_changed(person, group, before)
        self._service_message(group, person, {"left_chat_member": person.as_user()})

    def upgrade(self, group: Group, by: Person) -> Group:
        """Turn a basic group into a supergroup with a new id; both chats tell of it."""
        if group.kind != "group" or group.moved_to is not None:
            raise NotPossible(f"{group.title} is no basic group (any more)")
        after = self.add_group(group.title, bot_status=group.bot_status)
        after.members.update(group.members)
        self._service_message(group, by, {"migrate_to_chat_id": after.chat_id})
        self._service_message(after, by, {"migrate_from_chat_id": group.chat_id})
        group.moved_to = after.chat_id
        return after

    def queue_update(self, update: Mapping[str, Any]) -> Json:
        """Queue a raw update, whatever was asked for: repeats, unknown kinds."""
        return self.updates.add(dict(update))

    def updates_for(self, kind: str, content: Json) -> None:
        """Queue an update unless the bot did not ask for its kind."""
        if self.updates.wants(kind):
            self.updates.add({kind: content})

    def _bot_sees(self, chat: Chat, message: Json) -> bool:
        """Tell whether the platform hands the bot what somebody wrote.

        Source: Bot features, "Privacy mode": without it a bot that is no administrator gets
        commands and replies to its own messages. Other bots' messages it never gets.
        """
        sender = self.people.get(message["from"]["id"])
        if sender is not None and sender.is_bot:
            return False
        if isinstance(chat, PrivateChat):
            return True
        if not chat.bot_status.is_inside:
            return False
        if self.can_read_all_group_messages or chat.bot_status.is_admin:
            return True
        is_reply = message.get("reply_to_message", {}).get("from", {}).get("id")
        marks = message.get("entities", []) + message.get("caption_entities", [])
        return is_reply == self.bot.user_id or any(mark["type"] == "bot_command" for mark in marks)

    def _service_message(self, group: Group, person: Person, news: Json) -> None:
        message = self.new_message(group, person.as_user(), news)
        if group.bot_status.is_inside:
            self.updates_for("message", message)

    def _member_changed(self, person: Person, group: Group, before: Status) -> None:
        if group.bot_status.is_admin:
            change = self._status_change(
                group, person, person, before=before, after=group.status_of(person.user_id)
            )
            self.updates_for("chat_member", change)

    def _bot_status_changed(
        self, chat: Chat, by: Person, *, before: Status, after: Status
    ) -> None:
        change = self._status_change(chat, by, self.bot, before=before, after=after)
        self.updates_for("my_chat_member", change)

    def _status_change(
        self, chat: Chat, by: Person, whose: Person, *, before: Status, after: Status
    ) -> Json:
        return {
            "chat": chat.as_chat(),
            "from": by.as_user(),
            "date": self.now_s(),
            "old_chat_member": as_chat_member(whose.as_user(), before),
            "new_chat_member": as_chat_member(whose.as_user(), after),
        }

    def _message(self, chat: Chat, message_id: int) -> Json:
        message = chat.talk.messages.get(message_id)
        if message is None:
            raise NotPossible(f"no message {message_id} stands in chat {chat.chat_id}")
        return message

    def _require_inside(self, person: Person, chat: Chat) -> None:
        if isinstance(chat, Group):
            if not chat.status_of(person.user_id).is_inside:
                raise NotPossible(f"{person.first_name} is not in {chat.title}")
        elif chat.person is not person:
            raise NotPossible(f"{person.first_name} cannot write in another person's talk")
        elif not person.has_started or person.has_blocked:
            raise NotPossible(f"{person.first_name} has not started the talk with the bot")

    def _file_content(self, photo: bytes | None, document: Upload | None) -> Json:
        stored: StoredFile
        if document is not None:
            stored = self.files.add_document(document)
        else:
            stored = self.files.add_photo(Upload("photo.png", photo or DOT_PNG, "image/png"))
        return stored.as_message_part()


def _marked(what: str, text: str) -> Json:
    marks = found_entities(text)
    name = "entities" if what == "text" else "caption_entities"
    return {what: text, name: marks} if marks else {what: text}
