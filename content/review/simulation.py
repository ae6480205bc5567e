"""Let imagined people do a day, all at once, and keep their scores in the day's own terms."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from content import ladder as arithmetic
from content.movement import CountUnit
from content.review.pace import Tired, Work, nobody_tired, parts, takes_s, work_of
from content.review.people import Athletes
from content.score import (
    AMOUNT_UNITS,
    FINISH,
    Amount,
    Capped,
    Finished,
    RoundsAndReps,
    Score,
    ScoreKind,
)
from content.task import Task
from content.workout import Intervals

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from content.review.people import Seconds

    Whole = NDArray[np.int64]

# A day has some tens of parts; one with this many is a slip of the keyboard.
MOST_PARTS = 4_000
_LONGEST_S = 500_000_000  # every finish ranks above FINISH less this, every count below it
_HAIR_S = 1e-6  # what adding thousands of seconds may lose


class NotSimulated(StrEnum):
    """Why a day has no expected scores."""

    HOLD = "a hold depends on the person far more than on the day"
    LOAD = "the heaviest weight depends on the person far more than on the day"
    DONE = "the day is only done or not done"
    NO_CLOCK = "without a window or intervals nobody can say how much people do"
    OTHER_UNIT = "the movement is not counted in what the score counts"
    ENDLESS = "there are too many rounds to go through"


@dataclass(frozen=True, eq=False)
class Simulated:
    """Everybody's score on one day in one division, as rank keys from the worst to the best."""

    task: Task
    keys: Whole
    lengths_s: Seconds  # how long everybody was at work, in no order

    @property
    def capped_share(self) -> float:
        """Give the share of people whom the cap stopped."""
        if self.task.workout.score is not ScoreKind.TIME:
            return 0.0
        return float(np.mean(self.keys < FINISH - _LONGEST_S))

    def score(self, key: int) -> Score:
        """Turn a rank key back into the score it came from."""
        kind, steps = self.task.workout.score, self.task.steps
        if kind is ScoreKind.ROUNDS_AND_REPS and steps is not None:
            return RoundsAndReps(*arithmetic.split(steps, key), key)
        if kind is ScoreKind.TIME:
            finished = key >= FINISH - _LONGEST_S
            return Finished(FINISH - key) if finished else Capped(key)
        return Amount(key, AMOUNT_UNITS[kind])

    def at(self, share: float) -> Score:
        """Give the score that so large a share of people do not reach: 0.25 the lower quarter."""
        return self.score(self.key_at(share))

    def key_at(self, share: float) -> int:
        """Give the rank key at a share; always the key of one of the people."""
        return int(self.keys[round(share * (self.keys.size - 1))])

    def share_below(self, key: int) -> float:
        """Give the share of people who score less; of those who score the same, half."""
        low, high = np.searchsorted(self.keys, key), np.searchsorted(self.keys, key, side="right")
        return float(low + high) / 2 / self.keys.size


def simulate(task: Task, athletes: Athletes) -> Simulated | NotSimulated:
    """Let everybody do one division's day."""
    kind = task.workout.score
    match kind:
        case ScoreKind.HOLD:
            return NotSimulated.HOLD
        case ScoreKind.LOAD:
            return NotSimulated.LOAD
        case ScoreKind.DONE:
            return NotSimulated.DONE
        case ScoreKind.ROUNDS_AND_REPS | ScoreKind.TIME:
            return _ladder_scores(task, athletes)
        case ScoreKind.TOTAL_REPS | ScoreKind.LOWEST_ROUND | ScoreKind.DISTANCE:
            return _open_scores(task, athletes)


def _ladder_scores(task: Task, athletes: Athletes) -> Simulated | NotSimulated:
    if is_endless(task):
        return NotSimulated.ENDLESS
    if task.workout.score is ScoreKind.ROUNDS_AND_REPS:
        done, spent = go_up(task, athletes, task.workout.window_s)
        return Simulated(task, np.sort(done), spent)
    done, spent = go_up(task, athletes, task.workout.cap_s or task.workout.window_s)
    whole = done == arithmetic.total_work(task.steps) if task.steps is not None else done > 0
    times = np.floor(spent + _HAIR_S).astype(np.int64)
    return Simulated(task, np.sort(np.where(whole, FINISH - times, done)), spent)


def is_endless(task: Task) -> bool:
    """Tell whether going up this ladder would take for ever (or nearly)."""
    if task.steps is None:
        return False
    if task.steps.rounds is not None:
        return task.steps.rounds * len(task.rungs) > MOST_PARTS
    clock_s, rounds = task.clock_s or 0, MOST_PARTS // len(task.rungs)
    return task.fastest_s(arithmetic.join(task.steps, rounds, 0)) < clock_s


def go_up(task: Task, athletes: Athletes, clock_s: int | None) -> tuple[Whole, Seconds]:
    """Let everybody go up the ladder until its end or the clock's.

    Returns:
        Everybody's repetitions, and the seconds at which they finished or were stopped.
    """
    works = _works(task, athletes)
    tired = nobody_tired(athletes)
    done = np.zeros(athletes.ability.size, dtype=np.int64)
    spent = np.zeros(athletes.ability.size)
    going = np.ones(athletes.ability.size, dtype=bool)
    for part in parts(task):
        work = works[part.rung]
        start = spent + athletes.pauses * part.change_s
        end = start + takes_s(work, part.count, tired, athletes)
        if clock_s is not None and np.any(end > clock_s + _HAIR_S):
            stopped = going & (end > clock_s + _HAIR_S)
            some = _most(work, part.count, clock_s - start, tired, athletes)
            done = np.where(stopped, done + some, done)
            spent = np.where(stopped, clock_s, spent)
            going &= ~stopped
            if not going.any():
                break
        done = np.where(going, done + part.count, done)
        spent = np.where(going, end, spent)
        tired = tired.after(work.pattern, part.count * work.each_s)
    return done, spent


def _works(task: Task, athletes: Athletes) -> list[Work]:
    pairs = zip(task.rungs, task.movements, strict=True)
    return [work_of(rung, movement, athletes) for rung, movement in pairs]


def _most(work: Work, most: int, left_s: Seconds, tired: Tired, athletes: Athletes) -> Whole:
    """Give how many whole repetitions, at most so many, everybody does in the time left."""
    low = np.zeros(athletes.ability.size, dtype=np.int64)
    high = np.full(athletes.ability.size, most, dtype=np.int64)
    while np.any(low < high):
        half = (low + high + 1) // 2
        fits = takes_s(work, half, tired, athletes) <= left_s + _HAIR_S
        low, high = np.where(fits, half, low), np.where(fits, high, half - 1)
    return low


def _open_scores(task: Task, athletes: Athletes) -> Simulated | NotSimulated:
    metres = task.workout.score is ScoreKind.DISTANCE
    wanted = CountUnit.METRES if metres else CountUnit.REPS
    if any(movement.unit is not wanted for movement in task.movements):
        return NotSimulated.OTHER_UNIT
    counts = bursts(task, athletes)
    if counts is None:
        return NotSimulated.NO_CLOCK
    lowest = task.workout.score is ScoreKind.LOWEST_ROUND
    keys = counts.min(axis=0) if lowest else counts.sum(axis=0)
    spent = np.full(athletes.ability.size, float(task.clock_s or 0))
    return Simulated(task, np.sort(keys), spent)


def bursts(task: Task, athletes: Athletes) -> Whole | None:
    """Let everybody do as much as they can in every burst of an open day.

    A window is one burst; several movements share it in equal parts. Intervals take the movements
    in turn.

    Returns:
        Repetitions or metres, one row per burst (or share of the window), one column per person;
        None without a clock.
    """
    intervals, rungs = task.workout.intervals, len(task.rungs)
    if intervals is not None:
        return _bursts(task, athletes, intervals)
    if task.workout.window_s is None:
        return None
    return _bursts(task, athletes, _shares(rungs, task.workout.window_s))


@dataclass(frozen=True, slots=True)
class _Shares:
    """A window cut into equal parts, without a rest between them."""

    rounds: int
    work_s: float
    rest_s: int = 0


def _shares(rungs: int, window_s: int) -> _Shares:
    return _Shares(rungs, window_s / rungs)


def _bursts(task: Task, athletes: Athletes, clock: Intervals | _Shares) -> Whole:
    works = _works(task, athletes)
    tired = nobody_tired(athletes)
    work_s = np.full(athletes.ability.size, float(clock.work_s))
    counts = []
    for number in range(clock.rounds):
        work = works[number % len(works)]
        most = int(clock.work_s / float(work.each_s.min())) + 1
        done = _most(work, most, work_s, tired, athletes)
        counts.append(done)
        # Everybody is at work for the whole burst, however much gets done in it.
        tired = tired.after(work.pattern, work_s).rested(clock.rest_s)
    return np.array(counts)
