"""Make one call to the platform, and say plainly how it went.

Every error of the platform gets its decided meaning here, once.
"""

from __future__ import annotations

import base64
import html
import logging
import re
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import assert_never

import httpx
from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    InputFile,
    LinkPreviewOptions,
    ReactionTypeEmoji,
    ReplyParameters,
)
from telegram.constants import ParseMode
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
)

from bot.calls import Call, Play, React, Rewrite, Rows, Say, SendFile, SendPhoto, Toast

log = logging.getLogger(__name__)

_NO_PREVIEW = LinkPreviewOptions(is_disabled=True)  # a name may look like a link
_TAG = re.compile(r"<[^>]{1,200}>")
# Answers that mean that what we wanted is the case already, or cannot matter any more.
_HARMLESS = ("message is not modified", "query is too old", "query id is invalid")
# The platform keeps files, but does not promise for how long.
_FILE_GONE = ("wrong file identifier", "wrong remote file", "file reference", "file_id")
_NO_VOICE = ("voice_messages_forbidden", "not enough rights to send voice")
# A message of ours that somebody has deleted, or that an upgrade of the group left behind.
_NOT_THERE = ("message to edit not found", "message can't be edited")


@dataclass(frozen=True, slots=True)
class Sent:
    """It is there; `message_id` of a new message."""

    message_id: int | None


@dataclass(frozen=True, slots=True)
class Later:
    """Nothing was sent; it may be tried again after a while."""

    wait: timedelta


@dataclass(frozen=True, slots=True)
class Refused:
    """Nothing was sent and never will be like this. `gone`: we cannot write there any more."""

    why: str
    gone: bool


@dataclass(frozen=True, slots=True)
class Moved:
    """The chat has a new id; nothing was sent."""

    new_chat_id: int


@dataclass(frozen=True, slots=True)
class Unknown:
    """The line broke after sending: it may be there or not."""

    why: str


@dataclass(frozen=True, slots=True)
class NotReady:
    """Nothing was sent: a file has to be made first."""


Outcome = Sent | Later | Refused | Moved | Unknown | NotReady
_RETRY = timedelta(seconds=5)
_NOT_CONNECTED = (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout)


async def make_call(bot: Bot, call: Call) -> Outcome:
    """Make a call; never raises what the platform or the line can cause."""
    try:
        return Sent(await _make(bot, call))
    except BadRequest as error:  # a NetworkError to the library, but hopeless
        return await _bad_request(bot, call, error)
    except TelegramError as error:
        return _meaning(error)


def _meaning(error: TelegramError) -> Outcome:
    match error:
        case RetryAfter(retry_after=wait):
            return Later(wait if isinstance(wait, timedelta) else timedelta(seconds=wait))
        case ChatMigrated(new_chat_id=new):
            return Moved(new)
        case Forbidden():
            return Refused(error.message, gone=True)
        case InvalidToken():  # whoever runs the bot puts it right; what is owed and planned stays
            return Later(_RETRY)
        case NetworkError() if isinstance(error.__cause__, _NOT_CONNECTED):
            return Later(_RETRY)
        case NetworkError():
            return Unknown(type(error).__name__)
        case _ if isinstance(error.__cause__, ValueError):  # an answer the library cannot read
            return Unknown("the answer could not be read")
        case _:
            return Refused(error.message, gone=False)


async def send_sound(
    bot: Bot, call: Play, sound: bytes | str, length_s: int
) -> tuple[Outcome, str | None]:
    """Send a voice message; never raises what the platform or the line can cause.

    Args:
        bot: Whose file it is.
        call: Where to.
        sound: Ogg with Opus, or the platform's id of one that was sent before.
        length_s: Seconds.

    Returns:
        How it went, with the file's id if it is there. NotReady: the id is known no more.
    """
    try:
        message = await bot.send_voice(
            call.chat_id,
            sound,
            duration=length_s,
            caption=call.caption,
            parse_mode=ParseMode.HTML,
            reply_parameters=_reply_to(call.reply_to),
            message_thread_id=call.thread_id,
            disable_notification=True,
            filename=None if isinstance(sound, str) else "clock.ogg",
        )
    except BadRequest as error:
        message_text = error.message.lower()
        if isinstance(sound, str) and any(gone in message_text for gone in _FILE_GONE):
            return NotReady(), None
        if any(no in message_text for no in _NO_VOICE):  # a person's choice, or the group's
            return await make_call(bot, _instead(call)), None
        return await _bad_request(bot, call, error), None
    except TelegramError as error:
        return _meaning(error), None
    return Sent(message.message_id), message.voice.file_id if message.voice else None


def _instead(call: Play) -> Say:
    return Say(call.chat_id, call.instead, reply_to=call.reply_to, thread_id=call.thread_id)


def _reply_to(message_id: int | None, quote: str | None = None) -> ReplyParameters | None:
    if message_id is None:
        return None
    return ReplyParameters(message_id, allow_sending_without_reply=True, quote=quote)


async def _bad_request(bot: Bot, call: Call, error: BadRequest) -> Outcome:
    message = error.message.lower()
    if any(harmless in message for harmless in _HARMLESS):
        return Sent(None)
    if "chat not found" in message:
        return Refused(error.message, gone=True)
    if isinstance(call, Rewrite) and any(gone in message for gone in _NOT_THERE):
        return await make_call(bot, Say(call.chat_id, call.text, buttons=call.buttons))
    if isinstance(call, Say) and call.quote is not None:
        # The words have changed, or are written in bold: the answer has to arrive all the same.
        return await make_call(bot, replace(call, quote=None))
    if isinstance(call, SendPhoto):  # too long for a photo, or none are allowed: as a file
        name = "picture.png"
        file = SendFile(call.chat_id, name, call.picture, call.caption, encoding="base64")
        return await make_call(bot, file)
    if isinstance(call, React):  # the group allows other reactions only, or the message is gone
        return await make_call(bot, call.instead)
    if "parse entities" in message and isinstance(call, Say | Rewrite):
        # Formatting of ours is broken: the words still have to arrive.
        log.error("formatting refused in chat %s", call.chat_id)
        plain = replace(
            call, text=html.escape(html.unescape(_TAG.sub("", call.text)), quote=False)
        )
        return (
            await make_call(bot, plain)
            if plain.text != call.text
            else Refused(message, gone=False)
        )
    return Refused(error.message, gone=False)


async def _make(bot: Bot, call: Call) -> int | None:
    match call:
        case Say():
            message = await bot.send_message(
                call.chat_id,
                call.text,
                parse_mode=ParseMode.HTML,
                reply_parameters=_reply_to(call.reply_to, call.quote),
                reply_markup=_keyboard(call.buttons),
                message_thread_id=call.thread_id,
                disable_notification=call.quiet,
                link_preview_options=_NO_PREVIEW,
            )
            return message.message_id
        case SendFile():
            message = await bot.send_document(
                call.chat_id,
                InputFile(_bytes(call), filename=call.name),
                caption=call.caption or None,
                parse_mode=ParseMode.HTML,
                reply_parameters=_reply_to(call.reply_to),
                message_thread_id=call.thread_id,
                disable_notification=True,
            )
            return message.message_id
        case SendPhoto():
            message = await bot.send_photo(
                call.chat_id,
                InputFile(base64.b64decode(call.picture), filename="picture.png"),
                caption=call.caption or None,
                parse_mode=ParseMode.HTML,
                disable_notification=True,
            )
            return message.message_id
        case Rewrite():
            await bot.edit_message_text(
                call.text,
                chat_id=call.chat_id,
                message_id=call.message_id,
                parse_mode=ParseMode.HTML,
                reply_markup=_keyboard(call.buttons),
                link_preview_options=_NO_PREVIEW,
            )
        case React():
            reaction = ReactionTypeEmoji(call.emoji)
            await bot.set_message_reaction(call.chat_id, call.message_id, reaction)
        case Toast():
            await bot.answer_callback_query(call.callback_query_id, text=call.text or None)
        case Play():  # its file comes from `bot.clock_player`; without one there are the words
            return await _make(bot, _instead(call))
        case _:
            assert_never(call)
    return None


def _bytes(call: SendFile) -> bytes:
    text = call.content.encode()
    return base64.b64decode(text) if call.encoding == "base64" else text


def _keyboard(rows: Rows) -> InlineKeyboardMarkup | None:
    if not rows:
        return None
    return InlineKeyboardMarkup(
        [[InlineKeyboardButton(b.text, callback_data=b.data) for b in row] for row in rows]
    )
