"""A workout: a ladder for each division, its clock, and how it is scored."""

from __future__ import annotations

from enum import StrEnum
from typing import Self

from pydantic import Field, model_validator

from content import ladder as arithmetic
from content.errors import UnknownDivision
from content.fields import Count, Duration, DurationOrNone, Line, Load, Slug, Strict, Text
from content.movement import CountUnit
from content.score import ScoreKind


class Rung(Strict):
    """One movement with a count and maybe a load.

    Without a count it takes the scheme's (shape `scheme`) or is open-ended (shape `open`).
    `step` overrides the workout's step. `every`: so many metres or seconds are worth one
    repetition; without it the whole rung of metres or seconds is worth one.
    """

    movement: Slug
    reps: Count | None = None
    metres: Count | None = None
    seconds: Count | None = None
    calories: Count | None = None
    each_side: bool = False  # the count is done on each side: twice as many in all
    every: Count | None = None
    step: int | None = None
    load: Load | None = None
    note: Line | None = None

    @model_validator(mode="after")
    def _one_count(self) -> Self:
        given = [unit for unit in CountUnit if getattr(self, unit.value) is not None]
        if len(given) > 1:
            raise ValueError(f"one count, not {len(given)}: {', '.join(given)}")
        if self.every is not None:
            if self.metres is None and self.seconds is None:
                raise ValueError("`every` goes with `metres` or `seconds`")
            if (self.count or 0) % self.every:
                raise ValueError(f"{self.count} is not a multiple of every: {self.every}")
        return self

    @property
    def unit(self) -> CountUnit | None:
        """What is counted, or None when the count comes from the scheme or is open."""
        return next((u for u in CountUnit if getattr(self, u.value) is not None), None)

    @property
    def count(self) -> int | None:
        """The count as written."""
        return None if self.unit is None else int(getattr(self, self.unit.value))

    def worth(self, count: int) -> int:
        """Give the repetitions a count of this rung is worth on the ladder."""
        sides = 2 if self.each_side else 1
        if self.unit in (CountUnit.METRES, CountUnit.SECONDS):
            return sides * (count // self.every if self.every else 1)
        return sides * count


class Shape(StrEnum):
    """How the rungs change from round to round."""

    REPEAT = "repeat"
    CLIMB = "climb"
    DESCEND = "descend"
    SCHEME = "scheme"
    ONCE = "once"
    OPEN = "open"  # no fixed work: a window, a hold, a heaviest lift


class Steps(Strict):
    """What may be said of a ladder once for the workout, or for one division."""

    step: Count | None = None  # size of the change per round, for climb and descend
    rounds: Count | None = None
    scheme: tuple[Count, ...] | None = Field(default=None, min_length=1)


class DivisionLadder(Steps):
    """One division's rungs; what it does not say it takes from the workout."""

    rungs: tuple[Rung, ...] = Field(min_length=1)


class Intervals(Strict):
    """Work and rest by the clock."""

    rounds: Count
    work_s: Duration = Field(alias="work")
    rest_s: DurationOrNone = Field(default=0, alias="rest")


class Workout(Steps):
    """What is done on a workout day: a ladder per division, its clock and how it is scored."""

    score: ScoreKind
    shape: Shape
    window_s: Duration | None = Field(default=None, alias="window")  # as much as possible in it
    cap_s: Duration | None = Field(default=None, alias="cap")  # the clock stops here
    intervals: Intervals | None = None
    how: Text | None = None
    divisions: dict[Slug, DivisionLadder] = Field(min_length=1)

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        _check_clock(self)
        for division in self.divisions:
            try:
                steps(self, division)
            except ValueError as error:
                raise ValueError(f"division {division}: {error}") from error
        return self

    def ladder(self, division: str) -> DivisionLadder:
        """Give a division's rungs.

        Raises:
            UnknownDivision: The workout has no such division.
        """
        try:
            return self.divisions[division]
        except KeyError:
            known = tuple(self.divisions)
            raise UnknownDivision(division=division, known=known) from None


def _check_clock(workout: Workout) -> None:
    """Refuse clocks and shapes that cannot carry the score."""
    score, shape = workout.score, workout.shape
    endless = {Shape.REPEAT, Shape.CLIMB}
    if score is ScoreKind.ROUNDS_AND_REPS:
        if shape not in endless or workout.window_s is None:
            raise ValueError("rounds_and_reps needs a `window` and shape repeat or climb")
        if workout.rounds is not None:
            raise ValueError("rounds_and_reps goes on until the window ends: leave out `rounds`")
    elif score is ScoreKind.TIME:
        if shape is Shape.OPEN:
            raise ValueError("time needs a fixed ladder: repeat, climb, descend, scheme or once")
    elif shape is not Shape.OPEN and score is not ScoreKind.DONE:
        raise ValueError(f"{score} goes with shape open")
    if workout.window_s is not None and workout.cap_s is not None:
        raise ValueError("either `window` (do as much as possible) or `cap` (stop), not both")
    if workout.cap_s is not None and score is not ScoreKind.TIME:
        raise ValueError("`cap` goes with score time")
    if score is ScoreKind.LOWEST_ROUND and workout.intervals is None:
        raise ValueError("lowest_round needs `intervals`")


def steps(workout: Workout, division: str) -> arithmetic.Steps | None:
    """Give the numbers of a division's ladder, or None for shape open.

    Raises:
        ValueError: Counts, scheme, step and rounds do not fit the shape.
        UnknownDivision: The workout has no such division.
    """
    own = workout.ladder(division)
    if workout.shape is Shape.OPEN:
        return None
    if workout.shape is Shape.SCHEME:
        return _scheme_steps(own.rungs, own.scheme or workout.scheme)
    for rung in own.rungs:
        if rung.count is None:
            raise ValueError(f"{rung.movement} needs a count: reps, metres, seconds or calories")
    first = tuple(rung.worth(rung.count or 0) for rung in own.rungs)
    if workout.shape is Shape.ONCE:
        return arithmetic.Listed((first,))
    rounds = own.rounds or workout.rounds
    if rounds is None and workout.score is not ScoreKind.ROUNDS_AND_REPS:
        raise ValueError("say how many `rounds`")
    return arithmetic.Steady(first, _changes(workout, own), rounds)


def _scheme_steps(rungs: tuple[Rung, ...], scheme: tuple[int, ...] | None) -> arithmetic.Listed:
    if scheme is None:
        raise ValueError("shape scheme needs a `scheme` such as [24, 18, 12]")
    return arithmetic.Listed(
        tuple(
            tuple(rung.worth(count if rung.count is None else rung.count) for rung in rungs)
            for count in scheme
        )
    )


def _changes(workout: Workout, own: DivisionLadder) -> tuple[int, ...]:
    """Give the change of each rung per round, in repetitions."""
    if workout.shape is Shape.REPEAT:
        return (0,) * len(own.rungs)
    size = own.step or workout.step
    if size is None:
        raise ValueError(f"shape {workout.shape} needs a `step`")
    signed = size if workout.shape is Shape.CLIMB else -size
    changes = []
    for rung in own.rungs:
        step = signed if rung.step is None else rung.step
        if rung.unit in (CountUnit.METRES, CountUnit.SECONDS) and rung.every is None:
            step = 0  # worth one repetition whatever its length
        elif rung.every is not None and step % rung.every:
            raise ValueError(f"{rung.movement}: step {step} is not a multiple of {rung.every}")
        changes.append((1 if step >= 0 else -1) * rung.worth(abs(step)) if step else 0)
    return tuple(changes)
