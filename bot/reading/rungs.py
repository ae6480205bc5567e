"""A task's ladder as people name it: rungs by movement, rounds by number or by their count."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.lexicon import MovementName
from content import ladder as arithmetic
from content.task import Task
from content.workout import Shape

FAR = 10_000  # no one does more rounds than that in a day
_MOST_SUMMED = 100  # rounds whose counts are worth adding up


class Rungs:
    """What the words for places mean on one task's ladder.

    Raises:
        ValueError: The task has none (shape open).
    """

    def __init__(self, task: Task) -> None:
        if task.steps is None:
            raise ValueError(f"no ladder in a workout of shape {task.workout.shape}")
        self.steps = task.steps
        self.work = arithmetic.total_work(task.steps)
        self._ids = [movement.id for movement in task.movements]
        self._differ = task.workout.shape not in {Shape.REPEAT, Shape.ONCE}

    def __len__(self) -> int:
        """Give how many rungs a round has."""
        return len(self._ids)

    def fits(self, total: int) -> bool:
        """Say whether the ladder holds that many repetitions, short of its end if it has one."""
        return total >= 0 and (self.work is None or total < self.work)

    def has_round(self, number: int) -> bool:
        """Say whether there is a round of that number."""
        return 1 <= number <= (self.steps.rounds or FAR)

    def with_count(self, count: int) -> Sequence[int]:
        """Give the numbers of the rounds whose rungs all hold that count, if rounds differ."""
        if not self._differ:
            return []
        if isinstance(self.steps, arithmetic.Listed):
            every = enumerate(self.steps.each, start=1)
            return [number for number, counts in every if set(counts) == {count}]
        return self._climbed_to(self.steps, count)

    def _climbed_to(self, steps: arithmetic.Steady, count: int) -> Sequence[int]:
        first, step = steps.first[0], steps.step[0]
        if set(steps.first) != {first} or set(steps.step) != {step} or step == 0:
            return []
        number, rest = divmod(count - first, step)
        return [number + 1] if rest == 0 and self.has_round(number + 1) else []

    @property
    def rounds(self) -> int | None:
        """How many rounds there are; None if they go on until the clock ends."""
        return self.steps.rounds

    def is_scheme(self, count: int) -> bool:
        """Say whether a number may name a round by its count."""
        return bool(self.with_count(count))

    def round_size(self) -> int | None:
        """Give the size of a round where all are the same."""
        return None if self._differ else arithmetic.round_size(self.steps, 1)

    def holds(self, work: int) -> bool:
        """Say whether a number is that of all repetitions."""
        return work == self.work

    def named(self, name: object) -> list[int]:
        """Give the places of the rungs that a name means, the division's own words first."""
        if not isinstance(name, MovementName):
            return []
        ids = set(name.among(self._ids))
        return [rung for rung, movement in enumerate(self._ids) if movement in ids]

    def is_all_of(self, name: object, count: int, rounds: int | None) -> bool:
        """Say whether a count is that of a movement in all of the whole rounds together."""
        if rounds is None or rounds <= 1 or not self.has_round(rounds):
            return False
        through = range(1, min(rounds, _MOST_SUMMED) + 1)
        return any(
            count == sum(self.steps.counts(number)[rung] for number in through)
            for rung in self.named(name)
        )

    def is_count_of(self, name: object, count: int) -> bool:
        """Say whether a rung that a name means has that count, in some round."""
        rounds = range(1, min(self.steps.rounds or _MOST_SUMMED, _MOST_SUMMED) + 1)
        every = [self.steps.counts(number) for number in (rounds if self._differ else rounds[:1])]
        return any(counts[rung] == count for counts in every for rung in self.named(name))

    def times_in_round(self, name: object) -> int:
        """Give how often a movement comes in one round."""
        return len(self.named(name))

    def is_on_ladder(self, name: object) -> bool:
        """Say whether a name means a movement of the day."""
        return bool(self.named(name))
