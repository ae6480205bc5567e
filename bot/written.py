"""A day as written, with all that is needed to show it: of a running challenge or of a draft."""

from __future__ import annotations

from collections.abc import Mapping, Sized
from dataclasses import dataclass
from typing import Protocol

from bot.wording import Wording
from content.challenge import Challenge as Content
from content.challenge import RestDay, WorkoutDay
from content.task import Task, task_of


class Written(Protocol):
    """What the texts of a day look at; a running challenge has it all."""

    @property
    def content(self) -> Content:
        """The challenge as written: its head and movements."""

    @property
    def say(self) -> Wording:
        """The challenge's texts."""

    @property
    def days(self) -> Sized:
        """As many as there are days."""

    @property
    def written(self) -> Mapping[int, WorkoutDay | RestDay]:
        """The days as written, by number."""

    def task(self, number: int, division: str) -> Task | None:
        """Give a division's work on a day, or None on a rest day."""

    def division_name(self, division: str) -> str:
        """Give the name people know a division by."""


@dataclass(frozen=True, slots=True)
class OneDay:
    """A single day of a challenge that need not be complete; `content` holds it alone."""

    content: Content
    say: Wording
    number: int
    days: Sized  # of the challenge

    @property
    def written(self) -> Mapping[int, WorkoutDay | RestDay]:
        """The day by its number."""
        return {self.number: self.content.days[0]}

    def task(self, number: int, division: str) -> Task | None:
        """Give a division's work on the day, or None on a rest day."""
        day = self.written[number]
        if isinstance(day, RestDay):
            return None
        return task_of(day, division, self.content.movements)

    def division_name(self, division: str) -> str:
        """Give the name people know a division by."""
        return self.content.division(division).name
