"""Tell results that are wildly off, for the organiser to look at. Pure; nothing is refused here.

The rule works on the logarithm of a positive measure of the score (`strength`; larger is better),
so that twice and half are equally far, and on medians, which a few odd results do not move.

- **Against the group**: among at least 8 counted results of the day and division, one that is
  farther from their median than 5 robust standard deviations (1.4826 times the median absolute
  deviation); never one within a factor of 4, always one beyond a factor of 8. A group of all
  abilities spreads by a factor of 2 to 3 either way; a digit too many is a factor of 10.
- **Against oneself**: a standing is the distance from the median of the day's results, 5 or more
  of them. With standings of at least 3 earlier days: one that is farther from their median than 5
  robust standard deviations of them; never within a factor of 3, always beyond 8. Whoever usually
  does half of what the middle does, and today double, stands out here and not in the group.

The group comes first: it says more. Nothing is said of a score of 0, or of a day that is only
done or not done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import exp, log
from statistics import median

from content import ladder as arithmetic
from content.score import Amount, Capped, Finished, RoundsAndReps, Score
from content.task import Task

LEAST_GROUP = 8  # results, to judge one of them against the others
LEAST_COMPARED = 5  # results, for a median to measure a person's standing by
LEAST_DAYS = 3  # earlier days, to know how somebody usually stands
_SIGMA = 1.4826  # a normal distribution's standard deviation in median absolute deviations
_DEVIATIONS = 5
_GROUP_FACTOR = 4
_OWN_FACTOR = 3
_ANY_FACTOR = 8  # beyond it, however far the others are apart


class Mark(StrEnum):
    """Why a result should be looked at; kept with it."""

    ABOVE_GROUP = "above_group"
    BELOW_GROUP = "below_group"
    ABOVE_OWN = "above_own"
    BELOW_OWN = "below_own"


@dataclass(frozen=True, slots=True)
class Unusual:
    """A result that stands out: by what factor, and from how many results or days."""

    mark: Mark
    factor: float
    count: int


def strength(score: Score, task: Task) -> float | None:
    """Measure a score by a positive number, larger is better; None if that says nothing.

    On a ladder for time that is repetitions a second, for those who finished and those whom the
    clock stopped alike.
    """
    measure: float | None = None
    match score:
        case RoundsAndReps(total_reps=total):
            measure = total
        case Finished(time_s=time_s) if task.steps is not None and time_s:
            measure = (arithmetic.total_work(task.steps) or 0) / time_s
        case Capped(total_reps=total) if task.workout.cap_s:
            measure = total / task.workout.cap_s
        case Amount(amount=amount):
            measure = amount
        case _:
            pass
    return measure or None


def unusual(own: float, group: Sequence[float], earlier: Sequence[float] = ()) -> Unusual | None:
    """Judge one result.

    Args:
        own: Its strength.
        group: The strengths of all counted results of that day and division, `own` among them.
        earlier: The person's standings of earlier days.
    """
    if len(group) >= LEAST_GROUP:
        logs = [log(each) for each in group]
        off = _off(log(own), logs, _GROUP_FACTOR)
        if off is not None:
            mark = Mark.ABOVE_GROUP if off > 0 else Mark.BELOW_GROUP
            return Unusual(mark, exp(abs(off)), len(group))
    today = standing(own, group)
    if today is not None and len(earlier) >= LEAST_DAYS:
        off = _off(today, earlier, _OWN_FACTOR)
        if off is not None:
            mark = Mark.ABOVE_OWN if off > 0 else Mark.BELOW_OWN
            return Unusual(mark, exp(abs(off)), len(earlier))
    return None


def standing(own: float, group: Sequence[float]) -> float | None:
    """Give the logarithm of a result over the median of its day; None for too small a group."""
    if len(group) < LEAST_COMPARED:
        return None
    return log(own) - median(log(each) for each in group)


def deviation(values: Sequence[float]) -> float:
    """Give the median absolute deviation of values, scaled to a standard deviation."""
    middle = median(values)
    return _SIGMA * median(abs(each - middle) for each in values)


def _off(value: float, values: Sequence[float], least_factor: float) -> float | None:
    """Give how far a value is from the median of values, if that is wildly far."""
    off = value - median(values)
    border = max(_DEVIATIONS * deviation(values), log(least_factor))
    return off if abs(off) > min(border, log(_ANY_FACTOR)) else None
