"""Streaks, computed by the database: runs of workout days with a counted result."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import and_, case, false, func, literal, select, true, union_all

from store.tables import ChallengeRow, DayRow, ParticipantRow, ResultRow
from store.values import ResultState, Streak

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import CTE
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId, UserId


async def streaks(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    now: datetime,
    user_id: UserId | None = None,
) -> tuple[Streak, ...]:
    """Return the streak of everyone in the challenge, or of one person, longest current first.

    A current streak lives as long as its next day can still be made up: it ends when the make-up
    time of a workout day without a counted result is over. The result may be in any division.
    A skipped day is as if it were not there; a day that a pause holds back ends nobody's streak.
    """
    workout_days = _workout_days(chat_id, challenge_id)
    runs = _runs(chat_id, challenge_id, workout_days, user_id)
    settled = select(func.coalesce(func.max(workout_days.c.turn), 0)).where(
        workout_days.c.make_up_until < now, workout_days.c.is_held.is_(False)
    )
    is_alive = runs.c.last_turn >= settled.scalar_subquery()
    # Of the runs that reach the last settled day, the latest one.
    latest = func.max(runs.c.last_turn).over(partition_by=runs.c.user_id)
    judged = select(
        runs.c.user_id,
        runs.c.length,
        case((and_(is_alive, runs.c.last_turn == latest), runs.c.length), else_=0).label("alive"),
    )
    # Everyone takes part with a run of 0; an outer join would be compared pair by pair.
    everyone = select(ParticipantRow.user_id, literal(0), literal(0)).where(
        ParticipantRow.chat_id == chat_id,
        ParticipantRow.challenge_id == challenge_id,
        true() if user_id is None else ParticipantRow.user_id == user_id,
    )
    found = union_all(judged, everyone).cte("found")
    current, best = func.max(found.c.alive), func.max(found.c.length)
    query = (
        select(found.c.user_id, current, best)
        .group_by(found.c.user_id)
        .order_by(current.desc(), best.desc(), found.c.user_id)
    )
    return tuple(Streak(*row) for row in await session.execute(query))


def _workout_days(chat_id: ChatId, challenge_id: ChallengeId) -> CTE:
    """Workout days numbered without gaps, as if rest days and skipped ones were not there."""
    is_held = func.coalesce(DayRow.opens_at > ChallengeRow.paused_at, false())
    return (
        select(
            DayRow.day_number,
            DayRow.make_up_until,
            is_held.label("is_held"),
            func.row_number().over(order_by=DayRow.day_number).label("turn"),
        )
        .join(
            ChallengeRow,
            and_(
                ChallengeRow.chat_id == DayRow.chat_id,
                ChallengeRow.challenge_id == DayRow.challenge_id,
            ),
        )
        .where(
            DayRow.chat_id == chat_id,
            DayRow.challenge_id == challenge_id,
            DayRow.is_rest.is_(False),
            DayRow.is_skipped.is_(False),
        )
        .cte("workout_days")
    )


def _runs(
    chat_id: ChatId, challenge_id: ChallengeId, workout_days: CTE, user_id: UserId | None
) -> CTE:
    """Runs of turns: a turn less its rank among a person's own stays the same within a run."""
    own_rank = func.row_number().over(partition_by=ResultRow.user_id, order_by=workout_days.c.turn)
    done = (
        select(
            ResultRow.user_id,
            workout_days.c.turn,
            (workout_days.c.turn - own_rank).label("run"),
        )
        .join(workout_days, workout_days.c.day_number == ResultRow.day_number)
        .where(
            ResultRow.chat_id == chat_id,
            ResultRow.challenge_id == challenge_id,
            ResultRow.state == ResultState.COUNTED,
            true() if user_id is None else ResultRow.user_id == user_id,
        )
        .cte("done")
    )
    return (
        select(
            done.c.user_id,
            func.count().label("length"),
            func.max(done.c.turn).label("last_turn"),
        )
        .group_by(done.c.user_id, done.c.run)
        .cte("runs")
    )
