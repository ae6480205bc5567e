"""Button data: a letter for what the button does, and whole numbers. Forged data is refused."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from telegram import CallbackQuery, MaybeInaccessibleMessage, Message, Update

from bot.running import Running
from bot.speaker import plain_name
from bot.turn import Turn
from bot.wording import Wording
from store import groups
from store.values import ChatId

_TOO_LARGE = 2**63  # no id of ours or the platform's; the database could not look for it


class Press(NamedTuple):
    """Somebody pressed a button of ours."""

    query_id: str
    user_id: int
    name: str
    language: str
    chat_id: int  # where the button stands
    message_id: int
    thread_id: int | None  # the topic the button stands in
    parts: Sequence[str]

    def numbers(self, count: int) -> list[int] | None:
        """Give the parts as so many whole numbers of 64 bits, or None when they are not."""
        try:
            found = [int(part) for part in self.parts]
        except ValueError:
            return None
        fits = all(abs(number) < _TOO_LARGE for number in found)
        return found if fits and len(found) == count else None


def data(letter: str, *parts: object) -> str:
    """Write button data; at most 64 bytes, which our numbers keep."""
    return ":".join([letter, *(str(part) for part in parts)])


async def running_behind(turn: Turn, numbers: list[int] | None) -> Running | None:
    """Give the running challenge of the chat that stands first in the data, wherever it moved."""
    if not numbers:
        return None
    chat_id = await groups.current_chat_id(turn.session, ChatId(numbers[0]))
    return await turn.open.shelf.of_chat(turn.session, chat_id)


async def current_press(
    update: Update, turn: Turn, count: int
) -> tuple[Press, list[int], Running] | None:
    """Give a press on `<letter>:<chat>:<challenge>:...` with its numbers and its challenge.

    None when that is not the running one, or the data is not so many numbers; the presser is told.
    """
    if (pressed := press(update)) is None:
        return None
    numbers = pressed.numbers(count)
    running = await running_behind(turn, numbers)
    if numbers is None or running is None or numbers[1] != running.stored.challenge_id:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return None
    return pressed, numbers, running


class Asked(NamedTuple):
    """A question of ours that a message replies to."""

    chat_id: ChatId  # of the challenge; it has this id now
    ask_id: int
    message_id: int  # of the question


async def replied_question(update: Update, turn: Turn) -> Asked | None:
    """Give the question a message replies to, known by its buttons."""
    message = update.effective_message
    asked = message.reply_to_message if message is not None else None
    markup = asked.reply_markup if asked is not None else None
    if asked is None or markup is None or asked.from_user is None:
        return None
    if asked.from_user.id != turn.bot.id:
        return None
    for row in markup.inline_keyboard:
        for button in row:
            match str(button.callback_data).split(":"):
                case ["a", chat, ask_id, _] if ask_id.isdecimal():
                    chat_id = await groups.current_chat_id(turn.session, ChatId(int(chat)))
                    return Asked(chat_id, int(ask_id), asked.message_id)
    return None


def _topic(message: MaybeInaccessibleMessage) -> int | None:
    if isinstance(message, Message) and message.is_topic_message:
        return message.message_thread_id
    return None


def press(update: Update) -> Press | None:
    """Give the press an update reports, or None when the message is out of reach."""
    query = update.callback_query
    if not isinstance(query, CallbackQuery) or query.message is None or query.data is None:
        return None
    return Press(
        query.id,
        query.from_user.id,
        plain_name(query.from_user.first_name),
        query.from_user.language_code or "en",
        query.message.chat.id,
        query.message.message_id,
        _topic(query.message),
        query.data.split(":")[1:],
    )
