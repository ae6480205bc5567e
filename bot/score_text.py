"""Write scores the way people say them; the reader reads every one of them back."""

from __future__ import annotations

from math import ceil

from content import ladder as arithmetic
from content.movement import CountUnit
from content.score import (
    Amount,
    Capped,
    Done,
    Finished,
    RoundsAndReps,
    Score,
    ScoreKind,
    Unit,
)
from content.task import Task
from content.units import clock_text, load_text
from content.workout import Intervals


def score_text(score: Score) -> str:
    """Write a score in a few words: "3 rounds + 45", "9:41", "capped at 130 reps"."""
    match score:
        case RoundsAndReps(rounds=rounds, reps=0):
            return f"{rounds} full {'round' if rounds == 1 else 'rounds'}"
        case RoundsAndReps(rounds=rounds, reps=reps):
            return f"{rounds} {'round' if rounds == 1 else 'rounds'} + {reps}"
        case Finished(time_s=time_s):
            return clock_text(time_s)
        case Capped(total_reps=total):
            return f"capped at {_reps(total)}"
        case Amount():
            return _amount_text(score)
        case Done():
            return "done"


def _reps(count: int) -> str:
    return "1 rep" if count == 1 else f"{count} reps"


def _amount_text(score: Amount) -> str:
    match score.unit:
        case Unit.REPS if score.total_reps is not None:
            return f"lowest {score.amount}, total {score.total_reps}"
        case Unit.REPS:
            return _reps(score.amount)
        case Unit.SECONDS:
            return clock_text(score.amount)
        case Unit.METRES:
            return f"{score.amount} m"
        case Unit.KILOGRAMS:
            return load_text(score.amount)


def place_text(score: Score, task: Task) -> str:
    """Write where on the ladder a score is: "round 4, 5 of 18 goblet squats; 225 reps".

    Empty when the score says it all: a time, an amount, whole rounds.
    """
    if task.steps is None or not isinstance(score, RoundsAndReps | Capped):
        return ""
    place = arithmetic.locate(task.steps, score.total_reps)
    total = _reps(score.total_reps)
    if place.rung == place.done == 0:
        return total if isinstance(score, RoundsAndReps) else ""
    return f"round {place.round_number}, {rung_text(place, task)}; {total}"


def rung_text(place: arithmetic.Position, task: Task) -> str:
    """Write the rung of a place: "5 of 18 goblet squats", "on the 200-metre run"."""
    rung, movement = task.rungs[place.rung], task.movements[place.rung]
    if task.steps is None:
        return movement.name
    count = task.steps.counts(place.round_number)[place.rung]
    if rung.unit in (CountUnit.METRES, CountUnit.SECONDS):
        # No unit behind a number: "40 m" and "30 seconds" would be read as times.
        unit = "metre" if rung.unit is CountUnit.METRES else "second"
        if rung.every is None:
            return f"on the {rung.count}-{unit} {movement.name}"
        return f"{movement.name}, {unit} {place.done * rung.every} of {count * rung.every}"
    return f"{place.done} of {count} {movement.called(count)}"


def example_score(task: Task) -> str:
    """Give a score a person might write on this day, with numbers that fit it."""
    match task.workout.score:
        case ScoreKind.ROUNDS_AND_REPS if task.steps is not None:
            return score_text(_example_on(task.steps, task))
        case ScoreKind.TIME if task.steps is not None:
            return score_text(_example_time(task.steps, task))
        case ScoreKind.LOWEST_ROUND if task.workout.intervals is not None:
            return _example_rounds(task.workout.intervals, task)
        case ScoreKind.HOLD:
            return "1:35"
        case ScoreKind.DISTANCE:
            return f"{_in_reach(task, 2100) // 10 * 10 or 10} m"
        case ScoreKind.LOAD:
            return "40 kg"
        case ScoreKind.DONE:
            return "done"
        case _:
            return _reps(_in_reach(task, 85))


def _example_on(steps: arithmetic.Steps, task: Task) -> RoundsAndReps:
    """Three rounds and most of the next; fewer where the clock does not allow that."""
    for rounds in (3, 2, 1):
        reps = arithmetic.round_size(steps, rounds + 1) * 3 // 4
        total = steps.through(rounds) + reps
        if task.clock_s is None or task.fastest_s(total) <= task.clock_s:
            return RoundsAndReps(rounds, reps, total)
    return RoundsAndReps(0, 1, 1)


def _example_time(steps: arithmetic.Steps, task: Task) -> Finished | Capped:
    """Give a time short of the cap; if the ladder does not fit in, a place on it."""
    work = arithmetic.total_work(steps) or 1
    fastest_s, cap_s = ceil(task.fastest_s(work)), task.workout.cap_s
    if cap_s is None:
        return Finished(max(525, fastest_s * 3 // 2))
    if fastest_s > cap_s:
        return Capped(1)
    return Finished(max(cap_s * 7 // 8, fastest_s))


def _example_rounds(intervals: Intervals, task: Task) -> str:
    """Give the count of every round, or the lowest where there are very few or many."""
    most = _in_reach(task, 12)
    counts = [max(1, most - n // 2) for n in range(intervals.rounds)]
    if 3 <= len(counts) <= 12:  # noqa: PLR2004 - what one likes to type
        return " ".join(str(count) for count in counts)
    return f"lowest {counts[-1]}"


def _in_reach(task: Task, amount: int) -> int:
    """Give `amount`, or less where the clock allows only less at an easy pace."""
    if task.counted_s is None:
        return amount
    easy = 2 * min(movement.pace[0] for movement in task.movements)
    return max(1, min(amount, int(task.counted_s / easy)))
