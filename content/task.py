"""One division's work on one day: rungs with their movements, and the ladder in numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from content import ladder as arithmetic
from content.challenge import WorkoutDay
from content.movement import CountUnit, Movement
from content.score import ScoreKind
from content.timing import intervals_s
from content.workout import Rung, Shape, Workout, steps


@dataclass(frozen=True)
class Task:
    """What a person of one division does on one day.

    `steps` is None for workouts without fixed work (a hold, a window of one movement).
    """

    workout: Workout
    division: str
    rungs: tuple[Rung, ...]
    movements: tuple[Movement, ...]  # one per rung
    steps: arithmetic.Steps | None

    @property
    def scheme(self) -> tuple[int, ...] | None:
        """The written counts of a fixed scheme, e.g. 24-18-12."""
        own = self.workout.ladder(self.division).scheme
        return (own or self.workout.scheme) if self.workout.shape is Shape.SCHEME else None

    @property
    def clock_s(self) -> int | None:
        """The time there is: window, cap, or all intervals; None if the workout has no clock."""
        if self.workout.intervals is not None:
            intervals = self.workout.intervals
            return intervals_s(intervals.rounds, work_s=intervals.work_s, rest_s=intervals.rest_s)
        return self.workout.window_s or self.workout.cap_s

    @property
    def counted_s(self) -> int | None:
        """The time in which what the score counts is done: for the lowest round one interval."""
        intervals = self.workout.intervals
        if intervals is None:
            return self.clock_s
        lowest = self.workout.score is ScoreKind.LOWEST_ROUND
        return intervals.work_s if lowest else intervals.rounds * intervals.work_s

    def fastest_s(self, total: int) -> float:
        """Give the seconds that `total` repetitions take at each movement's fastest pace."""
        if self.steps is None:
            return total * min(movement.pace[0] for movement in self.movements)
        done = arithmetic.done_per_rung(self.steps, total)
        return sum(count * each for count, each in zip(done, self._fastest_each_s, strict=True))

    @cached_property
    def _fastest_each_s(self) -> tuple[float, ...]:
        """Give for each rung the shortest time for what is worth one repetition."""
        pairs = zip(self.rungs, self.movements, strict=True)
        return tuple(_fastest_rep_s(rung, movement) for rung, movement in pairs)


def _fastest_rep_s(rung: Rung, movement: Movement) -> float:
    """Give the shortest time for what is worth one repetition of this rung."""
    if rung.unit is CountUnit.SECONDS:
        return float(rung.every or rung.seconds or 1)
    if rung.unit is CountUnit.METRES:
        return movement.fastest_s(rung.every or rung.metres or 1)
    return movement.pace[0]


def task_of(day: WorkoutDay, division: str, movements: Mapping[str, Movement]) -> Task:
    """Put together one division's work.

    Raises:
        UnknownDivision: The day has no such division.
    """
    own = day.workout.ladder(division)
    return Task(
        workout=day.workout,
        division=division,
        rungs=own.rungs,
        movements=tuple(movements[rung.movement] for rung in own.rungs),
        steps=steps(day.workout, division),
    )
