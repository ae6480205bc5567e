"""Methods with which the bot writes: text, photos, sounds, documents, the sign of writing."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from bot.rehearsal.entities import (
    CAPTION_LIMIT,
    TEXT_LIMIT,
    Entity,
    check_length,
    found_entities,
    parse_html,
    utf16_length,
)
from bot.rehearsal.errors import Refused, bad_request
from bot.rehearsal.files import FileStore, Kind, StoredFile, Upload
from bot.rehearsal.method import Method, by_name
from bot.rehearsal.people import Chat, Group, Json
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import (
    AsJson,
    Boolean,
    ChatNumber,
    FileInput,
    Integer,
    Keyboard,
    LinkPreview,
    Mark,
    ReplyMarkup,
    ReplyTo,
    Shape,
)

_KNOWN_MODES: Final = ("html", "markdown", "markdownv2")


class _Sending(Shape):
    chat_id: ChatNumber
    message_thread_id: Integer | None = None
    parse_mode: str | None = None
    disable_notification: Boolean | None = None
    protect_content: Boolean | None = None
    reply_parameters: Annotated[ReplyTo | None, AsJson] = None
    reply_markup: Annotated[ReplyMarkup | None, AsJson] = None


class SendMessage(_Sending):
    """Parameters of sendMessage."""

    text: str
    entities: Annotated[list[Mark] | None, AsJson] = None
    link_preview_options: Annotated[LinkPreview | None, AsJson] = None


class _SendingFile(_Sending):
    caption: str = ""
    caption_entities: Annotated[list[Mark] | None, AsJson] = None


class SendPhoto(_SendingFile):
    """Parameters of sendPhoto."""

    photo: FileInput
    show_caption_above_media: Boolean | None = None
    has_spoiler: Boolean | None = None


class SendDocument(_SendingFile):
    """Parameters of sendDocument."""

    document: FileInput
    disable_content_type_detection: Boolean | None = None


class SendVoice(_SendingFile):
    """Parameters of sendVoice."""

    voice: FileInput
    duration: Integer | None = None


class SendChatAction(Shape):
    """Parameters of sendChatAction."""

    chat_id: ChatNumber
    message_thread_id: Integer | None = None
    action: Literal[
        "typing",
        "upload_photo",
        "record_video",
        "upload_video",
        "record_voice",
        "upload_voice",
        "upload_document",
        "choose_sticker",
        "find_location",
        "record_video_note",
        "upload_video_note",
    ]


def read_text(
    text: str, parse_mode: str | None, marks: list[Mark] | None, *, limit: int, what: str
) -> tuple[str, list[Entity]]:
    """Read a text with its parse mode or given entities.

    Args:
        text: As the bot sent it.
        parse_mode: HTML in any letter case, or nothing.
        marks: Used when there is no parse mode.
        limit: UTF-16 units after parsing.
        what: The platform's word for it in "... is too long".

    Raises:
        Refused: 400 for marks that cannot be read and for too long a text.
    """
    if parse_mode and parse_mode.lower() not in _KNOWN_MODES:
        raise bad_request("unsupported parse_mode")
    if parse_mode and parse_mode.lower() != "html":
        raise bad_request("unsupported parse_mode: the rehearsal reads HTML only")
    if parse_mode:
        plain, entities = parse_html(text)
    else:
        plain = text.strip()
        for mark in marks or []:
            mark.check_inside(plain)
        entities = [mark.model_dump(exclude_none=True) for mark in marks or []]
    check_length(plain, limit=limit, what=what)
    entities = entities + found_entities(plain, entities)
    return plain, sorted(entities, key=lambda e: (e["offset"], -e["length"]))


def send_message(room: Room, sending: SendMessage) -> Json:
    """Write a text."""
    chat = room.chat_for_bot(sending.chat_id)
    text, entities = read_text(
        sending.text, sending.parse_mode, sending.entities, limit=TEXT_LIMIT, what="message"
    )
    if not text:
        raise bad_request("message text is empty")
    content: Json = {"text": text}
    if entities:
        content["entities"] = entities
    return _post(room, chat, sending, content)


def send_photo(room: Room, sending: SendPhoto) -> Json:
    """Send a picture, new or known."""
    chat = room.chat_for_bot(sending.chat_id)
    stored = _stored(room.files, sending.photo, Kind.PHOTO)
    return _post(room, chat, sending, {**stored.as_message_part(), **_caption(sending)})


def send_document(room: Room, sending: SendDocument) -> Json:
    """Send a file, new or known."""
    chat = room.chat_for_bot(sending.chat_id)
    stored = _stored(room.files, sending.document, Kind.DOCUMENT)
    return _post(room, chat, sending, {**stored.as_message_part(), **_caption(sending)})


def send_voice(room: Room, sending: SendVoice) -> Json:
    """Send a sound to be played, new or known; its length is what the sender says it is."""
    chat = room.chat_for_bot(sending.chat_id)
    if chat.chat_id in room.no_voice:
        raise bad_request(
            "not enough rights to send voice notes to the chat"
            if isinstance(chat, Group)
            else "VOICE_MESSAGES_FORBIDDEN"
        )
    part = _stored(room.files, sending.voice, Kind.VOICE).as_message_part()
    if sending.duration is not None:
        part["voice"]["duration"] = sending.duration
    return _post(room, chat, sending, {**part, **_caption(sending)})


def send_chat_action(room: Room, sending: SendChatAction) -> bool:
    """Show for a few seconds that something is coming."""
    chat = room.chat_for_bot(sending.chat_id)
    room.live.tell("action", chat_id=chat.chat_id, action=sending.action)
    return True


def _post(room: Room, chat: Chat, sending: _Sending, content: Json) -> Json:
    content = dict(content)
    if isinstance(sending.reply_markup, Keyboard):
        content.update(sending.reply_markup.as_content())
    content.update(_reply(room, chat, sending.reply_parameters))
    content.update(_thread(chat, sending.message_thread_id, content))
    if sending.protect_content:
        content["has_protected_content"] = True
    if room.enforce_limits:
        group_id = chat.chat_id if isinstance(chat, Group) else None
        room.limits.count(group_id, now=room.clock())
    return room.new_message(chat, room.bot.as_user(), content)


def _reply(room: Room, chat: Chat, reply_to: ReplyTo | None) -> Json:
    if reply_to is None:
        return {}
    is_here = reply_to.chat_id in (None, chat.chat_id)
    if is_here and reply_to.message_id in chat.talk.messages:
        content = room.reply_content(chat, reply_to.message_id)
        return content | (_quoted(content, reply_to.quote) if reply_to.quote else {})
    if reply_to.allow_sending_without_reply and is_here:
        return {}
    raise bad_request("message to be replied not found")


def _quoted(content: Json, quote: str) -> Json:
    """Quote a slice of the message that is answered.

    Raises:
        Refused: 400, it is no slice of it.
    """
    answered = content["reply_to_message"]
    text = answered.get("text") or answered.get("caption") or ""
    at = text.find(quote)
    if at < 0:
        raise bad_request("QUOTE_TEXT_INVALID")
    return {"quote": {"text": quote, "position": utf16_length(text[:at]), "is_manual": True}}


def _thread(chat: Chat, thread_id: int | None, content: Json) -> Json:
    answered = content.get("reply_to_message", {})
    if thread_id is None and answered.get("is_topic_message"):
        thread_id = answered["message_thread_id"]
    if thread_id is None:
        return {}
    if not isinstance(chat, Group) or thread_id not in chat.topics:
        raise bad_request("message thread not found")
    return {"message_thread_id": thread_id, "is_topic_message": True}


def _caption(sending: _SendingFile) -> Json:
    text, entities = read_text(
        sending.caption,
        sending.parse_mode,
        sending.caption_entities,
        limit=CAPTION_LIMIT,
        what="message caption",
    )
    content: dict[str, Any] = {"caption": text} if text else {}
    if text and entities:
        content["caption_entities"] = entities
    return content


def _stored(files: FileStore, given: FileInput, kind: Kind) -> StoredFile:
    if isinstance(given, Upload):
        match kind:
            case Kind.PHOTO:
                return files.add_photo(given)
            case Kind.VOICE:
                return files.add_voice(given)
            case Kind.DOCUMENT:
                return files.add_document(given)
    known = files.by_id(given)
    if known.kind is not kind:
        raise Refused(400, f"can't use file of type {known.kind} as {kind}")
    return known


METHODS = by_name(
    Method("sendMessage", SendMessage, send_message),
    Method("sendPhoto", SendPhoto, send_photo),
    Method("sendDocument", SendDocument, send_document),
    Method("sendVoice", SendVoice, send_voice),
    Method("sendChatAction", SendChatAction, send_chat_action),
)
