"""Changes of a challenge's plan: the days, the posts still planned, and a line of history.

A post is only ever re-planned while it is planned: what has been claimed, sent or given up keeps
its row, so that it can neither be lost nor come twice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select, update

from store.challenges import post_row
from store.errors import NoSuchChallenge
from store.tables import ChallengeRow, DayRow, PlanChangeRow, PostRow, to_value
from store.values import Challenge, PlanChange, PostState, UserId

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId, Day, PostPlan


async def challenge_to_change(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId
) -> Challenge:
    """Return a challenge as it is, and keep others from changing it until the end of the work.

    SQLite has one writer at a time anyway; on PostgreSQL its row is locked.

    Raises:
        NoSuchChallenge: There is none with this number.
    """
    await session.execute(
        select(ChallengeRow.challenge_id)
        .where(ChallengeRow.chat_id == chat_id, ChallengeRow.challenge_id == challenge_id)
        .with_for_update()
    )
    session.expire_all()  # what was read before the lock may have been changed meanwhile
    row = await session.get(ChallengeRow, (chat_id, challenge_id))
    if row is None:
        raise NoSuchChallenge(chat_id, challenge_id)
    return to_value(Challenge, row)


async def replan(
    session: AsyncSession,
    challenge: Challenge,
    *,
    content: str,
    tz: str,
    paused_at: datetime | None,
    days: Sequence[Day],
    posts: Sequence[PostPlan],
) -> Challenge:
    """Put another plan in the place of a challenge's.

    Args:
        session: The open work.
        challenge: From `challenge_to_change`.
        content: The challenge as JSON, opaque to the store.
        tz: IANA name.
        paused_at: None: it is not paused.
        days: All days; day 1 gives the start date.
        posts: All posts it should have. Those planned now and not among them are dropped, those
            that are missing are added, and a planned one gets its times; others stay as they are.
    """
    row = await session.get_one(ChallengeRow, (challenge.chat_id, challenge.challenge_id))
    row.content, row.tz, row.paused_at = content, tz, paused_at
    row.start_date = days[0].on_date
    for day in days:
        key = (challenge.chat_id, challenge.challenge_id, day.number)
        stored = await session.get_one(DayRow, key)
        stored.is_rest, stored.is_skipped, stored.on_date = (
            day.is_rest,
            day.is_skipped,
            day.on_date,
        )
        stored.opens_at, stored.closes_at = day.opens_at, day.closes_at
        stored.make_up_until = day.make_up_until
    await _replan_posts(session, challenge, posts)
    await session.flush()
    return to_value(Challenge, row)


async def _replan_posts(
    session: AsyncSession, challenge: Challenge, posts: Sequence[PostPlan]
) -> None:
    rows = await session.scalars(
        select(PostRow)
        .where(
            PostRow.chat_id == challenge.chat_id, PostRow.challenge_id == challenge.challenge_id
        )
        .with_for_update()
    )
    stored = {(row.day_number, row.kind): row for row in rows}
    wanted = {(post.day_number, str(post.kind)): post for post in posts}
    for key, row in stored.items():
        if row.state is not PostState.PLANNED:
            continue
        if (post := wanted.get(key)) is None:
            await session.delete(row)
        else:
            row.due_at, row.useful_until = post.due_at, post.useful_until
    new = [post for key, post in wanted.items() if key not in stored]
    session.add_all([post_row(challenge.chat_id, challenge.challenge_id, post) for post in new])


async def note_change(
    session: AsyncSession,
    challenge: Challenge,
    *,
    by: UserId,
    by_name: str,
    what: str,
    at: datetime,
) -> int:
    """Add a line to the history of a plan and return its number."""
    last = select(func.coalesce(func.max(PlanChangeRow.change_number), 0)).where(
        PlanChangeRow.chat_id == challenge.chat_id,
        PlanChangeRow.challenge_id == challenge.challenge_id,
    )
    number = (await session.scalars(last)).one() + 1
    session.add(
        PlanChangeRow(
            chat_id=challenge.chat_id,
            challenge_id=challenge.challenge_id,
            change_number=number,
            by=by,
            by_name=by_name,
            at=at,
            what=what,
            told_at=None,
        )
    )
    await session.flush()
    return number


async def tell_change(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId, number: int, now: datetime
) -> str | None:
    """Note that the group is told of a change, and return its words; None if it was before."""
    told = await session.execute(
        update(PlanChangeRow)
        .where(
            PlanChangeRow.chat_id == chat_id,
            PlanChangeRow.challenge_id == challenge_id,
            PlanChangeRow.change_number == number,
            PlanChangeRow.told_at.is_(None),
        )
        .values(told_at=now)
        .returning(PlanChangeRow.what)
    )
    return told.scalar_one_or_none()


async def changes_of_plan(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId
) -> tuple[PlanChange, ...]:
    """Return the history of a challenge's plan, oldest first."""
    rows = await session.scalars(
        select(PlanChangeRow)
        .where(PlanChangeRow.chat_id == chat_id, PlanChangeRow.challenge_id == challenge_id)
        .order_by(PlanChangeRow.change_number)
    )
    return tuple(to_value(PlanChange, row) for row in rows)
