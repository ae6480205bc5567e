"""Standings, computed by the database from the counted results each time they are asked for.

Places are standard competition ranking (1, 2, 2, 4), which is SQL's RANK(). Nothing is stored, so
a correction needs no recount, and the order in which results arrived cannot matter.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import (
    BigInteger,
    Integer,
    String,
    and_,
    case,
    cast,
    func,
    literal,
    or_,
    select,
    true,
)

from store.tables import DayRow, ParticipantRow, ResultRow
from store.values import DayPlace, DayScore, OverallPlace, ResultState

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import CTE, ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId, UserId

_FIXED_WIDTH = 1_000_000_000  # added to a placing so that its digits sort as text as it does


async def day_standings(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    division: str,
    limit: int | None = None,
) -> tuple[DayPlace, ...]:
    """Rank the counted results of one day in one division, the best first.

    Equals share a place and are listed by when they were said.
    """
    place = func.rank().over(order_by=ResultRow.rank_key.desc())
    rows = await session.execute(
        select(
            place,
            ResultRow.user_id,
            ParticipantRow.name,
            ResultRow.rank_key,
            ResultRow.result,
        )
        .join(ParticipantRow, _is_same_person())
        .where(_counted_on(chat_id, challenge_id, day_number), ResultRow.division == division)
        .order_by(place, ResultRow.said_at, ResultRow.user_id)
        .limit(limit)
    )
    return tuple(DayPlace(*row) for row in rows)


async def day_scores(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    division: str,
    limit: int,
) -> tuple[DayScore, ...]:
    """Return counted results of one day in one division, those said last first."""
    rows = await session.execute(
        select(ResultRow.user_id, ResultRow.result, ResultRow.mark)
        .where(_counted_on(chat_id, challenge_id, day_number), ResultRow.division == division)
        .order_by(ResultRow.said_at.desc(), ResultRow.user_id)
        .limit(limit)
    )
    return tuple(DayScore(*row) for row in rows)


async def own_day_place(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    user_id: UserId,
) -> tuple[DayPlace, int] | None:
    """Return a person's place of a day and how many are ranked with them, in the division done.

    None if the person has no counted result.
    """
    found = await session.execute(
        select(ResultRow, ParticipantRow.name)
        .join(ParticipantRow, _is_same_person())
        .where(_counted_on(chat_id, challenge_id, day_number), ResultRow.user_id == user_id)
    )
    own = found.one_or_none()
    if own is None:
        return None
    result, name = own
    better = func.count(case((ResultRow.rank_key > result.rank_key, 1)))
    counts = await session.execute(
        select(better, func.count()).where(
            _counted_on(chat_id, challenge_id, day_number),
            ResultRow.division == result.division,
        )
    )
    ahead, entries = counts.one()
    place = DayPlace(
        place=ahead + 1,
        user_id=user_id,
        name=name,
        rank_key=result.rank_key,
        result=result.result,
    )
    return place, entries


async def entries_on_day(
    session: AsyncSession, *, chat_id: ChatId, challenge_id: ChallengeId, day_number: int
) -> dict[str, int]:
    """Count the counted results of a day by the division they were done in."""
    rows = await session.execute(
        select(ResultRow.division, func.count())
        .where(_counted_on(chat_id, challenge_id, day_number))
        .group_by(ResultRow.division)
        .order_by(ResultRow.division)
    )
    return {division: count for division, count in rows}  # noqa: C416 - dict() cannot take rows for mypy


async def overall(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    division: str,
    day_numbers: Sequence[int],
    discards: int = 0,
    limit: int | None = None,
) -> tuple[OverallPlace, ...]:
    """Rank the people whose home is `division` over the closed workout days given.

    A day's placing is the place among the people of this home who did that day at home: a visitor
    from another division ranks in the day's result and moves nobody here. A day done in another
    division counts as one place after all those; a missed day as one more than there are people at
    home in the division, so that it is never better than doing it. The worst `discards` placings
    are dropped, the earliest of equal ones first, but never all. The lowest sum wins.
    Ties are broken by the counted placings from best to worst, the first difference deciding; then
    by the last day, the next-to-last and so on, dropped ones included; then they stand.

    Listed are those with at least one counted result on these days.

    Source: Racing Rules of Sailing, A2.1, A4, A8.1 and A8.2.
    """
    placings = _placings(chat_id, challenge_id, division, day_numbers)
    weighed = _drop_worst(placings, discards)
    totals = _add_up(weighed)
    place = func.rank().over(order_by=(totals.c.points, totals.c.best_first, totals.c.last_first))
    rows = await session.execute(
        select(place, totals.c.user_id, ParticipantRow.name, totals.c.points, totals.c.days_done)
        .join(
            ParticipantRow,
            and_(
                ParticipantRow.chat_id == chat_id,
                ParticipantRow.challenge_id == challenge_id,
                ParticipantRow.user_id == totals.c.user_id,
            ),
        )
        .order_by(place, totals.c.user_id)
        .limit(limit)
    )
    return tuple(OverallPlace(*row) for row in rows)


def _counted_on(
    chat_id: ChatId, challenge_id: ChallengeId, day_number: int
) -> ColumnElement[bool]:
    return and_(
        ResultRow.chat_id == chat_id,
        ResultRow.challenge_id == challenge_id,
        ResultRow.day_number == day_number,
        ResultRow.state == ResultState.COUNTED,
    )


def _is_same_person() -> ColumnElement[bool]:
    return and_(
        ParticipantRow.chat_id == ResultRow.chat_id,
        ParticipantRow.challenge_id == ResultRow.challenge_id,
        ParticipantRow.user_id == ResultRow.user_id,
    )


def _placings(
    chat_id: ChatId, challenge_id: ChallengeId, division: str, day_numbers: Sequence[int]
) -> CTE:
    """One row for each listed person and day: user_id, day_number, is_done, placing."""
    home = (
        select(ParticipantRow.user_id)
        .where(
            ParticipantRow.chat_id == chat_id,
            ParticipantRow.challenge_id == challenge_id,
            ParticipantRow.division == division,
        )
        .cte("home")
    )
    listed_days = (
        select(DayRow.day_number)
        .where(
            DayRow.chat_id == chat_id,
            DayRow.challenge_id == challenge_id,
            DayRow.day_number.in_(day_numbers),
        )
        .cte("listed_days")
    )
    results = (
        select(ResultRow.user_id, ResultRow.day_number, ResultRow.division, ResultRow.rank_key)
        .join(listed_days, listed_days.c.day_number == ResultRow.day_number)
        .where(
            ResultRow.chat_id == chat_id,
            ResultRow.challenge_id == challenge_id,
            ResultRow.state == ResultState.COUNTED,
        )
        .cte("results_counted")
    )
    ranked = (
        select(
            results.c.user_id,
            results.c.day_number,
            func.rank()
            .over(partition_by=results.c.day_number, order_by=results.c.rank_key.desc())
            .label("place"),
        )
        .join(home, home.c.user_id == results.c.user_id)
        .where(results.c.division == division)
        .cte("ranked")
    )
    day_entries = (
        select(ranked.c.day_number, func.count().label("entries"))
        .group_by(ranked.c.day_number)
        .cte("day_entries")
    )
    listed = (
        select(home.c.user_id).where(home.c.user_id.in_(select(results.c.user_id))).cte("listed")
    )
    entries = select(func.count()).select_from(home).scalar_subquery()
    is_done = results.c.user_id.is_not(None)
    placing = case(
        (ranked.c.place.is_not(None), ranked.c.place),
        (is_done, func.coalesce(day_entries.c.entries, 0) + 1),
        else_=entries + 1,
    )
    return (
        select(
            listed.c.user_id,
            listed_days.c.day_number,
            case((is_done, 1), else_=0).label("is_done"),
            placing.label("placing"),
        )
        .select_from(listed)
        .join(listed_days, true())
        .outerjoin(results, _same_cell(results, listed, listed_days))
        .outerjoin(ranked, _same_cell(ranked, listed, listed_days))
        .outerjoin(day_entries, day_entries.c.day_number == listed_days.c.day_number)
        .cte("placings")
    )


def _same_cell(table: CTE, people: CTE, days: CTE) -> ColumnElement[bool]:
    return and_(table.c.user_id == people.c.user_id, table.c.day_number == days.c.day_number)


def _drop_worst(placings: CTE, discards: int) -> CTE:
    """Add `counted`: the placing, or NULL where it is dropped."""
    one_person = placings.c.user_id
    badness = (
        select(
            placings,
            func.row_number()
            .over(
                partition_by=one_person,
                order_by=(placings.c.placing.desc(), placings.c.day_number),
            )
            .label("badness"),
            func.count().over(partition_by=one_person).label("day_count"),
        )
    ).cte("badness")
    stays = or_(badness.c.badness > discards, badness.c.badness == badness.c.day_count)
    return select(
        badness.c.user_id,
        badness.c.day_number,
        badness.c.is_done,
        badness.c.placing,
        case((stays, badness.c.placing)).label("counted"),
    ).cte("weighed")


def _add_up(weighed: CTE) -> CTE:
    """One row a person: user_id, points, days_done, and the two tie-breaks as sortable text."""

    def in_order(placing: ColumnElement[int], *order: ColumnElement[int]) -> ColumnElement[str]:
        """Join placings in an order; NULLs are left out. Every person has as many."""
        return func.aggregate_strings(
            cast(placing + literal(_FIXED_WIDTH, Integer), String), ","
        ).over(partition_by=weighed.c.user_id, order_by=order, rows=(None, None))

    keyed = select(
        weighed,
        in_order(weighed.c.counted, weighed.c.counted).label("best_first"),
        in_order(weighed.c.placing, weighed.c.day_number.desc()).label("last_first"),
    ).cte("keyed")
    return (
        select(
            keyed.c.user_id,
            # PostgreSQL adds up whole numbers to a decimal one.
            cast(func.sum(keyed.c.counted), BigInteger).label("points"),
            cast(func.sum(keyed.c.is_done), BigInteger).label("days_done"),
            func.min(keyed.c.best_first).label("best_first"),
            func.min(keyed.c.last_first).label("last_first"),
        )
        .group_by(keyed.c.user_id)
        .cte("totals")
    )
