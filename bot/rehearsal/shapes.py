"""The forms of what the bot sends: parameter types and the objects inside them.

Stricter than the platform, which ignores what it does not know: here an unknown field is an
error, so that a slip of the pen shows in the rehearsal and not in front of the group.
"""

from __future__ import annotations

import json
import re
from typing import Annotated, Any, Final, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, InstanceOf, model_validator

from bot.rehearsal.entities import utf16_length
from bot.rehearsal.errors import bad_request
from bot.rehearsal.files import Upload

_CALLBACK_DATA_BYTES: Final = 64  # Bot API, InlineKeyboardButton: 1-64 bytes

# Bot API 10.1, ReactionTypeEmoji: all a bot may react with.
# fmt: off
REACTIONS: Final = frozenset({
    "❤", "👍", "👎", "🔥", "🥰", "👏", "😁", "🤔", "🤯", "😱", "🤬", "😢",
    "🎉", "🤩", "🤮", "💩", "🙏", "👌", "🕊", "🤡", "🥱", "🥴", "😍", "🐳",
    "❤\u200d🔥", "🌚", "🌭", "💯", "🤣", "⚡", "🍌", "🏆", "💔", "🤨", "😐", "🍓",
    "🍾", "💋", "🖕", "😈", "😴", "😭", "🤓", "👻", "👨\u200d💻", "👀", "🎃", "🙈",
    "😇", "😨", "🤝", "✍", "🤗", "🫡", "🎅", "🎄", "☃", "💅", "🤪", "🗿",
    "🆒", "💘", "🙉", "🦄", "😘", "💊", "🙊", "😎", "👾", "🤷\u200d♂", "🤷", "🤷\u200d♀",
    "😡",
})
# fmt: on


def _integer(value: object) -> object:
    if isinstance(value, bool) or not isinstance(value, int | str):
        raise ValueError("must be an Integer")  # noqa: TRY004 - what pydantic turns into a refusal
    if isinstance(value, str):
        if not re.fullmatch(r"-?\d{1,16}", value):
            raise ValueError("must be an Integer")
        return int(value)
    return value


def _boolean(value: object) -> object:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.lower() in ("true", "false"):
        return value.lower() == "true"
    raise ValueError("must be true or false")


def _chat_id(value: object) -> object:
    if isinstance(value, str) and value.startswith("@"):
        raise bad_request("chat not found")  # public names exist on the platform, not in a room
    return _integer(value)


def _from_json(value: object) -> object:
    if not isinstance(value, str):
        return value
    try:
        return json.loads(value)
    except ValueError:
        raise ValueError("must be JSON") from None


Integer = Annotated[int, BeforeValidator(_integer)]
Boolean = Annotated[bool, BeforeValidator(_boolean)]
ChatNumber = Annotated[int, BeforeValidator(_chat_id)]
AsJson = BeforeValidator(_from_json)
FileInput = InstanceOf[Upload] | str


class Shape(BaseModel):
    """An object of which every field is known."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True)


class Button(Shape):
    """One key under a message."""

    text: str = Field(min_length=1)
    callback_data: str | None = None
    url: str | None = None

    @model_validator(mode="after")
    def _check(self) -> Self:
        if (self.callback_data is None) == (self.url is None):
            raise bad_request(
                "can't parse inline keyboard button: exactly one of callback_data and url"
            )
        if self.callback_data is not None:
            size = len(self.callback_data.encode())
            if not 1 <= size <= _CALLBACK_DATA_BYTES:
                raise bad_request("BUTTON_DATA_INVALID")
        elif not re.match(r"(?:https?|tg)://\S+$", self.url or ""):
            raise bad_request("BUTTON_URL_INVALID")
        return self


class Keyboard(Shape):
    """Rows of keys under a message."""

    inline_keyboard: list[list[Button]]

    def as_content(self) -> dict[str, Any]:
        """Give `reply_markup` as a message carries it; empty rows go, no keys is no markup."""
        rows = [
            [button.model_dump(exclude_none=True) for button in row]
            for row in self.inline_keyboard
            if row
        ]
        return {"reply_markup": {"inline_keyboard": rows}} if rows else {}


class ForceReply(Shape):
    """Ask the person's app to open its reply field."""

    force_reply: Literal[True]
    input_field_placeholder: str | None = None
    selective: Boolean | None = None


class RemoveKeyboard(Shape):
    """Take away a keyboard of ready answers."""

    remove_keyboard: Literal[True]
    selective: Boolean | None = None


ReplyMarkup = Keyboard | ForceReply | RemoveKeyboard


class ReplyTo(Shape):
    """Which message is answered."""

    message_id: Integer
    chat_id: ChatNumber | None = None
    allow_sending_without_reply: Boolean = False
    quote: str | None = Field(default=None, max_length=1024)


class LinkPreview(Shape):
    """What to do about links; there are no previews in a room."""

    is_disabled: Boolean | None = None
    url: str | None = None
    prefer_small_media: Boolean | None = None
    prefer_large_media: Boolean | None = None
    show_above_text: Boolean | None = None


class Mark(Shape):
    """An entity the bot gives itself, instead of a parse mode."""

    type: str
    offset: int = Field(ge=0)
    length: int = Field(gt=0)
    url: str | None = None
    user: dict[str, Any] | None = None
    language: str | None = None

    def check_inside(self, text: str) -> None:
        """Refuse a mark that reaches beyond the text."""
        if self.offset + self.length > utf16_length(text):
            raise bad_request(f"entity of type {self.type} ends outside the text")


class Reaction(Shape):
    """What the bot reacts with. Other types than emoji are read and then not allowed."""

    type: Literal["emoji", "custom_emoji", "paid"]
    emoji: str | None = None
    custom_emoji_id: str | None = None

    @model_validator(mode="after")
    def _check(self) -> Self:
        if (self.type == "emoji") != (self.emoji is not None):
            raise bad_request(f"can't parse ReactionType: emoji with type {self.type}")
        if (self.type == "custom_emoji") != (self.custom_emoji_id is not None):
            raise bad_request(f"can't parse ReactionType: custom_emoji_id with type {self.type}")
        return self


class Command(Shape):
    """One line of the command menu."""

    command: str
    description: str

    @model_validator(mode="after")
    def _check(self) -> Self:
        if not re.fullmatch(r"[a-z0-9_]{1,32}", self.command):
            raise bad_request("BOT_COMMAND_INVALID")
        if not 1 <= utf16_length(self.description) <= 256:  # noqa: PLR2004 - Bot API, BotCommand
            raise bad_request("BOT_COMMAND_DESCRIPTION_INVALID")
        return self


class Scope(Shape):
    """Who sees a command menu."""

    type: Literal[
        "default",
        "all_private_chats",
        "all_group_chats",
        "all_chat_administrators",
        "chat",
        "chat_administrators",
        "chat_member",
    ] = "default"
    chat_id: ChatNumber | None = None
    user_id: Integer | None = None

    @model_validator(mode="after")
    def _check(self) -> Self:
        needs_chat = self.type in ("chat", "chat_administrators", "chat_member")
        if needs_chat != (self.chat_id is not None):
            raise bad_request(f"can't parse BotCommandScope: chat_id with type {self.type}")
        if (self.type == "chat_member") != (self.user_id is not None):
            raise bad_request(f"can't parse BotCommandScope: user_id with type {self.type}")
        return self

    @property
    def key(self) -> str:
        """Give a text that stands for this scope alone."""
        parts = (self.type, self.chat_id, self.user_id)
        return ":".join(str(part) for part in parts if part is not None)
