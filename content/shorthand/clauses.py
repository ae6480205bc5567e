"""Find what lines say about the workout as a whole and take it out, so that movements are left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from content.shorthand.clause import Clause, Say
from content.shorthand.clock_words import CLOCKS
from content.shorthand.ladder_words import LADDERS
from content.shorthand.score_words import SCORES
from content.shorthand.sheet import Span

NAME = "\x00"  # stands for each letter of a movement's name
_GONE = " "  # stands for each letter of a clause that was taken out
_PARTED = ";"  # the same, where what stands before and behind are two things
# In this order: what is found first is taken out.
_CLAUSES = (*CLOCKS, *LADDERS, *SCORES)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
_TURNS = re.compile(
    r"(?<!\w)(?:alternat(?:e|ing)(?: between)?|in turn|one after the other|rotat(?:e|ing))(?!\w)"
)
_LABEL = re.compile(
    r"(?m:^[ •*-]*)(?P<line>\d{1,2}) ?(?::(?!\d)|\)|\.(?!\d))|"
    r"(?<!\S)(?P<inline>\d{1,2})\)(?= )|"
    r"(?<!\w)(?:(?P<odd>odd|even)(?: min(?:ute)?s?)?|min(?:ute)? (?P<minute>\d{1,2})(?!\d)|"
    rf"(?:(?P<th>[1-6])(?:st|nd|rd|th)|(?P<word>{'|'.join(_ORDINALS)})) min(?:ute)?|"
    r"station (?P<station>\d{1,2}))(?!\w) ?[:=-]?"
)


def take_clauses(masked: list[str], span: Span) -> Iterator[Clause]:
    """Find the clauses of some lines and take them out.

    Args:
        masked: The characters of the sheet, names of movements and brackets blotted out; what is
            taken becomes blank.
        span: The lines' place in it.
    """
    for pattern, reader in _CLAUSES:
        for found in pattern.finditer("".join(masked[span[0] : span[1]])):
            clause = reader(found)
            if clause is not None:
                yield _taken(masked, clause, span[0], _GONE)


def take_labels(masked: list[str], span: Span) -> Iterator[Clause]:
    """Find "odd", "minute 2", "alternating" and take them out; a label ends what stands before."""
    text = "".join(masked[span[0] : span[1]])
    for found in _LABEL.finditer(text):
        yield _taken(masked, _label(found), span[0], _PARTED)
    for found in _TURNS.finditer(text):
        yield _taken(masked, Clause(Say.TURNS, found.span()), span[0], _GONE)


def _label(found: re.Match[str]) -> Clause:
    if odd := found["odd"]:
        return Clause(
            Say.LABEL, found.span(), number=1 if odd == "odd" else 2, label=f"{odd} minutes"
        )
    word = found["word"]
    digits = found["line"] or found["inline"] or found["minute"] or found["th"] or found["station"]
    number = _ORDINALS.index(word) + 1 if word else max(1, int(digits))
    return Clause(Say.LABEL, found.span(), number=number, label="minute")


def _taken(masked: list[str], clause: Clause, start: int, mark: str) -> Clause:
    """Take a clause out, and give it its place on the sheet."""
    first, last = start + clause.span[0], start + clause.span[1]
    masked[first:last] = [mark if c != "\n" else c for c in masked[first:last]]
    return replace(clause, span=(first, last))
