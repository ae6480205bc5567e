"""Put a score on record, from a message, a button or a command."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from bot.handlers.marking import mark_unusual
from bot.handlers.read_back import read_back
from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.turn import Turn
from bot.wording import lines
from content.score import Score, rank_key, score_to_json
from store import asks, results
from store.errors import WasStruck
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
    effort: int | None = None
    load_g: int | None = None
    is_correction: bool = False  # then effort and load not told again stay


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a claim, and what to say."""

    text: Markup
    is_recorded: bool
    is_plain: bool = False  # counted, and nothing else to say about it


async def record(turn: Turn, running: Running, person: Participant, claim: Claim) -> Outcome:
    """Save a claim, close the person's open question about its day, and give the read-back.

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
        return Outcome(_stands(running, person, existing), is_recorded=False)
    effort, load_g = claim.effort, claim.load_g
    if claim.is_correction and existing is not None and existing.division == claim.division:
        effort = existing.effort if effort is None else effort
        load_g = existing.load_g if load_g is None else load_g
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
            effort=effort,
            load_g=load_g,
        ),
        make_up_until=claim.day.make_up_until,
        now=turn.now,
        by=person.user_id,
    )
    waiting = await asks.open_ask_of(turn.session, stored.chat_id, person.user_id)
    if waiting is not None and waiting.day_number == claim.day.number:
        await asks.close_ask(turn.session, stored.chat_id, waiting.ask_id, turn.now)
    if recorded.result.state is ResultState.NO_REP:
        text = say("norep_stands", name=person.name, day=claim.day.number)
        return Outcome(text, is_recorded=False)
    await mark_unusual(turn, running, recorded)
    before = recorded.replaced
    in_group = claim.message_chat_id != person.user_id  # a private chat has its person's id
    text = read_back(running, person, recorded, in_group=in_group)
    if before is not None and before.state is ResultState.NO_REP:
        await turn.tell_organisers(stored.chat_id, say("norep_replaced", text=text))
    return Outcome(text, is_recorded=True, is_plain=_is_plain(recorded))


def _is_plain(recorded: Recorded) -> bool:
    before, after = recorded.replaced, recorded.result
    if after.state is not ResultState.COUNTED:
        return False
    if before is None:
        return True
    if before.state is ResultState.WITHDRAWN:
        # A reaction that is there already would not show that the edited message counts again.
        behind = (before.message_chat_id, before.message_id)
        return behind != (after.message_chat_id, after.message_id)
    return (before.result, before.division) == (after.result, after.division)


async def withdraw_moved(
    turn: Turn,
    running: Running,
    person: Participant,
    day_numbers: Iterable[int],
    *,
    message_id: int,
    said_at: datetime,
) -> Markup | None:
    """Take out what an edited message no longer says, on the days given, and say so.

    After its make-up window a score stands, as it does against its button.
    """
    told = []
    for day in (running.days[number - 1] for number in day_numbers):
        own = await own_score(turn, running, day, person.user_id)
        if own is None or own.message_id != message_id:
            continue
        if said_at > day.make_up_until and own.state is ResultState.COUNTED:
            told.append(_stands(running, person, own))
            continue
        with contextlib.suppress(WasStruck):
            await results.withdraw(
                turn.session,
                chat_id=running.stored.chat_id,
                challenge_id=running.stored.challenge_id,
                day_number=day.number,
                user_id=person.user_id,
                by=person.user_id,
                why="the edited message no longer says it",
                now=turn.now,
            )
            told.append(running.say("edited_out", day=day.number))
    return lines(told) if told else None


def _stands(running: Running, person: Participant, result: Result) -> Markup:
    """Say that it is too late to change a result."""
    score = score_text(stored_score(result.result))
    return running.say("too_late_to_correct", name=person.name, day=result.day_number, score=score)


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
