"""One thing that is said of a workout as a whole: its clock, its rounds, how it is scored."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from content.shorthand.measures import number, seconds
from content.shorthand.sheet import Span


class Say(StrEnum):
    """What a clause says."""

    AMRAP = "as many rounds as possible"
    EVERY = "every so often"
    INTERVALS = "work and rest"
    CAP = "cap"
    WINDOW = "window"
    ROUNDS = "rounds"
    FOR_TIME = "for time"
    SCHEME = "scheme"
    START = "start at"
    STEP = "step"
    BOUND = "down or up to"
    MAX = "maximum"
    HOLD = "longest hold"
    HEAVIEST = "heaviest"
    FAR = "as far as possible"
    DONE = "done is done"
    TOTAL = "total repetitions"
    LOWEST = "lowest round"
    REST = "rest between"
    TURNS = "in turn"
    LABEL = "whose minute"
    OPEN = "no set rounds"
    TOGETHER = "all each time"


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause; which of the numbers are there depends on what it says.

    Attributes:
        number: Rounds, size of a step (negative: fewer), start, repetitions of a heaviest set,
            the turn of a label.
        work_s, rest_s: Seconds: a window, a cap, one interval and its rest.
        scheme: The counts; `endless`: they go on.
        each: The number of intervals was said for each movement ("3 rounds, 40 s on").
        label: The words of a label; "for time" if rounds said so.
    """

    say: Say
    span: Span
    number: int | None = None
    work_s: int | None = None
    rest_s: int | None = None
    scheme: tuple[int, ...] = ()
    endless: bool = False
    each: bool = False
    label: str = ""


Reader = Callable[[re.Match[str]], Clause | None]
Patterns = tuple[tuple[re.Pattern[str], Reader], ...]

# How rounds and intervals are called, "each" in front of them, and as much as can be.
ROUND = r"(?:rounds?|rnds?|rds?)"
EACH_GO = rf"(?:{ROUND}|sets?|times?|goes?|go|intervals?|bursts?|efforts?)"
ONCE = r"(?:each|every|per|a|an)"
CAN = r"(?:(?:you|u) (?:possibly )?can|poss(?:ible)?(?!\w))"


def any_of(*ways: str) -> str:
    """Make a pattern that takes any of some ways to say a thing."""
    return f"(?:{'|'.join(ways)})"


def groups_of(found: re.Match[str]) -> dict[str, str]:
    """Give the groups that took part."""
    return {key: value for key, value in found.groupdict().items() if value}


def first_of(found: re.Match[str], letter: str) -> str:
    """Give the first group that took part of those whose name begins with a letter."""
    groups = groups_of(found)
    return next((groups[key] for key in sorted(groups) if key[0] == letter), "")


def plainly(say: Say) -> Reader:
    """Make a reader of clauses without numbers."""
    return lambda found: Clause(say, found.span())


def counted(say: Say, *, sign: int = 1) -> Reader:
    """Make a reader of clauses with a number in a group n..."""

    def read(found: re.Match[str]) -> Clause:
        said = first_of(found, "n")
        return Clause(say, found.span(), number=sign * number(said) if said else None)

    return read


def timed(say: Say) -> Reader:
    """Make a reader of clauses with a duration in a group d..., or none."""

    def read(found: re.Match[str]) -> Clause:
        said = first_of(found, "d")
        return Clause(say, found.span(), work_s=seconds(said) if said else None)

    return read
