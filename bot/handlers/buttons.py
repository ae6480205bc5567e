"""Buttons below an answer: which movement was meant; and buttons we do not know."""

from __future__ import annotations

from telegram import Update

from bot.handlers.answer import about_movement
from bot.handlers.presses import current_press, press
from bot.reading.values import About, Question
from bot.turn import Turn
from bot.wording import Wording


async def on_movement(update: Update, turn: Turn) -> None:
    """Answer about the movement chosen: `m:<chat>:<challenge>:<day>:<about>:<movement>`."""
    if (found := await current_press(update, turn, 5)) is None:
        return
    pressed, numbers, running = found
    day, movements = running.day(numbers[2]), sorted(running.content.movements)
    subjects = list(About)
    if day is None or not 0 <= numbers[3] < len(subjects) or not 0 <= numbers[4] < len(movements):
        turn.toast(pressed.query_id, running.say("stale_button"))
        return
    division = running.division_of(await turn.participant(running, pressed.user_id))
    question = Question(subjects[numbers[3]], movement=movements[numbers[4]])
    turn.toast(pressed.query_id)
    turn.rewrite(
        pressed.chat_id,
        pressed.message_id,
        about_movement(running, day, division, question),
    )


async def on_unknown(update: Update, turn: Turn) -> None:
    """Answer a button we do not know: forged, or of an earlier version."""
    if (pressed := press(update)) is not None:
        turn.toast(pressed.query_id, Wording()("stale_button"))
