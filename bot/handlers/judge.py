"""An organiser gives a no-rep, or lets a score stand again, as a reply to the score."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import NamedTuple, TypedDict

from markupsafe import Markup
from telegram import Update

from bot.handlers.organise import asked_by_administrator
from bot.handlers.score import argument
from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.speaker import Spoken
from bot.turn import Turn
from store import results
from store.values import ChallengeId, ChatId, Result, ResultState, UserId

_DAY = re.compile(r"day\s*([0-9]{1,3})\b[\s:,;.–-]*", re.IGNORECASE)  # noqa: RUF001 - a dash
_STANDING = frozenset(state for state in ResultState if state.stands)
_NOT_STANDING = frozenset(ResultState) - _STANDING


async def on_norep(update: Update, turn: Turn) -> None:
    """Strike the score of the message replied to; behind it the day, if needed, and the reason."""
    if (found := await _judged(update, turn, "norep", _STANDING)) is None:
        return
    said, running, result, told, reason = found
    why = reason or str(running.say("norep_no_reason"))
    await results.strike(
        turn.session, **_key(result), by=UserId(said.user_id), why=why, now=turn.now
    )
    turn.reply(said, running.say("norep_done", **told, why=why))


async def on_reinstate(update: Update, turn: Turn) -> None:
    """Let the score of the message replied to stand again."""
    if (found := await _judged(update, turn, "reinstate", _NOT_STANDING)) is None:
        return
    said, running, result, told, reason = found
    await results.reinstate(
        turn.session, **_key(result), by=UserId(said.user_id), why=reason, now=turn.now
    )
    turn.reply(said, running.say("reinstate_done", **told))


class _Key(TypedDict):
    chat_id: ChatId
    challenge_id: ChallengeId
    day_number: int
    user_id: UserId


def _key(result: Result) -> _Key:
    return {
        "chat_id": result.chat_id,
        "challenge_id": result.challenge_id,
        "day_number": result.day_number,
        "user_id": result.user_id,
    }


class _Judged(NamedTuple):
    said: Spoken
    running: Running
    result: Result
    told: dict[str, object]  # how to name the result
    reason: str


async def _judged(
    update: Update, turn: Turn, command: str, states: Collection[ResultState]
) -> _Judged | None:
    """Give the result an administrator's reply is about, or say what lacks.

    Of several that the message gave, one with such a state is meant, unless a day is named.
    """
    if (found := await asked_by_administrator(update, turn, ended_too=True)) is None:
        return None
    said, running = found
    message = update.effective_message
    target = message.reply_to_message if message is not None else None
    if target is None:
        turn.reply(said, running.say("norep_needs_reply"))
        return None
    given = await _given(turn, running, target.message_id)
    if not given:
        turn.reply(said, running.say("norep_no_score"))
        return None
    reason = argument(said.text)
    if named := _DAY.match(reason):
        reason = reason[named.end() :]
        meant = [each for each in given if each.day_number == int(named[1])]
    else:
        meant = [each for each in given if each.state in states] or given
    if len(meant) != 1:
        turn.reply(said, _which_day(running, command, meant or given))
        return None
    [result] = meant
    person = await turn.participant(running, result.user_id)
    told: dict[str, object] = {
        "name": person.name if person else "",
        "day": result.day_number,
        "score": score_text(stored_score(result.result)),
    }
    return _Judged(said, running, result, told, reason)


async def _given(turn: Turn, running: Running, message_id: int) -> list[Result]:
    """Give what a message of the group gave, by day, even if another one has corrected it."""
    stored = running.stored
    key = (stored.chat_id, message_id)
    given = {
        each.day_number: each for each in await results.results_of_message(turn.session, *key)
    }
    if (changed := await results.change_of_message(turn.session, *key)) is not None:
        given[changed.day_number] = changed
    return [
        given[number]
        for number in sorted(given)
        if given[number].challenge_id == stored.challenge_id
    ]


def _which_day(running: Running, command: str, given: list[Result]) -> Markup:
    """Say which days a message gave, and how to name one."""
    days = Markup(", ").join(
        running.say(
            "norep_which_day_item",
            day=each.day_number,
            score=score_text(stored_score(each.result)),
        )
        for each in given
    )
    day = given[0].day_number
    return running.say("norep_which_day", days=days, command=command, day=day)
