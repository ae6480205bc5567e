"""How long timed parts take, and how a one-sided count is split between the sides."""

from __future__ import annotations


def warm_up_s(movements: int, *, work_s: int, move_on_s: int) -> int:
    """Give the length of a timed warm-up in seconds.

    The time to move on counts after every movement, the last one too: it is the walk to the
    start of the workout. Eight movements of 45 s with 15 s to move on last 8 minutes
    (common practice, no source).
    """
    return movements * (work_s + move_on_s)


def intervals_s(rounds: int, *, work_s: int, rest_s: int) -> int:
    """Give the length of intervals in seconds, the last rest included."""
    return rounds * (work_s + rest_s)


def switch_plan(repetitions: int, *, most_per_set: int = 20) -> tuple[int, ...]:
    """Split a one-sided count into sets; each is done on one side, then on the other.

    Sets are near-equal, rounded up to fives where that leaves something for the next one, so a
    total of 70 becomes 20/20 then 15/15 (common practice, no source). An odd total leaves the
    extra repetition to the first side: the plan covers the larger side.

    Args:
        repetitions: Total of both sides, at least 1.
        most_per_set: No set is longer than this.

    Returns:
        Repetitions per side of each set, in order.
    """
    left = (repetitions + 1) // 2
    plan = []
    while left > 0:
        sets = -(-left // most_per_set)
        even = -(-left // sets)
        size = left if sets == 1 else min(-(-even // 5) * 5, most_per_set)
        plan.append(size)
        left -= size
    return tuple(plan)
