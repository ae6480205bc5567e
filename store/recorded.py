"""Everything that was recorded in a challenge: each result with its person and its history."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import and_, select

from store.tables import ChallengeRow, ChangeRow, GroupRow, ParticipantRow, ResultRow, to_value
from store.values import Challenge, Change, Result

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True, slots=True)
class RecordedResult:
    """One result, whatever its state, with whose it is and what happened to it, oldest first."""

    result: Result
    name: str
    home: str  # the person's division; the result's own is where the day was done
    changes: tuple[Change, ...]


async def all_challenges(session: AsyncSession) -> tuple[tuple[Challenge, str], ...]:
    """Return every challenge, running or ended, with its group's title; by chat and number."""
    rows = await session.execute(
        select(ChallengeRow, GroupRow.title)
        .join(GroupRow, GroupRow.chat_id == ChallengeRow.chat_id)
        .order_by(ChallengeRow.chat_id, ChallengeRow.challenge_id)
    )
    return tuple((to_value(Challenge, row), title) for row, title in rows)


async def everything_recorded(
    session: AsyncSession, challenge: Challenge
) -> tuple[RecordedResult, ...]:
    """Return a challenge's results by day, then by when they were said."""
    changes: dict[tuple[int, int], list[Change]] = defaultdict(list)
    for row in await session.scalars(
        select(ChangeRow)
        .where(
            ChangeRow.chat_id == challenge.chat_id,
            ChangeRow.challenge_id == challenge.challenge_id,
        )
        .order_by(ChangeRow.change_number)
    ):
        changes[row.day_number, row.user_id].append(to_value(Change, row))
    rows = await session.execute(
        select(ResultRow, ParticipantRow.name, ParticipantRow.division)
        .join(
            ParticipantRow,
            and_(
                ParticipantRow.chat_id == ResultRow.chat_id,
                ParticipantRow.challenge_id == ResultRow.challenge_id,
                ParticipantRow.user_id == ResultRow.user_id,
            ),
        )
        .where(
            ResultRow.chat_id == challenge.chat_id,
            ResultRow.challenge_id == challenge.challenge_id,
        )
        .order_by(ResultRow.day_number, ResultRow.said_at, ResultRow.user_id)
    )
    return tuple(
        RecordedResult(
            to_value(Result, row), name, home, tuple(changes[row.day_number, row.user_id])
        )
        for row, name, home in rows
    )
