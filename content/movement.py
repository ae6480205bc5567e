"""A movement: what counts as a repetition, what does not, and what to do instead."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal, Self

from pydantic import Field, model_validator

from content.fields import Line, Slug, Strict, Text


class Pattern(StrEnum):
    """What a movement trains."""

    PUSH = "push"
    PULL = "pull"
    SQUAT = "squat"
    LUNGE = "lunge"
    HINGE = "hinge"
    CORE = "core"
    JUMP = "jump"
    LOCOMOTION = "locomotion"
    CARRY = "carry"


class Kit(StrEnum):
    """What a movement needs."""

    DUMBBELL = "dumbbell"
    TWO_DUMBBELLS = "two-dumbbells"
    KETTLEBELL = "kettlebell"
    BACKPACK = "backpack"
    ROPE = "rope"
    BAR = "bar"
    BAND = "band"
    BOX = "box"
    CHAIR = "chair"
    WALL = "wall"


class CountUnit(StrEnum):
    """What is counted on a rung."""

    REPS = "reps"
    METRES = "metres"
    SECONDS = "seconds"
    CALORIES = "calories"


class Option(Strict):
    """An easier or kit-free way: a movement of the library, or one described on the spot."""

    movement: Slug | None = None
    name: Line | None = None
    how: Line

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.movement is None) == (self.name is None):
            raise ValueError("either `movement` (an id of the library) or `name`, not both")
        return self


class Movement(Strict):
    """One exercise: what counts, what does not, and what to do instead."""

    id: Slug
    name: Line
    plural: Line
    nicknames: tuple[Line, ...] = ()
    pattern: Pattern
    also: tuple[Pattern, ...] = ()  # what it trains beside that, about half as much
    one_sided: bool = False
    unit: Literal[CountUnit.REPS, CountUnit.METRES, CountUnit.SECONDS] = CountUnit.REPS
    pace: tuple[float, float]  # seconds per repetition or metre: fastest, slowest
    # The best ever over longer distances, metres: seconds; nobody keeps a sprint's pace so long.
    records: dict[int, float] = Field(default_factory=dict)
    kit: tuple[Kit, ...] = ()
    substitutes: dict[Kit, Line] = Field(default_factory=dict)
    standard: Text
    faults: tuple[Line, ...] = Field(min_length=1)
    cue: Line
    options: tuple[Option, ...] = Field(min_length=1)  # hardest first, the last needs no kit
    cautions: tuple[Line, ...] = ()

    def fastest_s(self, count: int) -> float:
        """Give the shortest time for so many repetitions or metres on end, in seconds."""
        paces = [seconds / metres for metres, seconds in self.records.items() if metres <= count]
        return count * max([self.pace[0], *paces])

    @model_validator(mode="after")
    def _pace_in_order(self) -> Self:
        fastest, slowest = self.pace
        if not 0 < fastest <= slowest:
            raise ValueError(f"pace is [fastest, slowest] in seconds, above 0, not {self.pace}")
        return self

    def called(self, count: int) -> str:
        """Give the name that stands after a count."""
        return self.name if count == 1 else self.plural
