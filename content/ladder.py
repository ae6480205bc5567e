"""Ladder arithmetic: how many repetitions each rung has in each round, exact, in integers.

A ladder here is numbers only; which movement stands on a rung is the workout's business.
Positions count repetitions: a rung of `n` repetitions is left when `n` of them are done.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import accumulate


@dataclass(frozen=True, slots=True)
class Position:
    """A place on a ladder.

    `round_number` starts at 1, `rung` at 0; `done` repetitions of that rung are done, always fewer
    than the rung holds. The end of a finite ladder is (rounds + 1, 0, 0).
    """

    round_number: int
    rung: int
    done: int


@dataclass(frozen=True, slots=True)
class Steady:
    """Rounds that stay the same, climb or descend: each rung changes by a fixed step per round.

    Args:
        first: Repetitions of each rung in round 1, each at least 1.
        step: Change of each rung from one round to the next; 0 repeats, negative descends.
        rounds: How many rounds there are; None goes on for ever (no rung may then descend).
    """

    first: tuple[int, ...]
    step: tuple[int, ...]
    rounds: int | None = None
    _size: int = field(init=False, repr=False, compare=False)  # of round 1
    _growth: int = field(init=False, repr=False, compare=False)  # per round

    def __post_init__(self) -> None:
        object.__setattr__(self, "_size", sum(self.first))
        object.__setattr__(self, "_growth", sum(self.step))
        if not self.first or len(self.first) != len(self.step):
            raise ValueError(f"one step per rung, got {self.first} and {self.step}")
        if self.rounds is not None and self.rounds < 1:
            raise ValueError(f"rounds must be at least 1, got {self.rounds}")
        if self.rounds is None and min(self.step) < 0:
            raise ValueError(f"a descending ladder needs its number of rounds, got {self.step}")
        last = (self.rounds or 1) - 1
        if any(a < 1 or a + d * last < 1 for a, d in zip(self.first, self.step, strict=True)):
            raise ValueError(f"every rung needs at least 1 repetition in every round: {self}")

    def counts(self, round_number: int) -> tuple[int, ...]:
        """Give the repetitions of each rung in a round."""
        return tuple(
            a + d * (round_number - 1) for a, d in zip(self.first, self.step, strict=True)
        )

    def through(self, rounds: int) -> int:
        """Give the repetitions of the first `rounds` whole rounds.

        Source: arithmetic series, n(first + last)/2 per rung.
        """
        return rounds * self._size + self._growth * (rounds * (rounds - 1) // 2)


@dataclass(frozen=True, slots=True)
class Listed:
    """Rounds written out one by one: a fixed scheme such as 24-18-12, or one long round."""

    each: tuple[tuple[int, ...], ...]  # one tuple of repetitions per round
    _cumulative: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not self.each or any(
            not counts or min(counts) < 1 or len(counts) != len(self.each[0])
            for counts in self.each
        ):
            raise ValueError(f"every round needs the same rungs, each at least 1: {self.each}")
        sums = accumulate((sum(counts) for counts in self.each), initial=0)
        object.__setattr__(self, "_cumulative", tuple(sums))

    @property
    def rounds(self) -> int:
        """How many rounds there are."""
        return len(self.each)

    def counts(self, round_number: int) -> tuple[int, ...]:
        """Give the repetitions of each rung in a round."""
        return self.each[round_number - 1]

    def through(self, rounds: int) -> int:
        """Give the repetitions of the first `rounds` whole rounds."""
        return self._cumulative[rounds]


Steps = Steady | Listed


def round_size(ladder: Steps, round_number: int) -> int:
    """Give the repetitions of one round."""
    return sum(ladder.counts(round_number))


def total_work(ladder: Steps) -> int | None:
    """Give the repetitions of the whole ladder, or None if it goes on for ever."""
    return None if ladder.rounds is None else ladder.through(ladder.rounds)


def split(ladder: Steps, total: int) -> tuple[int, int]:
    """Turn total repetitions into (whole rounds, repetitions of the next round).

    Raises:
        ValueError: The total is negative or more than the ladder holds.
    """
    work = total_work(ladder)
    if total < 0 or (work is not None and total > work):
        raise ValueError(f"total must be 0 to {work}, got {total}")
    # Every round holds at least one repetition, so `total` rounds are more than enough.
    upper = ladder.rounds if ladder.rounds is not None else total
    rounds = bisect_right(range(upper + 1), total, key=ladder.through) - 1
    return rounds, total - ladder.through(rounds)


def join(ladder: Steps, rounds: int, extra: int) -> int:
    """Turn whole rounds and repetitions of the next round into total repetitions.

    Raises:
        ValueError: There are not that many rounds, or the next round does not hold that many.
    """
    if rounds < 0 or (ladder.rounds is not None and rounds > ladder.rounds):
        raise ValueError(f"rounds must be 0 to {ladder.rounds}, got {rounds}")
    room = extra_room(ladder, rounds)
    if not 0 <= extra <= room:
        raise ValueError(f"round {rounds + 1} takes 0 to {room} before it is whole, got {extra}")
    return ladder.through(rounds) + extra


def extra_room(ladder: Steps, rounds: int) -> int:
    """Give the most repetitions that can stand beside `rounds` whole rounds."""
    if ladder.rounds is not None and rounds >= ladder.rounds:
        return 0
    return round_size(ladder, rounds + 1) - 1


def locate(ladder: Steps, total: int) -> Position:
    """Turn total repetitions into the place on the ladder.

    Raises:
        ValueError: The total is negative or more than the ladder holds.
    """
    rounds, extra = split(ladder, total)
    if rounds == ladder.rounds:
        return Position(rounds + 1, 0, 0)
    for rung, count in enumerate(ladder.counts(rounds + 1)):
        if extra < count:
            return Position(rounds + 1, rung, extra)
        extra -= count
    raise AssertionError("a split leaves less than a round")


def total_at(ladder: Steps, position: Position) -> int:
    """Turn a place on the ladder into total repetitions.

    Raises:
        ValueError: The ladder has no such place.
    """
    rounds = position.round_number - 1
    if rounds == ladder.rounds and position.rung == position.done == 0:
        return ladder.through(rounds)
    if rounds < 0 or (ladder.rounds is not None and rounds >= ladder.rounds):
        raise ValueError(f"no round {position.round_number} on a ladder of {ladder.rounds}")
    counts = ladder.counts(position.round_number)
    if not 0 <= position.rung < len(counts):
        raise ValueError(f"rung must be 0 to {len(counts) - 1}, got {position.rung}")
    if not 0 <= position.done < counts[position.rung]:
        raise ValueError(
            f"rung {position.rung} takes 0 to {counts[position.rung] - 1}, got {position.done}"
        )
    return ladder.through(rounds) + sum(counts[: position.rung]) + position.done


def done_per_rung(ladder: Steps, total: int) -> tuple[int, ...]:
    """Tell how many of the first `total` repetitions fall on each rung."""
    rounds, extra = split(ladder, total)
    if isinstance(ladder, Steady):
        pairs = zip(ladder.first, ladder.step, strict=True)
        whole = [rounds * a + d * (rounds * (rounds - 1) // 2) for a, d in pairs]
    else:
        whole = [sum(column[:rounds]) for column in zip(*ladder.each, strict=True)]
    if extra:
        for rung, count in enumerate(ladder.counts(rounds + 1)):
            whole[rung] += min(extra, count)
            extra -= min(extra, count)
    return tuple(whole)
