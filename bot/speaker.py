"""Decide whether a message is one person's own words."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from telegram import Message, MessageEntity, Update, User

# Embeddings, overrides and isolates. Source: Unicode, UAX #9, table 4.
_TURNING = frozenset(map(chr, [*range(0x202A, 0x202F), *range(0x2066, 0x206A)]))


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a person said, where and when."""

    chat_id: int
    user_id: int
    name: str
    language: str
    text: str
    message_id: int
    thread_id: int | None  # the topic it was said in
    said_at: datetime  # when the message was first written, aware UTC
    settled_at: datetime  # when it got its present text: the edit, if there was one

    @property
    def is_private(self) -> bool:
        """Whether it was said to the bot alone."""
        return self.chat_id == self.user_id


def spoken(update: Update) -> Spoken | None:
    """Give what a person said, or None: no text, a bot, a channel, a forward, an album's rest."""
    said = sent_file(update)
    return said if said is not None and said.text else None


def sent_file(update: Update) -> Spoken | None:
    """Give what a person sent with the words beside it, which may be none."""
    message = update.effective_message
    if not isinstance(message, Message) or message.from_user is None:
        return None
    foreign = (
        message.sender_chat is not None  # a channel, or an administrator without a name
        or message.from_user.is_bot
        or message.via_bot is not None
        or message.forward_origin is not None  # somebody else's words
        or message.is_automatic_forward
    )
    if foreign:
        return None
    return Spoken(
        chat_id=message.chat_id,
        user_id=message.from_user.id,
        name=plain_name(message.from_user.first_name),
        language=message.from_user.language_code or "en",
        # PostgreSQL keeps no zero sign; another one in its place leaves all positions as they are.
        text=(message.text or message.caption or "").replace("\0", "\ufffd"),
        message_id=message.message_id,
        # In groups without topics replies carry a thread id too; only a topic's is meant.
        thread_id=message.message_thread_id if message.is_topic_message else None,
        said_at=message.date,
        settled_at=message.edit_date or message.date,
    )


def is_anonymous(update: Update) -> bool:
    """Say whether somebody writes under the name of the group or a channel: we cannot know who.

    A linked channel's posts, which come by themselves, and somebody else's words are not meant.
    """
    message = update.effective_message
    return (
        message is not None
        and message.sender_chat is not None
        and not message.is_automatic_forward
        and message.forward_origin is None
        and message.via_bot is None
    )


def is_to(update: Update, bot: User) -> bool:
    """Say whether a message names the bot or replies to a message of the bot's."""
    message = update.effective_message
    if message is None:
        return False
    answered = message.reply_to_message
    if answered is not None and answered.from_user is not None and answered.from_user.id == bot.id:
        return True
    named = message.parse_entities([MessageEntity.MENTION]).values()
    named_in_caption = message.parse_caption_entities([MessageEntity.MENTION]).values()
    own = f"@{bot.username}".lower()
    return any(name.lower() == own for name in (*named, *named_in_caption))


# With a word joiner behind, these make no mention, command or link of what follows them.
_LIVE = re.compile(r"(?:[@.]|(?<!\S)/)(?=\S)")


def plain_name(name: str) -> str:
    """Take from a name what would turn the writing direction, or make it a link or a command."""
    straight = "".join(sign for sign in name if sign not in _TURNING and sign != "\0").strip()
    return _LIVE.sub("\\g<0>\u2060", straight) or "?"
