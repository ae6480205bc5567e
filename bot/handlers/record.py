"""Put a score on record and read it back, from a message, a button or a command."""

from __future__ import annotations

import contextlib
import json
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.handlers.presses import data
from bot.running import Running, stored_score
from bot.score_text import place_text, score_text
from bot.turn import Turn
from content.score import Score, rank_key, score_to_json
from store import asks, results
from store.errors import NoSuchResult, WasStruck
from store.values import (
    ChatId,
    Day,
    Entry,
    Participant,
    Recorded,
    Result,
    ResultState,
    UserId,
)


@dataclass(frozen=True, slots=True)
class Claim:
    """A score somebody says they have, complete."""

    score: Score
    day: Day
    division: str
    raw_text: str
    message_chat_id: int
    message_id: int
    said_at: datetime  # decides whether it is still in time


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a claim, and what to say."""

    text: Markup
    is_recorded: bool


async def record(turn: Turn, running: Running, person: Participant, claim: Claim) -> Outcome:
    """Save a claim, close the person's open question, and give the read-back.

    A claim after the make-up window does not cost a counted result its rank: it is refused.
    """
    say, stored = running.say, running.stored
    existing = await results.result_of(
        turn.session,
        chat_id=stored.chat_id,
        challenge_id=stored.challenge_id,
        day_number=claim.day.number,
        user_id=person.user_id,
    )
    too_late = claim.said_at > claim.day.make_up_until
    if too_late and existing is not None and existing.state is ResultState.COUNTED:
        score = score_text(stored_score(existing.result))
        text = say("too_late_to_correct", name=person.name, day=claim.day.number, score=score)
        return Outcome(text, is_recorded=False)
    recorded = await results.record(
        turn.session,
        Entry(
            chat_id=stored.chat_id,
            challenge_id=stored.challenge_id,
            day_number=claim.day.number,
            user_id=person.user_id,
            division=claim.division,
            rank_key=rank_key(claim.score),
            result=json.dumps(score_to_json(claim.score)),
            raw_text=claim.raw_text,
            message_chat_id=ChatId(claim.message_chat_id),
            message_id=claim.message_id,
            said_at=claim.said_at,
        ),
        make_up_until=claim.day.make_up_until,
        now=turn.now,
        by=person.user_id,
    )
    waiting = await asks.open_ask_of(turn.session, stored.chat_id, person.user_id)
    if waiting is not None:
        await asks.close_ask(turn.session, stored.chat_id, waiting.ask_id, turn.now)
    if recorded.result.state is ResultState.NO_REP:
        text = say("norep_stands", name=person.name, day=claim.day.number)
        return Outcome(text, is_recorded=False)
    before = recorded.replaced
    text = _read_back(running, person, recorded)
    if before is not None and before.state is ResultState.NO_REP:
        await turn.tell_organisers(stored.chat_id, say("norep_replaced", text=text))
    return Outcome(text, is_recorded=True)


async def withdraw_moved(
    turn: Turn, running: Running, person: Participant, day_number: int
) -> None:
    """An edit moved a score to another day: it must not stand on both."""
    with contextlib.suppress(NoSuchResult, WasStruck):
        await results.withdraw(
            turn.session,
            chat_id=running.stored.chat_id,
            challenge_id=running.stored.challenge_id,
            day_number=day_number,
            user_id=person.user_id,
            by=person.user_id,
            why="the message was edited to name another day",
            now=turn.now,
        )


def _read_back(running: Running, person: Participant, recorded: Recorded) -> Markup:
    say, result, before = running.say, recorded.result, recorded.replaced
    text = [_line(running, person.name, result)]
    if (
        before is not None
        and before.result != result.result
        and before.state is ResultState.COUNTED
    ):
        text.append(say("recorded_replaced", before=score_text(stored_score(before.result))))
    if result.state is ResultState.LATE:
        text.append(say("recorded_late", day=result.day_number))
    elif result.division != person.division:
        division = running.division_name(result.division)
        text.append(say("recorded_other_division", division=division))
    return Markup("\n").join(text)


def _line(running: Running, name: str, result: Result) -> Markup:
    say, score = running.say, stored_score(result.result)
    task = running.task(result.day_number, result.division)
    place = place_text(score, task) if task is not None else ""
    return say(
        "recorded",
        name=name,
        day=result.day_number,
        division=running.division_name(result.division),
        score=score_text(score),
        place=say("recorded_place", place=place) if place else "",
    )


def take_out_button(running: Running, day: Day, person: Participant, message_id: int) -> Rows:
    """Give the button that withdraws the score of a message; it belongs to its person."""
    stored = running.stored
    key = data("w", stored.chat_id, stored.challenge_id, day.number, person.user_id, message_id)
    return ((Button(str(running.say("button_take_out")), key),),)


async def own_score(turn: Turn, running: Running, day: Day, user_id: int) -> Result | None:
    """Give a person's standing score of a day; a withdrawn one is none."""
    result = await results.result_of(
        turn.session,
        chat_id=running.stored.chat_id,
        challenge_id=running.stored.challenge_id,
        day_number=day.number,
        user_id=UserId(user_id),
    )
    if result is None or result.state is ResultState.WITHDRAWN:
        return None
    return result
