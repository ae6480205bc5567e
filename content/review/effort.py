"""How hard a day is, and what a week of days adds up to.

Load is the effort of a session (0 to 10) times its minutes (Foster et al., J Strength Cond Res
2001;15(1):109-115). Monotony is a week's daily mean over its standard deviation, strain the
week's load times its monotony (Foster, Med Sci Sports Exerc 1998;30(7):1164-1168).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, pstdev

from content.score import ScoreKind

WEEK = 7
WARM_UP_EFFORT = 3
# Above it a week is usually called monotonous (public notes that cite Foster 1998).
HIGH_MONOTONY = 2.0
# A day at most this hard counts as easy. Common practice, no source.
EASY_EFFORT = 4

# What a kind of score asks of people, whatever its length. Common practice, no source.
_BY_KIND = {
    ScoreKind.HOLD: 5,
    ScoreKind.LOAD: 7,
    ScoreKind.DONE: 3,
    ScoreKind.LOWEST_ROUND: 8,
}
# Everything else is done as hard as its length allows: up to so many minutes, this hard. Common
# practice, no source.
_BY_MINUTES = ((5, 9), (12, 8), (30, 7))
_LONGER = 6


def assumed_effort(kind: ScoreKind, length_s: float) -> int:
    """Give the effort (0 to 10) that people will make where the organiser does not say it."""
    if kind in _BY_KIND:
        return _BY_KIND[kind]
    fitting = (effort for most, effort in _BY_MINUTES if length_s <= most * 60)
    return next(fitting, _LONGER)


def session_load(*, effort: int, workout_s: float, warm_up_s: float) -> float:
    """Give a day's load; warm-up and workout are parts that add up, each at its own effort."""
    return (WARM_UP_EFFORT * warm_up_s + effort * workout_s) / 60


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """Seven days' load. `monotony` and `strain` are None where every day is the same."""

    total: float
    mean: float
    deviation: float  # population: the seven days are the whole week, not a sample of it
    monotony: float | None
    strain: float | None


def week_load(days: Sequence[float]) -> WeekLoad:
    """Sum up seven days, rest days as 0.

    Raises:
        ValueError: They are not seven.
    """
    if len(days) != WEEK:
        raise ValueError(f"a week has {WEEK} days, got {len(days)}")
    total, mean, deviation = sum(days), fmean(days), pstdev(days)
    if deviation == 0:
        return WeekLoad(total, mean, deviation, None, None)
    return WeekLoad(total, mean, deviation, mean / deviation, total * mean / deviation)
