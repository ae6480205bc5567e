"""What the bot owes the platform: calls as values, stored as JSON until they are made."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from pydantic import TypeAdapter

from content.clock_track import Track


@dataclass(frozen=True, slots=True)
class Button:
    """A button below a message; `data` is at most 64 bytes."""

    text: str
    data: str


Rows = tuple[tuple[Button, ...], ...]


@dataclass(frozen=True, slots=True)
class Say:
    """Send a message; `text` is Telegram HTML, `quote` a slice of the message replied to."""

    chat_id: int
    text: str
    buttons: Rows = ()
    reply_to: int | None = None
    quote: str | None = None
    thread_id: int | None = None
    quiet: bool = True  # no sound: answers to people are not announcements
    kind: Literal["say"] = "say"


@dataclass(frozen=True, slots=True)
class SendFile:
    """Send a file, with a caption of Telegram HTML; bytes that are no text come as base64."""

    chat_id: int
    name: str  # ends with what it is: "days.ics"
    content: str
    encoding: Literal["text", "base64"] = field(default="text", kw_only=True)
    caption: str = ""
    reply_to: int | None = None
    thread_id: int | None = None
    kind: Literal["file"] = "file"


@dataclass(frozen=True, slots=True)
class SendPhoto:
    """Send a picture, a PNG as base64, with a caption of Telegram HTML."""

    chat_id: int
    picture: str
    caption: str = ""
    kind: Literal["photo"] = "photo"


@dataclass(frozen=True, slots=True)
class Rewrite:
    """Replace the text and buttons of a message of ours."""

    chat_id: int
    message_id: int
    text: str
    buttons: Rows = ()
    kind: Literal["rewrite"] = "rewrite"


@dataclass(frozen=True, slots=True)
class React:
    """Set our reaction on somebody's message; `instead` is said where that is not possible."""

    chat_id: int
    message_id: int
    emoji: str
    instead: Say
    kind: Literal["react"] = "react"


@dataclass(frozen=True, slots=True)
class Toast:
    """Answer a button press, with a short note or silently."""

    callback_query_id: str
    text: str = ""
    kind: Literal["toast"] = "toast"


@dataclass(frozen=True, slots=True)
class Play:
    """Send a clock as sound; `caption` is Telegram HTML, `instead` is said where sound may not."""

    chat_id: int
    track: Track
    caption: str
    instead: str
    reply_to: int | None = None
    thread_id: int | None = None
    kind: Literal["play"] = "play"


Call = Say | SendFile | SendPhoto | Rewrite | React | Toast | Play
_CALL: TypeAdapter[Call] = TypeAdapter(Call)


def call_to_json(call: Call) -> str:
    """Write a call for the store."""
    return _CALL.dump_json(call).decode()


def call_from_json(text: str) -> Call:
    """Read back what `call_to_json` wrote."""
    return _CALL.validate_json(text)
