"""Challenges of a group chat: starting, finding, ending."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from sqlalchemy import func, select, update

from store.errors import ChallengeRunning, NoSuchChallenge
from store.groups import note_group
from store.hold import hold
from store.tables import ChallengeRow, DayRow, GroupRow, ParticipantRow, PostRow, to_value
from store.values import Challenge, ChallengeId, Day, PostState

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId, PostPlan, UserId


async def start_challenge(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    title: str,
    tz: str,
    start_date: date,
    content: str,
    thread_id: int | None,
    organiser_id: UserId,
    days: Sequence[Day],
    posts: Sequence[PostPlan],
    now: datetime,
) -> Challenge:
    """Store a challenge with its days and its planned posts, which are unique by day and kind.

    The other arguments are as in `values.Challenge`.

    Raises:
        ChallengeRunning: The chat has one that has not ended.
    """
    await hold(session, chat_id)
    running = await running_challenge(session, chat_id)
    if running is not None:
        raise ChallengeRunning(chat_id, running.challenge_id)
    if await session.get(GroupRow, chat_id) is None:
        await note_group(session, chat_id, "", is_active=True, now=now)
    last = select(func.coalesce(func.max(ChallengeRow.challenge_id), 0)).where(
        ChallengeRow.chat_id == chat_id
    )
    challenge_id = ChallengeId((await session.scalars(last)).one() + 1)
    row = ChallengeRow(
        chat_id=chat_id,
        challenge_id=challenge_id,
        title=title,
        tz=tz,
        start_date=start_date,
        content=content,
        thread_id=thread_id,
        organiser_id=organiser_id,
        created_at=now,
        ended_at=None,
        paused_at=None,
        calendar_id=uuid4().hex,
    )
    session.add(row)
    await session.flush()
    session.add_all([_day_row(chat_id, challenge_id, day) for day in days])
    session.add_all([post_row(chat_id, challenge_id, plan) for plan in posts])
    await session.flush()
    return to_value(Challenge, row)


async def challenge(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId
) -> Challenge:
    """Return a challenge, running or ended.

    Raises:
        NoSuchChallenge: There is none with this number.
    """
    row = await session.get(ChallengeRow, (chat_id, challenge_id))
    if row is None:
        raise NoSuchChallenge(chat_id, challenge_id)
    return to_value(Challenge, row)


async def running_challenge(session: AsyncSession, chat_id: ChatId) -> Challenge | None:
    """Return the chat's challenge that has not ended."""
    row = await session.scalar(
        select(ChallengeRow).where(
            ChallengeRow.chat_id == chat_id, ChallengeRow.ended_at.is_(None)
        )
    )
    return None if row is None else to_value(Challenge, row)


async def latest_challenge(session: AsyncSession, chat_id: ChatId) -> Challenge | None:
    """Return the chat's running challenge, or else the one that ended last."""
    row = await session.scalar(
        select(ChallengeRow)
        .where(ChallengeRow.chat_id == chat_id)
        .order_by(ChallengeRow.challenge_id.desc())  # one at a time: the last started, ended last
        .limit(1)
    )
    return None if row is None else to_value(Challenge, row)


async def running_challenges(session: AsyncSession) -> tuple[Challenge, ...]:
    """Return all challenges that have not ended, by chat."""
    rows = await session.scalars(
        select(ChallengeRow)
        .where(ChallengeRow.ended_at.is_(None))
        .order_by(ChallengeRow.chat_id, ChallengeRow.challenge_id)
    )
    return tuple(to_value(Challenge, row) for row in rows)


async def challenges_of_person(
    session: AsyncSession, user_id: UserId, *, ended_too: bool = False
) -> tuple[Challenge, ...]:
    """Return the challenges a person joined: running ones first, then the last joined first."""
    has_ended = ChallengeRow.ended_at.is_not(None)
    query = (
        select(ChallengeRow)
        .join(
            ParticipantRow,
            (ParticipantRow.chat_id == ChallengeRow.chat_id)
            & (ParticipantRow.challenge_id == ChallengeRow.challenge_id),
        )
        .where(ParticipantRow.user_id == user_id)
        .order_by(
            has_ended,
            ParticipantRow.joined_at.desc(),
            ChallengeRow.chat_id,
            ChallengeRow.challenge_id,
        )
    )
    if not ended_too:
        query = query.where(~has_ended)
    return tuple(to_value(Challenge, row) for row in await session.scalars(query))


async def end_challenge(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId, now: datetime
) -> Challenge:
    """End a challenge and skip what it still planned to post; ending it again changes nothing.

    Raises:
        NoSuchChallenge: There is none with this number.
    """
    await hold(session, chat_id)
    row = await session.get(ChallengeRow, (chat_id, challenge_id))
    if row is None:
        raise NoSuchChallenge(chat_id, challenge_id)
    if row.ended_at is None:
        row.ended_at = now
        await session.flush()
        await session.execute(
            update(PostRow)
            .where(
                PostRow.chat_id == chat_id,
                PostRow.challenge_id == challenge_id,
                PostRow.state == PostState.PLANNED,
            )
            .values(state=PostState.SKIPPED, skipped_at=now, note="the challenge ended")
        )
    return to_value(Challenge, row)


async def challenges_of_chat(session: AsyncSession, chat_id: ChatId) -> tuple[Challenge, ...]:
    """Return all challenges a chat has had, the latest first."""
    rows = await session.scalars(
        select(ChallengeRow)
        .where(ChallengeRow.chat_id == chat_id)
        .order_by(ChallengeRow.challenge_id.desc())
    )
    return tuple(to_value(Challenge, row) for row in rows)


async def days(session: AsyncSession, challenge: Challenge) -> tuple[Day, ...]:
    """Return the days of a challenge, day 1 first."""
    rows = await session.scalars(
        select(DayRow)
        .where(DayRow.chat_id == challenge.chat_id, DayRow.challenge_id == challenge.challenge_id)
        .order_by(DayRow.day_number)
    )
    paused_at = challenge.paused_at
    return tuple(
        Day(
            number=row.day_number,
            is_rest=row.is_rest,
            on_date=row.on_date,
            opens_at=row.opens_at,
            closes_at=row.closes_at,
            make_up_until=row.make_up_until,
            is_skipped=row.is_skipped,
            is_held=paused_at is not None and row.opens_at > paused_at,
        )
        for row in rows
    )


def _day_row(chat_id: ChatId, challenge_id: ChallengeId, day: Day) -> DayRow:
    return DayRow(
        chat_id=chat_id,
        challenge_id=challenge_id,
        day_number=day.number,
        is_rest=day.is_rest,
        opens_at=day.opens_at,
        closes_at=day.closes_at,
        make_up_until=day.make_up_until,
        on_date=day.on_date,
        is_skipped=day.is_skipped,
    )


def post_row(chat_id: ChatId, challenge_id: ChallengeId, plan: PostPlan) -> PostRow:
    """Give the row of a post that is planned."""
    return PostRow(
        chat_id=chat_id,
        challenge_id=challenge_id,
        day_number=plan.day_number,
        kind=plan.kind,
        due_at=plan.due_at,
        useful_until=plan.useful_until,
        state=PostState.PLANNED,
        claimed_at=None,
        sent_at=None,
        skipped_at=None,
        message_id=None,
        note="",
    )
