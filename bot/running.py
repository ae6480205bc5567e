"""A running challenge with everything needed to talk about it: content, days, reader, words."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.ext.asyncio import AsyncSession

from bot.reading.reader import Reader
from bot.timetable import day_at
from bot.wording import Wording
from content.challenge import Challenge as Content
from content.challenge import RestDay, WorkoutDay
from content.score import Score, score_from_json
from content.task import Task, task_of
from store import challenges
from store.values import Challenge, ChatId, Day, Participant, UserId


@dataclass(frozen=True)
class Running:
    """One challenge as stored, as written, and the reader for it."""

    stored: Challenge
    content: Content
    days: tuple[Day, ...]
    reader: Reader
    say: Wording

    @property
    def zone(self) -> ZoneInfo:
        """The challenge's time zone."""
        return self.content.head.zone

    @property
    def written(self) -> Mapping[int, WorkoutDay | RestDay]:
        """The days as written, by number."""
        return dict(enumerate(self.content.days, start=1))

    def day(self, number: int) -> Day | None:
        """Give a day on the clock, or None if the challenge has no such day."""
        return self.days[number - 1] if 1 <= number <= len(self.days) else None

    def day_on(self, when: datetime) -> Day | None:
        """Give the day that is on at an instant, or None before the first."""
        return day_at(self.days, when)

    def task(self, number: int, division: str) -> Task | None:
        """Give a division's work on a day, or None on a rest day."""
        day = self.written[number]
        if isinstance(day, RestDay):
            return None
        return task_of(day, division, self.content.movements)

    def division_of(self, person: Participant | None) -> str:
        """Give a person's division; the challenge's first for somebody without one."""
        return self.content.head.divisions[0].id if person is None else person.division

    def division_name(self, division: str) -> str:
        """Give the name people know a division by."""
        return self.content.division(division).name


class Shelf:
    """Keeps parsed challenges and their readers, until the stored content changes."""

    def __init__(self) -> None:
        self._parsed: dict[tuple[int, int], tuple[str, Content, Reader]] = {}

    async def of_chat(
        self, session: AsyncSession, chat_id: ChatId, *, ended_too: bool = False
    ) -> Running | None:
        """Give the challenge that runs in a group, or also the latest that has ended."""
        find = challenges.latest_challenge if ended_too else challenges.running_challenge
        stored = await find(session, chat_id)
        return None if stored is None else await self.open(session, stored)

    async def of_person(
        self, session: AsyncSession, user_id: UserId, when: datetime, *, ended_too: bool = False
    ) -> list[Running]:
        """Give the challenges a person takes part in of which a day is on, the last joined first.

        Without one, the last joined; one that runs comes before one that has ended.
        """
        joined = await challenges.challenges_of_person(session, user_id, ended_too=ended_too)
        found = [await self.open(session, stored) for stored in joined]
        on = [running for running in found if running.day_on(when) is not None]
        return on or found[:1]

    async def open(self, session: AsyncSession, stored: Challenge) -> Running:
        """Give everything about a stored challenge."""
        key = (stored.chat_id, stored.challenge_id)
        kept = self._parsed.get(key)
        if kept is None or kept[0] != stored.content:
            content = Content.model_validate_json(stored.content)
            reader = Reader(
                movements=content.movements,
                divisions=content.head.divisions,
                language=content.head.language,
            )
            kept = self._parsed[key] = (stored.content, content, reader)
        _, content, reader = kept
        days = await challenges.days(session, stored)
        return Running(stored, content, days, reader, Wording(content.head.language))


def stored_score(result: str) -> Score:
    """Read a score as the store keeps it."""
    return score_from_json(json.loads(result))
