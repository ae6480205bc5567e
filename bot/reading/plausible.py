"""Ask "really?" before a score that no one is fast enough for is recorded."""

from __future__ import annotations

from content import ladder as arithmetic
from content.score import Amount, Capped, Finished, RoundsAndReps, Score, Unit
from content.task import Task

# Beyond these we ask, never refuse: an hour's hold, and more than people lift.
_LONGEST_HOLD_S = 3600
_HEAVIEST_G = 400_000
_A_LINE = 6  # times less than the slowest distance: a lap or a line, no score at all
_TIMES_SLOWER = 2  # a distance so much below the slowest pace is a lap or a line, not a result


def is_possible(score: Score, task: Task) -> bool:
    """Say whether a score keeps within each movement's fastest pace, and the clock.

    Source: the library's paces, bounded by the published rates its tests name.
    """
    clock_s = task.clock_s
    match score:
        case RoundsAndReps(total_reps=total) | Capped(total_reps=total):
            return clock_s is None or task.fastest_s(total) <= clock_s
        case Finished(time_s=time_s):
            work = arithmetic.total_work(task.steps) if task.steps is not None else None
            return time_s > 0 and (work is None or task.fastest_s(work) <= time_s)
        case Amount():
            return _amount_is_possible(score, task)
        case _:
            return True


def is_conceivable(score: Score, task: Task) -> bool:
    """Say whether an impossible score may have been meant as one: a line of 20 m was not."""
    window_s = task.workout.window_s
    if not isinstance(score, Amount) or score.unit is not Unit.METRES or window_s is None:
        return True
    slowest = max(movement.pace[1] for movement in task.movements)
    return score.amount >= window_s / slowest / _A_LINE


def _amount_is_possible(score: Amount, task: Task) -> bool:
    workout = task.workout
    fastest = min(movement.pace[0] for movement in task.movements)
    match score.unit:
        case Unit.SECONDS:
            return 0 < score.amount <= _LONGEST_HOLD_S
        case Unit.KILOGRAMS:
            return 0 < score.amount <= _HEAVIEST_G
        case Unit.METRES if workout.window_s is not None:
            slowest = max(movement.pace[1] for movement in task.movements)
            least = workout.window_s / slowest / _TIMES_SLOWER
            return least <= score.amount <= workout.window_s / fastest
        case Unit.METRES:
            return True
        case Unit.REPS:
            counted_s = task.counted_s
            return counted_s is None or score.amount * fastest <= counted_s
