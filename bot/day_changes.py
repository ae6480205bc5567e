"""What differs between two versions of a day, in a few words for the people who do it. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from markupsafe import Markup

from bot.day_text import count_text
from bot.wording import Wording
from content.challenge import Division, RestDay, WorkoutDay
from content.movement import Movement
from content.workout import DivisionLadder, Rung, Workout

_MOST = 8
AnyDay = WorkoutDay | RestDay


def day_changes(
    say: Wording,
    old: AnyDay,
    new: AnyDay,
    *,
    divisions: tuple[Division, ...],
    movements: Mapping[str, Movement],
) -> list[Markup]:
    """Give each difference in a few words, at most eight; the last may say that there are more.

    Args:
        say: The challenge's texts.
        old: As it was.
        new: As it will be.
        divisions: Of the challenge, in order.
        movements: All that either of the two names.
    """
    told = list(_changes(say, old, new, divisions, movements))
    if len(told) > _MOST:
        return [*told[: _MOST - 1], say("changed_more", count=len(told) - _MOST + 1)]
    return told


def _changes(
    say: Wording,
    old: AnyDay,
    new: AnyDay,
    divisions: tuple[Division, ...],
    movements: Mapping[str, Movement],
) -> Iterator[Markup]:
    if isinstance(old, WorkoutDay) and isinstance(new, WorkoutDay):
        yield from _clock(say, old.workout, new.workout)
        for division in divisions:
            before = old.workout.divisions.get(division.id)
            after = new.workout.divisions.get(division.id)
            if before is not None and after is not None and before != after:
                yield from _ladder(say, division.name, before, after, movements)
        if old.warm_up != new.warm_up:
            yield say("changed_warm_up")
        if old.workout.how != new.workout.how:
            yield say("changed_words")
    elif old.kind != new.kind:
        yield say("changed_kind_rest" if isinstance(new, RestDay) else "changed_kind_workout")
    if old.title != new.title:
        yield say("changed_title", title=new.title)
    if old.message != new.message:
        yield say("changed_words")
    if old.cautions != new.cautions:
        yield say("changed_cautions")


def _clock(say: Wording, old: Workout, new: Workout) -> Iterator[Markup]:
    def what(workout: Workout) -> tuple[object, ...]:
        steps = (workout.scheme, workout.step, workout.rounds)
        clock = (workout.window_s, workout.cap_s, workout.intervals)
        return (workout.score, workout.shape, *clock, *steps)

    if old.score is not new.score or old.shape is not new.shape:
        yield say("changed_rule")
    elif what(old) != what(new):
        yield say("changed_clock")


def _ladder(
    say: Wording,
    division: str,
    old: DivisionLadder,
    new: DivisionLadder,
    movements: Mapping[str, Movement],
) -> Iterator[Markup]:
    """Tell rung by rung where there are as many as before, else that the work is another."""
    pairs = [
        (before, after)
        for before, after in zip(old.rungs, new.rungs, strict=False)
        if before != after
    ]
    if len(old.rungs) != len(new.rungs) or not pairs:
        yield say("changed_work", division=division)
        return
    for before, after in pairs:
        yield say(
            "changed_rung",
            division=division,
            old=_rung_text(before, movements),
            new=_rung_text(after, movements),
        )


def _rung_text(rung: Rung, movements: Mapping[str, Movement]) -> str:
    text = count_text(rung, movements[rung.movement])
    return f"{text} · {rung.load}" if rung.load is not None else text
