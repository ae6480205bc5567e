"""A person takes their own score out: by its button, or in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from enum import StrEnum

from markupsafe import Markup
from telegram import Update

from bot.calls import Rows
from bot.handlers.presses import Press, current_press
from bot.handlers.read_back import read_back, take_out_buttons
from bot.handlers.record import own_score
from bot.handlers.scored import no_day_then
from bot.reading.reader import Scene, day_number
from bot.reading.values import TakeBack
from bot.running import Running
from bot.talk import Talk
from bot.turn import Turn
from bot.wording import lines
from store import results
from store.errors import WasStruck
from store.values import ChatId, Day, Recorded, Result, ResultState, UserId


class TakenOut(StrEnum):
    """What became of the wish."""

    DONE = "taken_out"
    NOTHING = "nothing_to_take_out"
    STRUCK = "norep_toast"
    TOO_LATE = "too_late_to_take_out"


async def on_take_out(update: Update, turn: Turn) -> None:
    """Withdraw one's own score: `w:<chat>:<challenge>:<day>:<person>:<message>`."""
    if (found := await current_press(update, turn, 5)) is None:
        return
    pressed, numbers, running = found
    day, message_id = running.day(numbers[2]), numbers[4]
    if numbers[3] != pressed.user_id:
        turn.toast(pressed.query_id, running.say("not_your_button"))
        return
    own = await own_score(turn, running, day, pressed.user_id) if day is not None else None
    if own is not None and own.message_id != message_id:
        turn.toast(pressed.query_id, running.say("replaced_already"))
        return
    outcome = await _take_out(turn, running, day, pressed.user_id, turn.now)
    if outcome is not TakenOut.DONE:
        turn.toast(pressed.query_id, running.say(outcome, day=numbers[2]))
        return
    turn.toast(pressed.query_id, running.say("taken_out_toast"))
    text, buttons = await _what_is_left(turn, running, pressed, numbers[2], message_id)
    turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)


async def take_back(
    talk: Talk, scene: Scene, reading: TakeBack, before: Sequence[Result] = ()
) -> None:
    """Withdraw the sender's score of the day they named, or of the day that is on.

    Args:
        talk: Who said it.
        scene: What it was read against.
        reading: The wish.
        before: The results of the message that was edited into the wish: without a day named it
            means those, and nothing once they are taken out.
    """
    named = day_number(reading.day, scene)
    if named is None:
        talk.reply(no_day_then(talk, scene, reading.day))
        return
    numbers = [named]
    if before and reading.day is None:
        numbers = [each.day_number for each in before if _is_of(talk, each)]
    told = []
    for number in numbers:
        outcome = await _take_out(
            talk.turn,
            talk.running,
            talk.running.day(number),
            talk.said.user_id,
            talk.said.settled_at,
        )
        key = "norep_stays" if outcome is TakenOut.STRUCK else outcome
        told.append(talk.say(key, name=talk.said.name, day=number))
    if told:
        talk.reply(lines(told))


def _is_of(talk: Talk, result: Result) -> bool:
    """Say whether a result is one of the sender's in this challenge and not taken out yet."""
    stored = talk.running.stored
    whose = (result.chat_id, result.challenge_id, result.user_id)
    mine = (stored.chat_id, stored.challenge_id, talk.said.user_id)
    return whose == mine and result.state is not ResultState.WITHDRAWN


async def _take_out(
    turn: Turn, running: Running, day: Day | None, user_id: int, when: datetime
) -> TakenOut:
    """Withdraw a person's score of a day, if it stands and its time was not over at an instant."""
    if day is None or await own_score(turn, running, day, user_id) is None:
        return TakenOut.NOTHING
    if when > day.make_up_until:
        return TakenOut.TOO_LATE
    try:
        await results.withdraw(
            turn.session,
            chat_id=running.stored.chat_id,
            challenge_id=running.stored.challenge_id,
            day_number=day.number,
            user_id=UserId(user_id),
            by=UserId(user_id),
            why="taken out by the person",
            now=turn.now,
        )
    except WasStruck:
        return TakenOut.STRUCK
    return TakenOut.DONE


async def _what_is_left(
    turn: Turn, running: Running, pressed: Press, number: int, message_id: int
) -> tuple[Markup, Rows]:
    """Write again below what stood one score less: a message may have given several."""
    text = [running.say("taken_out", name=pressed.name, day=number)]
    person = await turn.participant(running, pressed.user_id)
    if person is None:
        return text[0], ()
    in_group = pressed.chat_id != person.user_id
    left: list[Day] = []
    for result in await results.results_of_message(
        turn.session, ChatId(pressed.chat_id), message_id
    ):
        day = running.day(result.day_number)
        whose = (result.chat_id, result.challenge_id, result.user_id)
        mine = whose == (running.stored.chat_id, running.stored.challenge_id, person.user_id)
        if day is not None and mine and result.state.stands:
            text.append(read_back(running, person, Recorded(result, None), in_group=in_group))
            left.append(day)
    return lines(text), take_out_buttons(running, person, left, message_id)
