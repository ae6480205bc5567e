"""Write a day for the group: warm-up, every division's ladder, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from bot.score_text import example_score
from bot.wording import lines
from bot.written import Written
from content.challenge import RestDay, WorkoutDay
from content.movement import CountUnit, Movement
from content.score import ScoreKind
from content.task import Task
from content.timing import switch_plan, warm_up_s
from content.units import clock_text
from content.workout import Rung, Shape

_UNITS = {CountUnit.METRES: "m", CountUnit.SECONDS: "s", CountUnit.CALORIES: "cal"}


def day_post(running: Written, number: int) -> Markup:
    """Write the post of a day, with every division."""
    divisions = [division.id for division in running.content.head.divisions]
    return _day(running, number, divisions)


def day_for(running: Written, number: int, division: str) -> Markup:
    """Write a day for one person's division."""
    return _day(running, number, [division])


def _day(running: Written, number: int, divisions: list[str]) -> Markup:
    day, say = running.written[number], running.say
    heading = say("day_heading", number=number, days=len(running.days), title=day.title)
    if isinstance(day, RestDay):
        parts: list[Markup | str | None] = [heading, day.message]
    else:
        message = [day.message] if day.message else []
        parts = [lines([heading, *message]), _warm_up(running, day)]
        parts.append(workout_text(running, number, day, divisions))
    parts.append(lines([say("day_cautions"), *(f"• {text}" for text in _cautions(running, day))]))
    parts.append(_footer(running, number, day, divisions[0]))
    return Markup("\n\n").join(part for part in parts if part)


def _warm_up(running: Written, day: WorkoutDay) -> Markup:
    warm_up = day.warm_up
    length = warm_up_s(len(warm_up.movements), work_s=warm_up.work_s, move_on_s=warm_up.move_on_s)
    heading = running.say(
        "day_warm_up",
        clock=clock_text(length),
        work=f"{warm_up.work_s} s",
        move_on=f"{warm_up.move_on_s} s",
    )
    names = [running.content.movements[name].plural for name in warm_up.movements]
    return lines([heading, " · ".join(names)])


def workout_text(running: Written, number: int, day: WorkoutDay, divisions: list[str]) -> Markup:
    """Write the workout: its clock, and the ladder of each of these divisions."""
    heading = running.say("day_workout", clock=workout_clock(running, day))
    parts: list[Markup | str | None] = [heading, day.workout.how]
    for division in divisions:
        task = running.task(number, division)
        if task is None:
            continue
        parts.append("")
        name = running.say("day_division", name=running.division_name(division))
        parts.append(Markup(" · ").join(part for part in (name, _rounds(running, task)) if part))
        parts.extend(_rung(running, task, i) for i in range(len(task.rungs)))
    return lines(parts)


def workout_clock(running: Written, day: WorkoutDay) -> Markup:
    """Say how long the workout is, in words."""
    workout, say = day.workout, running.say
    if workout.intervals is not None:
        return say(
            "clock_intervals" if workout.intervals.rest_s else "clock_every",
            rounds=workout.intervals.rounds,
            work=f"{workout.intervals.work_s} s",
            rest=f"{workout.intervals.rest_s} s",
        )
    if workout.window_s is not None:
        most = workout.score is not ScoreKind.DONE
        return say("clock_window" if most else "clock_done", clock=clock_text(workout.window_s))
    if workout.cap_s is not None:
        return say("clock_cap", clock=clock_text(workout.cap_s))
    return say("clock_none")


def _rounds(running: Written, task: Task) -> Markup | None:
    """Say how the rungs below change from round to round."""
    workout, say = task.workout, running.say
    own = workout.ladder(task.division)
    match workout.shape:
        case Shape.REPEAT:
            return say("day_rounds", count=own.rounds or workout.rounds or 1)
        case Shape.SCHEME:
            return say("day_scheme", scheme="-".join(str(n) for n in task.scheme or ()))
        case Shape.CLIMB:
            return say("day_climb", step=own.step or workout.step)
        case Shape.DESCEND:
            return say("day_descend", step=own.step or workout.step)
        case Shape.ONCE:
            return say("day_once")
        case Shape.OPEN:
            return None


def _rung(running: Written, task: Task, place: int) -> str:
    rung, movement = task.rungs[place], task.movements[place]
    return " · ".join(["• " + count_text(rung, movement), *_details(running, rung, movement)])


def count_text(rung: Rung, movement: Movement) -> str:
    """Write a rung's count and name: "20 forward lunges", "200 m run", "step-ups"."""
    if rung.count is None:
        return movement.plural
    if rung.unit is CountUnit.REPS:
        return f"{rung.count} {movement.called(rung.count)}"
    return f"{rung.count} {_UNITS[rung.unit or CountUnit.METRES]} {movement.name}"


def _details(running: Written, rung: Rung, movement: Movement) -> Iterator[str]:
    if rung.load is not None:
        yield str(rung.load)
    if rung.each_side:
        yield str(running.say("each_side"))
    elif rung.load is not None and movement.one_sided and rung.reps is not None:
        plan = ", ".join(f"{size}/{size}" for size in switch_plan(rung.reps))
        yield str(running.say("switch", plan=plan))
    if rung.note is not None:
        yield rung.note


def _cautions(running: Written, day: WorkoutDay | RestDay) -> list[str]:
    """Give the day's own cautions and the challenge's, each once."""
    return list(dict.fromkeys([*day.cautions, *running.content.head.cautions]))


def _footer(running: Written, number: int, day: WorkoutDay | RestDay, division: str) -> Markup:
    task = running.task(number, division)
    if task is None or isinstance(day, RestDay):
        return running.say("day_footer_rest")
    return running.say(
        "day_footer", example=example_score(task), movement=task.movements[0].plural
    )
