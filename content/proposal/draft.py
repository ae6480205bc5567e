"""One division's ladder beside the one it is made from, while its counts are sought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate
from math import lcm

from content.challenge import WorkoutDay
from content.movement import CountUnit, Movement
from content.proposal.counts import Grid
from content.review.pace import expected_parts, expected_s
from content.task import Task, task_of
from content.workout import DivisionLadder, Shape, Workout

CLIMBING = frozenset({Shape.CLIMB, Shape.DESCEND})
WITHIN = 0.10  # a round takes as long if it is this near, as a share of the time as written
_MOST_ROUNDS = 20  # more tell nothing new


@dataclass(frozen=True)
class Written:
    """The division that others are made from.

    Args:
        day: With this division at least.
        division: Its id.
        library: Movements by id.
    """

    day: WorkoutDay
    division: str
    library: Mapping[str, Movement]

    @cached_property
    def task(self) -> Task:
        """Its work."""
        return task_of(self.day, self.division, self.library)

    @cached_property
    def rounds(self) -> int:
        """The rounds over which the time of one is meant.

        All there are, or those that the middle person finishes inside the window, at least one.
        """
        if self.task.steps is not None and self.task.steps.rounds is not None:
            return min(self.task.steps.rounds, _MOST_ROUNDS)
        ends = accumulate(each_s for _, each_s in expected_parts(self.task, _MOST_ROUNDS))
        inside = sum(end_s <= (self.task.clock_s or 0) for end_s in ends)
        return max(1, inside // len(self.task.rungs))

    @cached_property
    def round_s(self) -> float | None:
        """The middle person's seconds for one round, or None where a day has no rounds."""
        return self.round_of_s(self.task)

    def round_of_s(self, task: Task) -> float | None:
        """Give the same for other work, over as many rounds."""
        whole_s = expected_s(task, self.rounds)
        return None if whole_s is None else whole_s / self.rounds


@dataclass(frozen=True)
class Draft:
    """One division's ladder while its counts are sought.

    Args:
        written: What it is made from.
        ladder: The counts of changed rungs are first guesses.
        changed: Places, from 0, whose movement is another.
    """

    written: Written
    ladder: DivisionLadder
    changed: frozenset[int]

    @property
    def library(self) -> Mapping[str, Movement]:
        """Movements by id."""
        return self.written.library

    @property
    def workout(self) -> Workout:
        """The workout as written."""
        return self.written.day.workout

    @property
    def task(self) -> Task:
        """The ladder as it is now.

        Raises:
            ValueError: Its counts do not fit the workout's shape.
        """
        name, day = self.written.division, self.written.day
        workout = self.workout.model_copy(update={"divisions": {name: self.ladder}})
        return task_of(day.model_copy(update={"workout": workout}), name, self.library)

    @cached_property
    def round_s(self) -> float | None:
        """The middle person's seconds for one round, or None where a day has no rounds."""
        return self.written.round_of_s(self.task)

    @property
    def apart(self) -> float:
        """By what share a round takes longer than as written; below 0 it is shorter."""
        if self.round_s is None or self.written.round_s is None:
            return 0.0
        return self.round_s / self.written.round_s - 1

    def movement(self, place: int) -> Movement:
        """The movement of a rung."""
        return self.library[self.ladder.rungs[place].movement]

    def with_count(self, place: int, count: int) -> Draft:
        """Give the same with another count on one rung."""
        rungs = list(self.ladder.rungs)
        unit = rungs[place].unit
        if unit is not None:
            rungs[place] = rungs[place].model_copy(update={unit.value: count})
        return self.with_ladder(rungs=tuple(rungs))

    def with_ladder(self, **said: object) -> Draft:
        """Give the same with something else said of the ladder."""
        return replace(self, ladder=self.ladder.model_copy(update=said))

    def grid(self, place: int) -> Grid:
        """Give the counts that may stand on a rung."""
        rung, movement = self.ladder.rungs[place], self.movement(place)
        sides = 2 if movement.one_sided and not rung.each_side else 1
        unit = rung.unit or CountUnit.REPS
        return Grid(unit, lcm(sides if unit is CountUnit.REPS else 1, rung.every or 1))
