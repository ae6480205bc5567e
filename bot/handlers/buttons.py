"""Buttons below what we said: choices of a question, taking a score out, which movement."""

from __future__ import annotations

import json

from telegram import Update

from bot.calls import Rows
from bot.handlers.answer import about_movement
from bot.handlers.presses import Press, current_press, press, running_behind
from bot.handlers.record import Claim, own_score, record, take_out_button, withdraw_moved
from bot.reading.values import About, Question
from bot.running import Running
from bot.turn import Turn
from bot.wording import Wording
from content.score import score_from_json
from store import asks, results
from store.errors import NoSuchResult, WasStruck
from store.values import Ask, UserId


async def on_choice(update: Update, turn: Turn) -> None:
    """Record the choice behind a button of a question: `a:<chat>:<ask>:<choice>`."""
    if (pressed := press(update)) is None:
        return
    numbers = pressed.numbers(3)
    running = await running_behind(turn, numbers)
    ask = None
    if numbers is not None and running is not None:
        ask = await asks.ask_by_id(turn.session, running.stored.chat_id, numbers[1])
    if numbers is None or running is None or ask is None:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    if ask.user_id != pressed.user_id:
        turn.toast(pressed.query_id, running.say("not_your_button"))
    elif ask.challenge_id != running.stored.challenge_id:
        turn.toast(pressed.query_id, running.say("stale_button"))
    elif not await asks.close_ask(turn.session, ask.chat_id, ask.ask_id, turn.now):
        turn.toast(pressed.query_id, running.say("ask_closed"))
    else:
        await _chosen(turn, running, pressed, ask, numbers[2])


async def _chosen(turn: Turn, running: Running, pressed: Press, ask: Ask, index: int) -> None:
    kept = json.loads(ask.choices)
    person = await turn.participant(running, pressed.user_id)
    day = running.day(ask.day_number)
    if person is None or day is None or not 0 <= index < len(kept["choices"]):
        turn.toast(pressed.query_id)
        text = running.say("ask_dropped", name=pressed.name)
        turn.rewrite(pressed.chat_id, pressed.message_id, text)
        return
    claim = Claim(
        score=score_from_json(kept["choices"][index]),
        day=day,
        division=kept["division"] or person.division,
        raw_text=ask.raw_text,
        message_chat_id=ask.message_chat_id,
        message_id=ask.message_id,
        said_at=ask.said_at,
    )
    recorded = await record(turn, running, person, claim)
    if recorded.is_recorded and kept.get("moved_from") is not None:
        await withdraw_moved(turn, running, person, kept["moved_from"])
    turn.toast(pressed.query_id)
    buttons: Rows = ()
    if recorded.is_recorded:
        buttons = take_out_button(running, day, person, ask.message_id)
    turn.rewrite(pressed.chat_id, pressed.message_id, recorded.text, buttons)


async def on_take_out(update: Update, turn: Turn) -> None:
    """Withdraw one's own score: `w:<chat>:<challenge>:<day>:<person>:<message>`."""
    if (found := await current_press(update, turn, 5)) is None:
        return
    pressed, numbers, running = found
    day = running.day(numbers[2])
    if numbers[3] != pressed.user_id:
        turn.toast(pressed.query_id, running.say("not_your_button"))
        return
    if day is None or turn.now > day.make_up_until:
        turn.toast(pressed.query_id, running.say("too_late_to_take_out"))
        return
    own = await own_score(turn, running, day, pressed.user_id)
    if own is not None and own.message_id != numbers[4]:
        turn.toast(pressed.query_id, running.say("replaced_already"))
        return
    try:
        await results.withdraw(
            turn.session,
            chat_id=running.stored.chat_id,
            challenge_id=running.stored.challenge_id,
            day_number=numbers[2],
            user_id=UserId(pressed.user_id),
            by=UserId(pressed.user_id),
            why="taken out by the person",
            now=turn.now,
        )
    except NoSuchResult:
        turn.toast(pressed.query_id, running.say("nothing_to_take_out", day=numbers[2]))
        return
    except WasStruck:
        turn.toast(pressed.query_id, running.say("norep_toast"))
        return
    turn.toast(pressed.query_id, running.say("taken_out_toast"))
    text = running.say("taken_out", name=pressed.name, day=numbers[2])
    turn.rewrite(pressed.chat_id, pressed.message_id, text)


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
