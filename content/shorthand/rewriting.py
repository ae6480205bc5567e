"""Rewrite a list where the model has no words of its own for what it says, and say so."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from content.shorthand.clause import Clause, Say
from content.shorthand.frame import Frame
from content.shorthand.item import Item
from content.shorthand.listing import Listing
from content.shorthand.sheet import Notes

_MOST_RUNGS = 60
_MINUTE = 60
_HALVES = ("odd minutes", "even minutes")
_AFTERWARDS = re.compile(
    r"(?<!\w)(?:then|followed by|finish|finally|(?:cash|buy)[- ]?out|afterwards|last(?:ly)?)(?!\w)"
)
# There is one clock for all divisions, wherever it was written.
_SHARED = frozenset(
    {
        Say.AMRAP,
        Say.EVERY,
        Say.INTERVALS,
        Say.CAP,
        Say.WINDOW,
        Say.FOR_TIME,
        Say.DONE,
        Say.TOTAL,
        Say.LOWEST,
        Say.FAR,
        Say.HOLD,
        Say.HEAVIEST,
        Say.REST,
    }
)


def share_clauses(notes: Notes, common: Listing, own: Mapping[str, Listing]) -> None:
    """Let a clock that stands in a division's lines hold for all: there is one clock."""
    for listing in own.values():
        shared = [clause for clause in listing.clauses if clause.say in _SHARED]
        listing.clauses[:] = [clause for clause in listing.clauses if clause.say not in _SHARED]
        for clause in shared:
            known = common.first(clause.say)
            if known is None:
                common.clauses.append(clause)
            elif _numbers(known) != _numbers(clause):
                notes.wrong(
                    clause.span,
                    "all divisions share one clock; write it once, above the divisions",
                )


def _numbers(clause: Clause) -> tuple[int | None, int | None, int | None]:
    return clause.number, clause.work_s, clause.rest_s


def written_out(notes: Notes, common: Listing) -> Listing:
    """Write "1 km run, then 3 rounds of 10 push-ups, 20 sit-ups" out as one long list."""
    clause = common.first(Say.ROUNDS)
    clocked = any(common.has(say) for say in (Say.AMRAP, Say.EVERY, Say.INTERVALS, Say.SCHEME))
    if clause is None or clocked or not clause.number:
        return common
    before, inside, outside = _around(notes, common, clause)
    if not inside or not (before or outside):
        return common
    if len(inside) * clause.number > _MOST_RUNGS:
        notes.wrong(clause.span, f"written out these are more than {_MOST_RUNGS} lines")
        return common
    notes.assume(
        "The rounds with what stands before or behind them are written out as one long list."
    )
    clauses = [each for each in common.clauses if each is not clause]
    if clause.label:
        clauses.append(Clause(Say.FOR_TIME, clause.span))
    return replace(common, clauses=clauses, items=[*before, *inside * clause.number, *outside])


def _around(
    notes: Notes, common: Listing, clause: Clause
) -> tuple[list[Item], list[Item], list[Item]]:
    """Part the movements into those before the rounds, in them, and behind them."""
    items = [item for item in common.items if item.movement]
    before = [item for item in items if item.span[0] < clause.span[0]]
    inside = [item for item in items if item.span[0] > clause.span[0]]
    for place, (one, other) in enumerate(itertools.pairwise(inside), start=1):
        between = notes.sheet.text[one.span[1] : other.span[0]]
        later = _AFTERWARDS.match(notes.sheet.text, other.span[0])  # "buy out 400 m run"
        if (later or _AFTERWARDS.search(between)) and (before or "\n" in between):
            return before, inside[:place], inside[place:]
    return before, inside, []


def parted_schemes(notes: Notes, common: Listing) -> Listing:
    """Write "24-18-12 swings, 12-9-6 burpees" out: the ladder has one scheme for all."""
    schemes = [c for c in common.clauses if c.say is Say.SCHEME and not c.endless]
    if len({c.scheme for c in schemes}) < 2:  # noqa: PLR2004 - one scheme holds for all
        return common
    items = [item for item in common.items if item.movement and not item.counts]
    lengths = {len(c.scheme) for c in schemes}
    if len(lengths) > 1 or len(schemes) != len(common.items) or len(items) != len(schemes):
        notes.wrong(
            schemes[1].span,
            "a second scheme; give every movement one of the same length, or one scheme to all",
        )
        clauses = [clause for clause in common.clauses if clause not in schemes[1:]]
        return replace(common, clauses=clauses)
    rounds = range(lengths.pop())
    written = [
        replace(item, counts=(clause.scheme[n],))
        for n in rounds
        for clause, item in zip(schemes, items, strict=True)
    ]
    notes.assume(
        "Each movement has its own scheme: it is written out as one long list, in the same order."
    )
    clauses = [clause for clause in common.clauses if clause not in schemes]
    return replace(common, clauses=clauses, items=written)


def take_turns(notes: Notes, common: Listing, frame: Frame) -> None:
    """Note on each movement which minute or interval is its own."""
    items = common.items
    if frame.times is None or not items or common.has(Say.TOGETHER):
        return
    labelled = max((item.turn or 0 for item in [*items, *common.pauses]), default=0)
    if any(item.turn_note and not item.turn for item in items):
        return
    if not labelled and _say_whose_turn(items):
        return
    if not labelled and not _in_turn(common):
        if len(items) > 1:
            notes.assume(
                "All movements are done every time; write “odd” and “even” or “alternating” "
                "to take turns."
            )
        return
    stations = labelled or len(items) + len(common.pauses)
    word = "minute" if (frame.work_s, frame.rest_s) == (_MINUTE, 0) else "turn"
    for place, item in enumerate(items):
        number = item.turn if labelled else place + 1
        if number is not None and item.turn_note not in _HALVES:
            items[place] = replace(item, turn_note=f"{word} {number} of {stations}")


def _in_turn(common: Listing) -> bool:
    """Tell whether the movements take turns: said so, or several of them share intervals."""
    shared = common.has(Say.INTERVALS) and len(common.items) > 1
    return common.has(Say.TURNS) or bool(common.pauses) or shared


def _say_whose_turn(items: Sequence[Item]) -> bool:
    """Tell whether the movements say it themselves."""
    return all(item.note and re.search(r"minute|turn", item.note) for item in items)
