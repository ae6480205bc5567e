"""Counts that people can remember, and the nearest of them to what is wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, log

from content.movement import CountUnit

MOST = 10_000  # of a rung's count
# Every count up to this is remembered; above it even ones and fives. Common practice, no source.
ANY_TO = 10
# From each of these on only multiples of so much. Common practice, no source.
_REPS_STEPS = ((200, 10),)
_LENGTH_STEPS = ((10, 5), (100, 10), (500, 50), (2000, 100), (5000, 500))


@dataclass(frozen=True, slots=True)
class Grid:
    """The counts that may stand on a rung.

    Args:
        unit: What is counted.
        multiple: Each is a multiple of it: 2 where the sides take turns, `every` of a length.
    """

    unit: CountUnit
    multiple: int = 1

    def __contains__(self, count: int) -> bool:
        if not 1 <= count <= MOST or count % self.multiple:
            return False
        if self.unit is CountUnit.REPS:
            even_or_five = count <= ANY_TO or count % 2 == 0 or count % 5 == 0
            return even_or_five and count % _step(_REPS_STEPS, count) == 0
        # A length that is counted in parts is round when it is whole parts.
        return self.multiple > 1 or count % _step(_LENGTH_STEPS, count) == 0

    @property
    def least(self) -> int:
        """The smallest count there is."""
        return next(self._up(1))

    def near(self, wanted: float) -> int:
        """Give the count nearest to what is wanted, by ratio; of two as near the smaller one."""
        around = (self.below(wanted), self.above(wanted))
        choices = [count for count in around if count is not None]
        return min(choices, key=lambda count: (abs(log(count / max(wanted, 1e-9))), count))

    def below(self, wanted: float) -> int | None:
        """Give the largest count that is at most so much."""
        start = min(int(wanted), MOST)
        return next((count for count in range(start, 0, -1) if count in self), None)

    def above(self, wanted: float) -> int | None:
        """Give the smallest count that is at least so much."""
        return next(self._up(max(1, ceil(wanted))), None)

    def _up(self, start: int) -> Iterator[int]:
        return (count for count in range(start, MOST + 1) if count in self)


def _step(steps: Sequence[tuple[int, int]], count: int) -> int:
    return next((each for start, each in reversed(steps) if count >= start), 1)


def scaled(scheme: Sequence[int], factor: float, grid: Grid) -> tuple[int, ...] | None:
    """Scale a scheme such as 24-18-12 by one factor and round it.

    Returns:
        The counts, or None if rounding would change the shape: what fell must still fall, what
        rose rise, and what was equal be equal.
    """
    counts = tuple(grid.near(factor * count) for count in scheme)
    return counts if _ups_and_downs(counts) == _ups_and_downs(scheme) else None


def is_regular(scheme: Sequence[int]) -> bool:
    """Tell whether a scheme changes by as much every time: 24-18-12, and 15-12-9-12-15."""
    return len({abs(after - before) for before, after in pairwise(scheme)}) <= 1


def _ups_and_downs(scheme: Sequence[int]) -> list[int]:
    return [(after > before) - (after < before) for before, after in pairwise(scheme)]
