"""Methods about messages that already stand: edit, delete, answer a press, react, pin."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Annotated, Final

from bot.rehearsal.entities import TEXT_LIMIT
from bot.rehearsal.errors import bad_request
from bot.rehearsal.method import Method, by_name
from bot.rehearsal.people import Chat, Group, Json
from bot.rehearsal.room import Room
from bot.rehearsal.sending import read_text
from bot.rehearsal.shapes import (
    REACTIONS,
    AsJson,
    Boolean,
    ChatNumber,
    Integer,
    Keyboard,
    LinkPreview,
    Mark,
    Reaction,
    Shape,
)
from bot.rehearsal.stage import Toast

_DELETE_WITHIN: Final = timedelta(hours=48)  # Bot API, deleteMessage
_ANSWER_WITHIN: Final = timedelta(seconds=150)  # Bot API server keeps a press that long
_TOAST_LIMIT: Final = 200  # Bot API, answerCallbackQuery
_CONTENT: Final = {
    "text",
    "photo",
    "voice",
    "document",
    "caption",
    "sticker",
}  # what is no service message
_NOT_MODIFIED: Final = (
    "message is not modified: specified new message content and reply markup are exactly the "
    "same as a current content and reply markup of the message"
)
_TOO_OLD: Final = "query is too old and response timeout expired or query ID is invalid"


class _OneMessage(Shape):
    chat_id: ChatNumber
    message_id: Integer


class EditMessageText(_OneMessage):
    """Parameters of editMessageText."""

    text: str
    parse_mode: str | None = None
    entities: Annotated[list[Mark] | None, AsJson] = None
    link_preview_options: Annotated[LinkPreview | None, AsJson] = None
    reply_markup: Annotated[Keyboard | None, AsJson] = None


class EditMessageReplyMarkup(_OneMessage):
    """Parameters of editMessageReplyMarkup."""

    reply_markup: Annotated[Keyboard | None, AsJson] = None


class DeleteMessage(_OneMessage):
    """Parameters of deleteMessage."""


class SetMessageReaction(_OneMessage):
    """Parameters of setMessageReaction."""

    reaction: Annotated[tuple[Reaction, ...], AsJson] = ()
    is_big: Boolean | None = None


class PinChatMessage(_OneMessage):
    """Parameters of pinChatMessage."""

    disable_notification: Boolean | None = None


class UnpinChatMessage(Shape):
    """Parameters of unpinChatMessage."""

    chat_id: ChatNumber
    message_id: Integer | None = None


class AnswerCallbackQuery(Shape):
    """Parameters of answerCallbackQuery."""

    callback_query_id: str
    text: str = ""
    show_alert: Boolean = False
    cache_time: Integer | None = None


def edit_message_text(room: Room, edit: EditMessageText) -> Json:
    """Put another text into a message of the bot; without markup its keys go."""
    chat, message = _own_message(room, edit)
    if "text" not in message:
        raise bad_request("there is no text in the message to edit")
    text, entities = read_text(
        edit.text, edit.parse_mode, edit.entities, limit=TEXT_LIMIT, what="message"
    )
    if not text:
        raise bad_request("message text is empty")
    content: Json = {"text": text}
    if entities:
        content["entities"] = entities
    if edit.reply_markup:
        content.update(edit.reply_markup.as_content())
    return _change(room, chat, message, content, gone=("text", "entities", "reply_markup"))


def edit_message_reply_markup(room: Room, edit: EditMessageReplyMarkup) -> Json:
    """Put other keys under a message of the bot, or none."""
    chat, message = _own_message(room, edit)
    content = edit.reply_markup.as_content() if edit.reply_markup else {}
    return _change(room, chat, message, content, gone=("reply_markup",))


def delete_message(room: Room, which: DeleteMessage) -> bool:
    """Delete a message: its own, or as an administrator; not after 48 hours."""
    chat, message = _message(room, which, "message to delete not found")
    is_own = message["from"]["id"] == room.bot.user_id
    if isinstance(chat, Group) and not is_own and not chat.bot_status.is_admin:
        raise bad_request("message can't be deleted")
    written_at = datetime.fromtimestamp(message["date"], UTC)
    if room.clock() - written_at > _DELETE_WITHIN:
        raise bad_request("message can't be deleted for everyone")
    room.remove(chat, which.message_id)
    return True


def answer_callback_query(room: Room, answer: AnswerCallbackQuery) -> bool:
    """End the waiting of a person who pressed a key, maybe with a short text."""
    press = room.presses.get(answer.callback_query_id)
    now = room.clock()
    if press is None or press.is_answered or now - press.pressed_at > _ANSWER_WITHIN:
        raise bad_request(_TOO_OLD)
    if len(answer.text) > _TOAST_LIMIT:
        raise bad_request("MESSAGE_TOO_LONG")
    press.is_answered = True
    toast = Toast(answer.callback_query_id, press.user_id, answer.text, answer.show_alert)
    room.toasts.append(toast)
    room.live.tell("toast", user_id=toast.user_id, text=toast.text, is_alert=toast.is_alert)
    return True


def set_message_reaction(room: Room, which: SetMessageReaction) -> bool:
    """React with one emoji that the platform and the group allow, or take the reaction back."""
    chat, message = _message(room, which, "message to react not found")
    if len(which.reaction) > 1:
        raise bad_request("REACTIONS_TOO_MANY")
    emoji = [reaction.emoji or "" for reaction in which.reaction]
    allowed = chat.allowed_reactions if isinstance(chat, Group) else None
    if not (REACTIONS if allowed is None else REACTIONS & allowed).issuperset(emoji):
        raise bad_request("REACTION_INVALID")
    if not _CONTENT.intersection(message):
        raise bad_request("REACTION_INVALID")  # a service message
    chat.talk.reactions.setdefault(which.message_id, {})[room.bot.user_id] = emoji
    room.show(chat, which.message_id)
    return True


def pin_chat_message(room: Room, which: PinChatMessage) -> bool:
    """Pin a message; in a group only as an administrator. A service message tells of it."""
    chat, message = _message(room, which, "message to pin not found")
    _require_pin_right(chat)
    if which.message_id in chat.talk.pinned:
        return True
    chat.talk.pinned.append(which.message_id)
    kept = {key: value for key, value in message.items() if key != "reply_to_message"}
    room.new_message(chat, room.bot.as_user(), {"pinned_message": kept})
    room.show(chat, which.message_id)
    return True


def unpin_chat_message(room: Room, which: UnpinChatMessage) -> bool:
    """Unpin a message, or the latest pinned one."""
    chat = room.chat_for_bot(which.chat_id)
    _require_pin_right(chat)
    message_id = which.message_id
    if message_id is None and chat.talk.pinned:
        message_id = chat.talk.pinned[-1]
    if message_id is None or message_id not in chat.talk.pinned:
        raise bad_request("message to unpin not found")
    chat.talk.pinned.remove(message_id)
    room.show(chat, message_id)
    return True


def _message(room: Room, which: _OneMessage, not_found: str) -> tuple[Chat, Json]:
    chat = room.chat_for_bot(which.chat_id)
    message = chat.talk.messages.get(which.message_id)
    if message is None:
        raise bad_request(not_found)
    return chat, message


def _own_message(room: Room, which: _OneMessage) -> tuple[Chat, Json]:
    chat, message = _message(room, which, "message to edit not found")
    if message["from"]["id"] != room.bot.user_id:
        raise bad_request("message can't be edited")
    return chat, message


def _change(
    room: Room, chat: Chat, message: Json, content: Json, *, gone: tuple[str, ...]
) -> Json:
    kept = {key: value for key, value in message.items() if key not in gone}
    changed = {**kept, **content}
    if changed == message:
        raise bad_request(_NOT_MODIFIED)
    if "text" in gone:  # a message with other keys only does not count as edited
        changed["edit_date"] = room.now_s()
    chat.talk.messages[message["message_id"]] = changed
    room.show(chat, message["message_id"])
    return changed


def _require_pin_right(chat: Chat) -> None:
    if isinstance(chat, Group) and not chat.bot_status.is_admin:
        raise bad_request("not enough rights to manage pinned messages in the chat")


METHODS = by_name(
    Method("editMessageText", EditMessageText, edit_message_text),
    Method("editMessageReplyMarkup", EditMessageReplyMarkup, edit_message_reply_markup),
    Method("deleteMessage", DeleteMessage, delete_message),
    Method("answerCallbackQuery", AnswerCallbackQuery, answer_callback_query),
    Method("setMessageReaction", SetMessageReaction, set_message_reaction),
    Method("pinChatMessage", PinChatMessage, pin_chat_message),
    Method("unpinChatMessage", UnpinChatMessage, unpin_chat_message),
)
