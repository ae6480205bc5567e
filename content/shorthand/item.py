"""One movement as jotted: its name, its count or counts, its load, what else stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from content.fields import Load
from content.movement import CountUnit
from content.shorthand.sheet import Span


@dataclass(frozen=True, slots=True)
class Item:
    """One movement of a list.

    Attributes:
        movement: Its id; None when only a count or a load was said.
        counts: One for each division in turn; empty when none was said.
        unit: What the counts count; None when none was said.
        lasts_s: A duration stood there; whether it counts or is the clock the list decides.
        sets: "3 x 10" says three sets.
        loads: One for each division in turn. `no_load`: said to be done without.
        most: "max": as many as possible, no count.
        turn: Which of the minutes in turn it belongs to, from 1.
        instead_of: The movement whose place it takes.
    """

    span: Span
    movement: str | None = None
    counts: tuple[int, ...] = ()
    unit: CountUnit | None = None
    lasts_s: int | None = None
    sets: int | None = None
    loads: tuple[Load, ...] = ()
    no_load: bool = False
    each_side: bool = False
    every: int | None = None
    step: int | None = None
    note: str | None = None
    most: bool = False
    turn: int | None = None
    turn_note: str = ""
    instead_of: str | None = None
    unknown: bool = False  # a name nobody here knows: asked about, and left out
    pause: bool = False  # "rest" in the place of a movement
    own: tuple[tuple[str, Span], ...] = ()  # divisions with their own words in brackets
