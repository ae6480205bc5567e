"""What one pattern made of one clause, before it is weighed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.reading.values import Why
from content.score import Score


@dataclass(frozen=True, slots=True)
class Found:
    """A stretch of a clause that tells a score, or perhaps one.

    `first` and `last` are token places in the clause, both inclusive. `why` is None when the
    stretch has one meaning; else `scores` are the possible ones. `plain` says that nothing but
    bare numbers carried it: the words around must then not speak against it.
    """

    first: int
    last: int
    scores: tuple[Score, ...]
    why: Why | None = None
    plain: bool = False
    on_ladder: bool = False  # movements and counts beside it may be part of it
    placed: bool = False  # in a round by its number, or at the cap: "5 lunges in" is no progress
    rest_only: bool = False  # repetitions that are less than a round, with no round told
    is_mine: bool = False  # "me" stands in front, in a list of people
    is_whole: bool = False  # whole rounds on a ladder, and no rest
    by_movement: bool = False  # a movement tells the place
    # Gives the numbers that may stand beside it and change nothing; most are never asked for.
    explains: Callable[[], frozenset[int]] = frozenset
    is_correction: bool = False  # the mark of a correction stands in front
    maybe_theirs: bool = False  # a word in front may be a name
    loose: bool = False  # a figure that no pattern makes a score, only the words around
    likely: float = 1.0  # that it is the sender's score, by the words around it
    weak: bool = False  # plain, and nothing around carries it: alone it is no score
