"""Write a day as shorthand that is read back as the same day.

What shorthand cannot say, and `shorthand_of` refuses:

- a day whose workout has other divisions than the challenge, or an `effort`,
- intervals beside a window or a cap, a window beside the score time,
- numbers that the shape does not use: `rounds` of a single long list, a `step` that nothing takes,
- loads that are no whole gram of hundredths of a pound, or of grams in kilograms,
- a line break inside a title, a caution or a note, and the rarer line ends in longer texts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from content.challenge import Division, RestDay, WorkoutDay
from content.fields import Load
from content.movement import CountUnit, Movement
from content.score import ScoreKind
from content.shorthand.jotting import jot
from content.units import kg_text, lb_written
from content.workout import DivisionLadder, Rung, Shape, Steps, Workout

_UNITS = {CountUnit.METRES: "m", CountUnit.SECONDS: "s", CountUnit.CALORIES: "cal"}


class NotInShorthand(ValueError):
    """A day says something that shorthand has no words for."""

    def __init__(self) -> None:
        super().__init__("this day says something that shorthand has no words for")


def shorthand_of(
    day: WorkoutDay | RestDay,
    *,
    library: Mapping[str, Movement],
    divisions: Sequence[Division],
) -> str:
    """Write a day as a coach would jot it, complete.

    Raises:
        NotInShorthand: The day says something that would be lost; the module's docstring lists it.
    """
    lines = list(_rest_day(day) if isinstance(day, RestDay) else _day(day, library, divisions))
    text = "\n".join(lines) + "\n"
    if jot(text, library=library, divisions=divisions).day != day:
        raise NotInShorthand
    return text


def _rest_day(day: RestDay) -> Iterator[str]:
    yield f"Title: {day.title}"
    first, *more = day.message.split("\n")
    yield f"Rest day: {first}"
    yield from (f"Note: {line}" for line in more)
    yield from (f"Caution: {caution}" for caution in day.cautions)


def _day(
    day: WorkoutDay, library: Mapping[str, Movement], divisions: Sequence[Division]
) -> Iterator[str]:
    yield f"Title: {day.title}"
    if day.message is not None:
        yield from (f"Note: {line}" for line in day.message.split("\n"))
    warm_up = day.warm_up
    names = ", ".join(_name(library[name]) for name in warm_up.movements)
    yield f"Warm-up {warm_up.work_s} s/{warm_up.move_on_s} s: {names}"
    yield ""
    yield from _workout(day.workout, library, divisions)
    yield ""
    if day.workout.how is not None:
        yield from (f"How: {line}" for line in day.workout.how.split("\n"))
    yield from (f"Caution: {caution}" for caution in day.cautions)


def _workout(
    workout: Workout, library: Mapping[str, Movement], divisions: Sequence[Division]
) -> Iterator[str]:
    first = workout.divisions.get(divisions[0].id)
    if first is None:
        raise NotInShorthand
    yield ", ".join(_heading(workout)) + ":"
    yield from (_rung(rung, library) for rung in first.rungs)
    own = list(_steps(first, workout))
    if own:
        yield f"{divisions[0].name}: {', '.join(own)}"
    for division in divisions[1:]:
        ladder = workout.divisions.get(division.id)
        if ladder is not None and ladder != first:
            yield from _division(division, ladder, workout, library)


def _division(
    division: Division,
    ladder: DivisionLadder,
    workout: Workout,
    library: Mapping[str, Movement],
) -> Iterator[str]:
    own = ", ".join(_steps(ladder, workout))
    yield f"{division.name}, complete list:{' ' if own else ''}{own}"
    yield from (_rung(rung, library) for rung in ladder.rungs)


def _heading(workout: Workout) -> Iterator[str]:
    """Give the clauses about the workout as a whole."""
    score, shape = workout.score, workout.shape
    if score is ScoreKind.ROUNDS_AND_REPS:
        yield f"AMRAP {_clock(workout.window_s or 0)}"
    else:
        yield from _score(score)
        if workout.window_s is not None:
            yield f"in {_clock(workout.window_s)}"
    if shape is Shape.OPEN and score is ScoreKind.DONE:
        yield "no set rounds"
    yield from _steps(workout, workout)
    if workout.intervals is not None:
        yield from _intervals(workout)
        if any(len(ladder.rungs) > 1 for ladder in workout.divisions.values()):
            yield "all of it each time"
    if workout.cap_s is not None:
        yield f"cap {_clock(workout.cap_s)}"


def _score(score: ScoreKind) -> Iterator[str]:
    words = {
        ScoreKind.TIME: "For time",
        ScoreKind.TOTAL_REPS: "Max, total reps",
        ScoreKind.LOWEST_ROUND: "Lowest round counts",
        ScoreKind.HOLD: "Longest hold",
        ScoreKind.LOAD: "Heaviest",
        ScoreKind.DISTANCE: "As far as you can",
        ScoreKind.DONE: "Done is done",
    }
    yield words[score]


def _intervals(workout: Workout) -> Iterator[str]:
    intervals = workout.intervals
    if intervals is None:
        return
    if intervals.rest_s == 0:
        yield f"every {_clock(intervals.work_s)} x {intervals.rounds}"
    else:
        yield f"{intervals.rounds} x {intervals.work_s} s on / {intervals.rest_s} s off"


def _steps(own: Steps, workout: Workout) -> Iterator[str]:
    """Give rounds, scheme and step as said once for the workout, or for one division."""
    if own.rounds is not None:
        yield f"{own.rounds} round{'' if own.rounds == 1 else 's'}"
    if own.scheme is not None:
        yield "-".join(map(str, own.scheme)) if len(own.scheme) > 1 else f"scheme {own.scheme[0]}"
    if own.step is not None:
        add = "take off" if workout.shape is Shape.DESCEND else "add"
        yield f"{add} {own.step} each round"


def _rung(rung: Rung, library: Mapping[str, Movement]) -> str:
    movement = library[rung.movement]
    parts = [_counted(rung, movement)]
    if rung.each_side:
        parts.append("each side")
    if rung.load is not None:
        parts.append(_load(rung.load))
    if rung.every is not None:
        unit = "m" if rung.unit is CountUnit.METRES else "s"
        parts.append(f"(every {rung.every} {unit} counts as one)")
    if rung.step is not None:
        parts.append(_step(rung.step))
    if rung.note is not None:
        parts.append(f'("{rung.note}")')
    return "  " + " ".join(parts)


def _step(step: int) -> str:
    if step == 0:
        return "(the same each round)"
    return f"({abs(step)} {'more' if step > 0 else 'fewer'} each round)"


def _counted(rung: Rung, movement: Movement) -> str:
    if rung.unit is None:
        return _name(movement)
    if rung.unit is not CountUnit.REPS:
        return f"{rung.count} {_UNITS[rung.unit]} {movement.name}"
    reps = "" if movement.unit is CountUnit.REPS else " reps"
    return f"{rung.count}{reps} {movement.called(rung.count or 0)}"


def _name(movement: Movement) -> str:
    return movement.plural


def _load(load: Load) -> str:
    amount = lb_written(load.grams) if load.unit == "lb" else kg_text(load.grams)
    return f"{load.pieces} x {amount}" if load.pieces > 1 else amount


def _clock(seconds: int) -> str:
    return f"{seconds // 60} min" if seconds % 60 == 0 else f"{seconds} s"
