"""What is expected of every day in every division: scores, lengths, work. Rules look at this."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from content import ladder as arithmetic
from content.challenge import Challenge, Division, RestDay, WorkoutDay
from content.movement import Pattern
from content.review import effort
from content.review.finding import listed
from content.review.pace import EASY, rested_s
from content.review.people import Athletes, draw, middle_person
from content.review.simulation import (
    NotSimulated,
    Simulated,
    bursts,
    go_up,
    is_endless,
    simulate,
)
from content.score import ScoreKind
from content.task import Task, task_of
from content.timing import warm_up_s

# Between warm-up and workout, and after it, until people go home. Common practice, no source.
MOVING_ON_S = 3 * 60
# How long a day without a clock keeps people busy, and how much of that is work. Common practice,
# no source.
_ASSUMED_S = {
    ScoreKind.HOLD: (180.0, 90.0),
    ScoreKind.LOAD: (900.0, 90.0),
    ScoreKind.TOTAL_REPS: (180.0, 90.0),
    ScoreKind.DISTANCE: (1200.0, 1200.0),
    ScoreKind.DONE: (1200.0, 0.0),
}
_ALSO = 0.5  # what a movement trains beside its pattern; common practice, no source


@dataclass(frozen=True, eq=False)
class Expected:
    """One day in one division.

    Args:
        lengths_s: The workout's length for the quick quarter, the middle and the slow quarter.
        done: The middle person's repetitions on each rung, or None where nobody can say.
        rung_work_s: The middle person's work on each rung, rested, without pauses.
    """

    number: int
    division: Division
    day: WorkoutDay
    task: Task
    scores: Simulated | NotSimulated
    lengths_s: tuple[float, float, float]
    done: tuple[int, ...] | None
    rung_work_s: tuple[float, ...]

    @property
    def warm_up_s(self) -> int:
        """The warm-up's length."""
        said = self.day.warm_up
        return warm_up_s(len(said.movements), work_s=said.work_s, move_on_s=said.move_on_s)

    @property
    def session_s(self) -> float:
        """Everything from the first movement of the warm-up until the middle person goes home."""
        return self.warm_up_s + self.lengths_s[1] + MOVING_ON_S

    @property
    def effort(self) -> int:
        """How hard it is, 1 to 10: as written, or assumed."""
        if self.day.effort is not None:
            return self.day.effort
        if all(movement.id in EASY for movement in self.task.movements):
            return effort.WARM_UP_EFFORT  # a walk stays a walk, however long
        return effort.assumed_effort(self.task.workout.score, self.lengths_s[1])

    @property
    def load(self) -> float:
        """Effort times minutes."""
        return effort.session_load(
            effort=self.effort, workout_s=self.lengths_s[1], warm_up_s=self.warm_up_s
        )

    @cached_property
    def work_s(self) -> Mapping[Pattern, float]:
        """The middle person's work of each pattern, what a movement also trains included."""
        found: dict[Pattern, float] = {}
        for movement, seconds in zip(self.task.movements, self.rung_work_s, strict=True):
            found[movement.pattern] = found.get(movement.pattern, 0) + seconds
            for pattern in movement.also:
                found[pattern] = found.get(pattern, 0) + _ALSO * seconds
        return found


@dataclass(frozen=True, eq=False)
class Outlook:
    """The whole challenge as it is expected to go."""

    content: Challenge
    expected: Mapping[tuple[int, str], Expected]

    @property
    def divisions(self) -> tuple[Division, ...]:
        """The divisions in order."""
        return self.content.head.divisions

    def of_day(self, number: int) -> Sequence[Expected]:
        """Give a day's divisions in order; none for a rest day."""
        every = (self.expected.get((number, division.id)) for division in self.divisions)
        return [each for each in every if each is not None]

    def workout_days(self) -> Iterator[tuple[int, WorkoutDay, Sequence[Expected]]]:
        """Go through the workout days with their numbers and divisions."""
        for number, day in enumerate(self.content.days, start=1):
            if isinstance(day, WorkoutDay):
                yield number, day, self.of_day(number)

    def weeks(self, *, least: int = effort.WEEK) -> Iterator[range]:
        """Cut the days into weeks from day 1; the last only if it has so many days."""
        for first in range(1, len(self.content.days) + 1, effort.WEEK):
            week = range(first, min(first + effort.WEEK, len(self.content.days) + 1))
            if len(week) >= least:
                yield week

    def loads(self, division: str, days: range) -> list[float]:
        """Give the load of each day, rest days as 0."""
        every = (self.expected.get((number, division)) for number in days)
        return [0.0 if each is None else each.load for each in every]

    def who(self, divisions: Sequence[str]) -> str:
        """Name divisions at the start of a sentence: "Every division", "Full and Lighter"."""
        every = [division.name for division in self.divisions if division.id in divisions]
        if len(every) == len(self.divisions) > 1:
            return "every division"
        return listed(every)


def look_ahead(content: Challenge, athletes: Athletes | None = None) -> Outlook:
    """Work out what is expected of every day in every division."""
    people = draw() if athletes is None else athletes
    expected = {
        (number, division.id): _expect(content, number, day, division, people)
        for number, day in enumerate(content.days, start=1)
        if not isinstance(day, RestDay)
        for division in content.head.divisions
    }
    return Outlook(content, expected)


def _expect(
    content: Challenge, number: int, day: WorkoutDay, division: Division, people: Athletes
) -> Expected:
    task = task_of(day, division.id, content.movements)
    scores = simulate(task, people)
    done = _done_in_the_middle(task)
    work = _assumed_work_s(task) if done is None else rested_s(task, done)
    lengths = _lengths_s(task, scores, people)
    return Expected(number, division, day, task, scores, lengths, done, work)


def _done_in_the_middle(task: Task) -> tuple[int, ...] | None:
    person = middle_person()
    if task.steps is not None and not is_endless(task):
        total, _ = go_up(task, person, task.clock_s)
        return arithmetic.done_per_rung(task.steps, int(total[0]))
    if task.workout.score in {ScoreKind.HOLD, ScoreKind.LOAD, ScoreKind.DONE}:
        return None
    counts = bursts(task, person)
    if counts is None:
        return None
    rungs = len(task.rungs)
    return tuple(int(counts[rung::rungs].sum()) for rung in range(rungs))


def _assumed_work_s(task: Task) -> tuple[float, ...]:
    _, work = _ASSUMED_S.get(task.workout.score, (0.0, 0.0))
    return (work / len(task.rungs),) * len(task.rungs)


def _lengths_s(
    task: Task, scores: Simulated | NotSimulated, people: Athletes
) -> tuple[float, float, float]:
    if isinstance(scores, Simulated):
        spent = scores.lengths_s
    elif task.clock_s is not None or task.steps is None or is_endless(task):
        assumed, _ = _ASSUMED_S.get(task.workout.score, (0.0, 0.0))
        return (float(task.clock_s or assumed),) * 3
    else:
        _, spent = go_up(task, people, None)
    quick, middle, slow = np.quantile(spent, [0.25, 0.5, 0.75])
    return float(quick), float(middle), float(slow)
