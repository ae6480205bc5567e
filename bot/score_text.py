"""Write scores the way people say them; the reader reads every one of them back."""

from __future__ import annotations

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
from content.units import clock_text, kg_text


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
            return kg_text(score.amount)


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
    """Write the rung of a place: "5 of 18 goblet squats", "on the 200 m run"."""
    rung, movement = task.rungs[place.rung], task.movements[place.rung]
    if task.steps is None:
        return movement.name
    count = task.steps.counts(place.round_number)[place.rung]
    if rung.unit in (CountUnit.METRES, CountUnit.SECONDS):
        unit = "m" if rung.unit is CountUnit.METRES else "s"
        if rung.every is None:
            return f"on the {rung.count} {unit} {movement.name}"
        return f"{place.done * rung.every} of {count * rung.every} {unit} {movement.name}"
    return f"{place.done} of {count} {movement.called(count)}"


def example_score(task: Task) -> str:
    """Give a score a person might write on this day, with numbers that fit it."""
    match task.workout.score:
        case ScoreKind.ROUNDS_AND_REPS if task.steps is not None:
            size = arithmetic.round_size(task.steps, 4)
            return f"3 rounds + {max(1, size * 3 // 4)}"
        case ScoreKind.TIME:
            return clock_text((task.workout.cap_s or 600) * 7 // 8)
        case ScoreKind.LOWEST_ROUND if task.workout.intervals is not None:
            counts = [12, 11, 11, 10, 10, 9, 9, 9]
            rounds = task.workout.intervals.rounds
            return " ".join(str(n) for n in (counts * 8)[:rounds])
        case ScoreKind.HOLD:
            return "1:35"
        case ScoreKind.DISTANCE:
            return "2.1 km"
        case ScoreKind.LOAD:
            return "40 kg"
        case ScoreKind.DONE:
            return "done"
        case _:
            return "85 reps"
