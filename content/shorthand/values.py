"""What becomes of a jotted text: the day, what was asked, what is wrong, what was assumed."""

from __future__ import annotations

from dataclasses import dataclass

from content.challenge import RestDay, WorkoutDay
from content.movement import Movement


@dataclass(frozen=True, slots=True)
class Place:
    """A slice of the text. `line` and `column` start at 1; columns count characters."""

    line: int
    column: int
    slice: str

    def __str__(self) -> str:
        shown = self.slice if len(self.slice) <= 60 else f"{self.slice[:57]}..."  # noqa: PLR2004 - fits a line
        return f"{self.line}:{self.column}: “{shown}”" if shown else f"{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question to the organiser about a word.

    `nearest` are ids of movements, the likeliest first. `taken` is what the day was made with for
    now, an id of a movement or words; None means that the day was made without it.
    """

    place: Place
    question: str
    nearest: tuple[str, ...] = ()
    taken: str | None = None

    @property
    def word(self) -> str:
        """The word or words that are asked about, as written."""
        return self.place.slice

    def __str__(self) -> str:
        return f"{self.place}: {self.question}"


@dataclass(frozen=True, slots=True)
class Mistake:
    """Something that cannot stand so, and what would be right."""

    place: Place
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"


@dataclass(frozen=True, slots=True)
class Jotted:
    """A text, read.

    Attributes:
        day: As far as it was understood; None when there is a mistake, or nothing was.
        movements: New ones that the text defines.
        doubts, problems: In the order of the text.
        assumed: A sentence for everything that the text left open.
    """

    day: WorkoutDay | RestDay | None
    movements: tuple[Movement, ...]
    doubts: tuple[Doubt, ...]
    problems: tuple[Mistake, ...]
    assumed: tuple[str, ...]

    @property
    def left_out(self) -> tuple[Doubt, ...]:
        """What is missing from the day until it is answered."""
        return tuple(doubt for doubt in self.doubts if doubt.taken is None)

    @property
    def whole_day(self) -> WorkoutDay | RestDay | None:
        """The day if nothing is missing from it."""
        return None if self.left_out else self.day
