"""Scores, times and shares in as few characters as a line of the review has room for."""

from __future__ import annotations

from content.score import Amount, Capped, Done, Finished, RoundsAndReps, Score, Unit
from content.units import clock_text, load_text

_HOUR_S = 3600
_LONG_S = 120  # for seconds alone


def short_score(score: Score) -> str:
    """Write a score: "3+45", "9:41", "capped at 130 reps", "37 reps", "2041 m"."""
    match score:
        case RoundsAndReps(rounds=rounds, reps=reps):
            return f"{rounds}+{reps}"
        case Finished(time_s=time_s):
            return clock_text(time_s)
        case Capped(total_reps=total):
            return f"capped at {total} reps"
        case Amount(amount=amount, unit=Unit.SECONDS):
            return clock_text(amount)
        case Amount(amount=amount, unit=Unit.KILOGRAMS):
            return load_text(amount)
        case Amount(amount=amount, unit=Unit.METRES):
            return f"{amount} m"
        case Amount(amount=amount):
            return f"{amount} reps"
        case Done():
            return "done"


def minutes(seconds: float) -> str:
    """Write a rough length: "8 min", "76 min", "1 h 38 min"."""
    whole = max(1, round(seconds / 60))
    hours, rest = divmod(whole, 60)
    if seconds < 2 * _HOUR_S:
        return f"{whole} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def exactly(seconds: int) -> str:
    """Write a length as people write it in a day file: "14 min", "45 s", "12:30"."""
    if seconds % 60 == 0:
        return f"{seconds // 60} min"
    return f"{seconds} s" if seconds < _LONG_S else clock_text(seconds)


def clock(seconds: float) -> str:
    """Write a length to the second: "5:09"."""
    return clock_text(round(seconds))


def percent(share: float) -> str:
    """Write a share: "21 %"."""
    return f"{round(share * 100)} %"


def span(worse: Score, better: Score) -> tuple[str, str]:
    """Write two scores as "from" and "to": times from the shorter, a unit only once."""
    if isinstance(worse, Finished) and isinstance(better, Finished):
        worse, better = better, worse
    low, high = short_score(worse), short_score(better)
    bare, _, unit = low.partition(" ")
    return (bare if unit and high.endswith(f" {unit}") else low), high


def minutes_span(low_s: float, high_s: float) -> str:
    """Write a rough range of lengths: "16 to 18 min", "76 min"."""
    low, high = minutes(low_s), minutes(high_s)
    return high if low == high else f"{low.removesuffix(' min')} to {high}"
