"""What a person can wish of a draft, in words or by a button."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bot.plan_values import SetTime
from content.movement import Pattern


class Page(StrEnum):
    """What a person may look at, or have done without more words."""

    DRAFT = "draft"
    HELP = "help"
    FILE = "file"
    REVIEW = "review"
    TITLE = "title"  # ask for it
    ZONE = "zone"
    DIVISIONS = "divisions"
    TIMES = "times"
    CAUTIONS = "cautions"
    DISCARD = "discard"  # ask whether
    DISCARD_SURE = "discard sure"


class OfDay(StrEnum):
    """What a person may do with a day beside writing it."""

    SEE = "preview"
    CLEAR = "clear"
    PICTURE = "picture"


@dataclass(frozen=True, slots=True)
class Show:
    """Show a page."""

    page: Page


@dataclass(frozen=True, slots=True)
class WriteDay:
    """A day's text; without one the day is shown and its text asked for."""

    number: int
    text: str = ""


@dataclass(frozen=True, slots=True)
class DayWish:
    """Something about one day."""

    what: OfDay
    number: int


@dataclass(frozen=True, slots=True)
class SetTitle:
    """The title."""

    text: str


@dataclass(frozen=True, slots=True)
class PutZone:
    """The time zone, by its name."""

    name: str


@dataclass(frozen=True, slots=True)
class SetDivisions:
    """The divisions, as `drafting.read_divisions` reads them."""

    text: str


@dataclass(frozen=True, slots=True)
class SetCautions:
    """What is said below every day, a line each."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetCount:
    """How many days."""

    count: int


@dataclass(frozen=True, slots=True)
class Begin:
    """The draft is to begin: on a date, or as soon as possible."""

    on: date | None = None


@dataclass(frozen=True, slots=True)
class BeginIn:
    """A button: begin in a group on a date; `owner` is whose draft it is."""

    chat_id: int
    ordinal: int
    owner: int


@dataclass(frozen=True, slots=True)
class Means:
    """A button: the word of a question means a movement. `mark` stands for the text it was in."""

    day: int
    doubt: int
    mark: str
    movement: str


@dataclass(frozen=True, slots=True)
class Define:
    """A button: the word of a question is a new movement; later with its pattern."""

    day: int
    doubt: int
    mark: str
    pattern: Pattern | None = None


@dataclass(frozen=True, slots=True)
class Easier:
    """A button: the easier way of the movement that is being defined."""

    movement: str


@dataclass(frozen=True, slots=True)
class UseChange:
    """A button: the day that was written anew is to be used in the running challenge."""

    mark: str


Wish = (
    Show
    | WriteDay
    | DayWish
    | SetTitle
    | PutZone
    | SetDivisions
    | SetCautions
    | SetCount
    | SetTime
    | Begin
)
KeyWish = Wish | BeginIn | Means | Define | Easier | UseChange
