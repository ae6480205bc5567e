"""Results: recording, correcting, striking, taking back, each with a line of history."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import and_, func, select

from store.errors import NoSuchResult, NotJoined, WasStruck
from store.hold import hold
from store.tables import ChangeRow, DayRow, ParticipantRow, ResultRow, to_value
from store.values import Change, ChangeKind, Recorded, Result, ResultState

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId, Entry, UserId


async def record(
    session: AsyncSession,
    entry: Entry,
    *,
    make_up_until: datetime,
    now: datetime,
    by: UserId,
    why: str = "",
) -> Recorded:
    """Save a person's score for a day, replacing an earlier one whatever its state.

    The same message with the same content again changes nothing and leaves no history line, so a
    repeated update neither doubles a score nor brings a struck one back. Nor does the same score
    in other words or another message bring a struck one back; a different one is a correction.

    A score said at `make_up_until` or before counts, a later one is late; when it arrived does not
    matter. `by` is the person, or an organiser who enters or corrects it. What replaces a result
    does not inherit its mark.

    Returns:
        The stored result and the one before it: None for a first one, an equal one if nothing
        changed.

    Raises:
        NotJoined: The person is not in this challenge.
    """
    await hold(session, entry.chat_id)
    key = (entry.chat_id, entry.challenge_id, entry.day_number, entry.user_id)
    if (
        await session.get(ParticipantRow, (entry.chat_id, entry.challenge_id, entry.user_id))
        is None
    ):
        raise NotJoined(entry.chat_id, entry.challenge_id, entry.user_id)
    row = await session.get(ResultRow, key)
    before = None if row is None else to_value(Result, row)
    state = _state_by_time(entry.said_at, make_up_until)
    after = Result(**asdict(entry), recorded_at=now, state=state)
    if before is not None and _says_nothing_new(before, after):
        return Recorded(result=before, replaced=before)
    kind = ChangeKind.RECORDED if before is None else ChangeKind.CORRECTED
    await _save(session, before, after, _Line(kind, by, why, now))
    return Recorded(result=after, replaced=before)


async def withdraw(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
    by: UserId,
    why: str,
    now: datetime,
) -> Result:
    """Take a result back: by the person, or removed by an organiser.

    Raises:
        NoSuchResult: The person has none on this day.
        WasStruck: The person wants to take back what has a no-rep.
    """
    before = await _existing(session, chat_id, challenge_id, day_number, user_id)
    if before.state is ResultState.NO_REP and by == user_id:
        raise WasStruck(day_number=day_number, user_id=user_id)
    line = _Line(ChangeKind.WITHDRAWN, by, why, now)
    return await _judge(session, before, ResultState.WITHDRAWN, line)


async def strike(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
    by: UserId,
    why: str,
    now: datetime,
) -> Result:
    """Give a result a no-rep: it stays on record and no longer counts.

    Raises:
        NoSuchResult: The person has none on this day.
    """
    before = await _existing(session, chat_id, challenge_id, day_number, user_id)
    return await _judge(
        session, before, ResultState.NO_REP, _Line(ChangeKind.NO_REP, by, why, now)
    )


async def reinstate(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
    by: UserId,
    why: str,
    now: datetime,
) -> Result:
    """Let a struck or withdrawn result stand again: counted, or late if it was said too late.

    Raises:
        NoSuchResult: The person has none on this day.
    """
    before = await _existing(session, chat_id, challenge_id, day_number, user_id)
    day = await session.get_one(DayRow, (chat_id, challenge_id, day_number))
    state = _state_by_time(before.said_at, day.make_up_until)
    return await _judge(session, before, state, _Line(ChangeKind.REINSTATED, by, why, now))


async def reread(
    session: AsyncSession,
    before: Result,
    *,
    result: str,
    rank_key: int,
    by: UserId,
    why: str,
    now: datetime,
) -> Result:
    """Give a result another meaning because its day was changed; words, state and time stay.

    Args:
        session: The open work.
        before: As it stands, from this work.
        result: What the words mean now, as JSON.
        rank_key: The same to rank by.
        by: The organiser who changed the day.
        why: For the history.
        now: Aware, UTC.
    """
    after = replace(before, result=result, rank_key=rank_key)
    if after != before:
        await _save(session, before, after, _Line(ChangeKind.REREAD, by, why, now))
    return after


async def results_of_day(
    session: AsyncSession, *, chat_id: ChatId, challenge_id: ChallengeId, day_number: int
) -> tuple[Result, ...]:
    """Return all results of a day in the order they were said, whatever their state."""
    rows = await session.scalars(
        select(ResultRow)
        .where(
            ResultRow.chat_id == chat_id,
            ResultRow.challenge_id == challenge_id,
            ResultRow.day_number == day_number,
        )
        .order_by(ResultRow.said_at, ResultRow.user_id)
    )
    return tuple(to_value(Result, row) for row in rows)


async def set_mark(
    session: AsyncSession,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
    *,
    mark: str | None,
) -> None:
    """Mark a result for the organisers. It stays what it is, so the history has no line of it.

    Raises:
        NoSuchResult: The person has none on this day.
    """
    await hold(session, chat_id)
    row = await session.get(ResultRow, (chat_id, challenge_id, day_number, user_id))
    if row is None:
        raise NoSuchResult(chat_id, challenge_id, day_number, user_id)
    row.mark = mark
    await session.flush()


async def result_of(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
) -> Result | None:
    """Return a person's result of a day, whatever its state."""
    row = await session.get(ResultRow, (chat_id, challenge_id, day_number, user_id))
    return None if row is None else to_value(Result, row)


async def results_of_person(
    session: AsyncSession, *, chat_id: ChatId, challenge_id: ChallengeId, user_id: UserId
) -> tuple[Result, ...]:
    """Return a person's results in a challenge by day, whatever their state."""
    rows = await session.scalars(
        select(ResultRow)
        .where(
            ResultRow.chat_id == chat_id,
            ResultRow.challenge_id == challenge_id,
            ResultRow.user_id == user_id,
        )
        .order_by(ResultRow.day_number)
    )
    return tuple(to_value(Result, row) for row in rows)


async def results_of_message(
    session: AsyncSession, message_chat_id: ChatId, message_id: int
) -> tuple[Result, ...]:
    """Return the results that rest on a message, by day; those another has corrected do not."""
    rows = await session.scalars(
        select(ResultRow)
        .where(ResultRow.message_chat_id == message_chat_id, ResultRow.message_id == message_id)
        .order_by(ResultRow.chat_id, ResultRow.challenge_id, ResultRow.day_number)
    )
    return tuple(to_value(Result, row) for row in rows)


async def change_of_message(
    session: AsyncSession, message_chat_id: ChatId, message_id: int
) -> Result | None:
    """Return, as it stands now, the result a message gave at any time.

    Finds a message whose score another one has corrected since. The latest change decides if the
    message gave several.
    """
    row = await session.scalar(
        select(ResultRow)
        .join(
            ChangeRow,
            and_(
                ChangeRow.chat_id == ResultRow.chat_id,
                ChangeRow.challenge_id == ResultRow.challenge_id,
                ChangeRow.day_number == ResultRow.day_number,
                ChangeRow.user_id == ResultRow.user_id,
            ),
        )
        .where(ChangeRow.message_chat_id == message_chat_id, ChangeRow.message_id == message_id)
        .order_by(ChangeRow.at.desc(), ChangeRow.day_number.desc())
        .limit(1)
    )
    return None if row is None else to_value(Result, row)


async def text_of_message(
    session: AsyncSession, message_chat_id: ChatId, message_id: int
) -> str | None:
    """Return the words a message had when it last gave a result; None if it never gave one."""
    after = await session.scalar(
        select(ChangeRow.after)
        .where(ChangeRow.message_chat_id == message_chat_id, ChangeRow.message_id == message_id)
        .order_by(ChangeRow.at.desc(), ChangeRow.day_number.desc(), ChangeRow.change_number.desc())
        .limit(1)
    )
    return None if after is None else str(json.loads(after)["raw_text"])


async def history(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
) -> tuple[Change, ...]:
    """Return what happened to a person's result of a day, oldest first."""
    rows = await session.scalars(
        select(ChangeRow)
        .where(
            ChangeRow.chat_id == chat_id,
            ChangeRow.challenge_id == challenge_id,
            ChangeRow.day_number == day_number,
            ChangeRow.user_id == user_id,
        )
        .order_by(ChangeRow.change_number)
    )
    return tuple(to_value(Change, row) for row in rows)


def _state_by_time(said_at: datetime, make_up_until: datetime) -> ResultState:
    return ResultState.COUNTED if said_at <= make_up_until else ResultState.LATE


def _says_nothing_new(before: Result, after: Result) -> bool:
    """Whether it is the same message again, or the score that was struck."""
    if before.state is ResultState.NO_REP:
        return (after.result, after.division) == (before.result, before.division)
    same = replace(after, recorded_at=before.recorded_at, state=before.state, mark=before.mark)
    return same == before


async def _existing(
    session: AsyncSession,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
) -> Result:
    await hold(session, chat_id)
    row = await session.get(ResultRow, (chat_id, challenge_id, day_number, user_id))
    if row is None:
        raise NoSuchResult(chat_id, challenge_id, day_number, user_id)
    return to_value(Result, row)


@dataclass(frozen=True, slots=True)
class _Line:
    """What a line of history says beside the result."""

    kind: ChangeKind
    by: UserId
    why: str
    at: datetime


async def _judge(session: AsyncSession, before: Result, state: ResultState, line: _Line) -> Result:
    """Save a change of state, unless it is the state already (a button pressed twice)."""
    after = replace(before, state=state)
    if after.state != before.state:
        await _save(session, before, after, line)
    return after


async def _save(session: AsyncSession, before: Result | None, after: Result, line: _Line) -> None:
    await session.merge(ResultRow(**asdict(after)))
    await session.flush()  # the history line refers to the result
    last = select(func.coalesce(func.max(ChangeRow.change_number), 0)).where(
        ChangeRow.chat_id == after.chat_id,
        ChangeRow.challenge_id == after.challenge_id,
        ChangeRow.day_number == after.day_number,
        ChangeRow.user_id == after.user_id,
    )
    session.add(
        ChangeRow(
            chat_id=after.chat_id,
            challenge_id=after.challenge_id,
            day_number=after.day_number,
            user_id=after.user_id,
            change_number=(await session.scalars(last)).one() + 1,
            kind=line.kind,
            by=line.by,
            at=line.at,
            why=line.why,
            before=None if before is None else _as_json(before),
            after=_as_json(after),
            message_chat_id=after.message_chat_id,
            message_id=after.message_id,
        )
    )
    await session.flush()


def _as_json(result: Result) -> str:
    """Write a result for the history: instants in ISO 8601, `result` as the text it is."""
    values = asdict(result)
    for name in ("said_at", "recorded_at"):
        values[name] = values[name].isoformat()
    return json.dumps(values, ensure_ascii=False)
