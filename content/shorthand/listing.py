"""Read lines of work: what they say of the workout, their movements in order, and mere words."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from content.shorthand.chunks import blot_brackets, chunks_of
from content.shorthand.clause import Clause, Say, any_of
from content.shorthand.clauses import take_clauses, take_labels
from content.shorthand.item import Item
from content.shorthand.items import ItemReader
from content.shorthand.names import claim_names
from content.shorthand.pieces import NamedDivision
from content.shorthand.sheet import Notes, Span, joined
from content.shorthand.undecided import ask_contradicted, ask_undecided
from content.shorthand.vocabulary import Vocabulary, words_of


@dataclass(slots=True)
class Listing:
    """What some lines say.

    `prose` are lines that are sentences to the people rather than work.
    """

    clauses: list[Clause] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    prose: list[Span] = field(default_factory=list)
    pauses: list[Item] = field(default_factory=list)  # "rest" in the place of a movement
    labels: list[Clause] = field(default_factory=list)  # those of the clauses that are labels

    def first(self, say: Say) -> Clause | None:
        """Give the first clause that says this."""
        return next((clause for clause in self.clauses if clause.say is say), None)

    def has(self, say: Say) -> bool:
        """Tell whether a clause says this."""
        return self.first(say) is not None


_IN_TURN = re.compile(
    any_of(
        r"(?<!\w)(?:e\d{0,2}mom(?![a-z])|(?:every|each minute|on the minute|intervals?)(?!\w))",
        r"(?<!\w)on(?!\w)[^\n]{1,40}(?<!\w)off(?!\w)",
        r"work[^\n]{1,20}rest",
        r"\d ?s on",
        r"(?m:^[ •*-]*min(?:ute)? [1-9](?!\w))",
    )
)
_SENTENCE = re.compile(r"[.!?…]\)? *$")
_FEW_WORDS, _MANY_WORDS = 5, 10  # a sentence has a few; many words are one without a stop
_APART = 80  # characters: something else stands between two lines of a list


def read_list(
    notes: Notes,
    vocabulary: Vocabulary,
    lines: Sequence[Span],
    *,
    named_division: NamedDivision = lambda _: None,
    division: bool = False,
) -> Listing:
    """Read lines of work.

    Args:
        notes: The sheet, and where to note what comes up.
        vocabulary: The names of the movements there are.
        lines: Their places, in order.
        named_division: Reads "lighter: ..." at the start of what stands in brackets.
        division: They are one division's own lines; "x -> y" replaces there.
    """
    listing = Listing()
    if not lines:
        return listing
    masked = ["\n" if character == "\n" else " " for character in notes.sheet.text]
    for start, end in lines:
        masked[start:end] = notes.sheet.text[start:end]
    brackets: list[Span] = []
    names: list[Span] = []
    lines = [line for line in lines if not _is_prose(notes, vocabulary, line, listing)]
    for line in lines:
        brackets.extend(blot_brackets(masked, line))
        names.extend(claim_names(masked, line, vocabulary))
        ask_undecided(notes, masked, line)
    blocks = list(_blocks(lines))
    in_turn = any(_IN_TURN.search(notes.sheet.text, *block) for block in blocks)
    for block in blocks:
        if in_turn:  # first: "min 1 - 12 swings" is no scheme
            listing.clauses.extend(take_labels(masked, block))
        listing.clauses.extend(take_clauses(masked, block))
    listing.clauses.sort(key=lambda clause: clause.span)
    _minutes_by_themselves(notes, listing)
    listing.labels = [clause for clause in listing.clauses if clause.say is Say.LABEL]
    heavy = listing.has(Say.HEAVIEST)
    reader = ItemReader(notes, vocabulary, masked, names, brackets, named_division, heavy)
    for line in lines:
        for chunk in chunks_of(masked, line, division=division):
            _add(listing, reader, chunk)
    listing.prose.extend(joined(notes.sheet, reader.talk))
    ask_contradicted(notes, brackets, listing.clauses)
    return listing


def _minutes_by_themselves(notes: Notes, listing: Listing) -> None:
    """Take "min 1: ..., min 2: ..." without a clock as every minute on the minute."""
    labels = [clause for clause in listing.clauses if clause.say is Say.LABEL]
    clocked = any(listing.has(say) for say in (Say.EVERY, Say.INTERVALS, Say.AMRAP))
    minutes = [label for label in labels if "min" in notes.sheet.slice(label.span).casefold()]
    if len(minutes) > 1 and not clocked:
        listing.clauses.append(Clause(Say.EVERY, minutes[0].span, work_s=60))
        notes.assume("Each minute has its own movement.")


def _blocks(lines: Sequence[Span]) -> Iterator[Span]:
    """Give the lines, neighbours together: a clause may go on behind a line's end."""
    start, end = lines[0] if lines else (0, 0)
    for line in lines[1:]:
        if line[0] - end > _APART:
            yield start, end
            start = line[0]
        end = line[1]
    if lines:
        yield start, end


def _is_prose(notes: Notes, vocabulary: Vocabulary, line: Span, listing: Listing) -> bool:
    """Set a line aside that speaks to the people: a sentence without numbers."""
    text = notes.sheet.text[line[0] : line[1]]
    if '("' in text or any(character.isdigit() for character in text):
        return False
    words = words_of(text)
    least = _FEW_WORDS if _SENTENCE.search(text) else _MANY_WORDS
    if len(words) < least:
        return False
    names = names_in(notes, vocabulary, line)
    named = sum(len(words_of(notes.sheet.text[start:end])) for start, end in names)
    if named * 2 > len(words) or says_clause(notes, line):
        return False
    listing.prose.append(line)
    return True


def _add(listing: Listing, reader: ItemReader, chunk: Span) -> None:
    """Read a chunk and put it where it belongs: a bare count or load goes to the item before."""
    item = reader.read(chunk)
    if item is None or item.unknown:
        return
    label = _label(listing, chunk)
    if label is not None:
        item = replace(item, turn=label.number, turn_note=label.label)
    if item.pause:
        listing.pauses.append(item)
        return
    before = listing.items[-1] if listing.items else None
    if before is not None and _explains_sides(before, item):
        said = reader.notes.sheet.place(item.span).slice
        listing.items[-1] = replace(
            _completed(before, replace(item, each_side=False)), note=before.note or said
        )
    elif before is not None and _completes(before, item, timed=reader.is_timed(before)):
        listing.items[-1] = _completed(before, item)
    elif before is not None and _is_count_of(before, item):
        listing.items[-1] = replace(item, counts=before.counts, unit=before.unit)
    else:
        listing.items.append(item)


def _explains_sides(before: Item, item: Item) -> bool:
    """Tell whether "5 each arm" only says how the "10 snatches" before it are shared."""
    per_side = item.movement is None and item.each_side and bool(item.counts)
    return per_side and before.counts == tuple(2 * count for count in item.counts)


def _is_count_of(before: Item, item: Item) -> bool:
    """Tell whether a bare count on a line of its own belongs to the movement behind it."""
    bare = before.movement is None and bool(before.counts) and not before.loads
    return bare and item.movement is not None and not item.counts and not item.lasts_s


def _completed(before: Item, item: Item) -> Item:
    return replace(
        before,
        counts=before.counts or item.counts,
        unit=before.unit or item.unit,
        lasts_s=before.lasts_s or item.lasts_s,
        loads=before.loads or item.loads,
        each_side=before.each_side or item.each_side,
        no_load=before.no_load or item.no_load,
        note=before.note or item.note,
    )


def _completes(before: Item, item: Item, *, timed: bool) -> bool:
    """Tell whether a piece without a name only says more of the item before it.

    `timed`: the movement before is measured in seconds or metres, a duration may be its count.
    """
    if item.movement is not None or before.movement is None:
        return False
    counted = bool(before.counts) or before.lasts_s is not None
    if (item.counts and counted) or (item.lasts_s and (counted or not timed)):
        return False
    return not (item.loads and before.loads)


def _label(listing: Listing, chunk: Span) -> Clause | None:
    """Give the last "odd", "minute 2" before a chunk."""
    at = bisect_right(listing.labels, chunk[1], key=lambda clause: clause.span[0])
    return listing.labels[at - 1] if at else None


def names_in(notes: Notes, vocabulary: Vocabulary, line: Span) -> list[Span]:
    """Give the names of movements in a line."""
    start, end = line
    masked = list(notes.sheet.text[start:end])
    found = claim_names(masked, (0, end - start), vocabulary)
    return [(start + first, start + last) for first, last in found]


def says_clause(notes: Notes, line: Span) -> bool:
    """Tell whether a line says anything of a workout as a whole."""
    start, end = line
    return (
        next(take_clauses(list(notes.sheet.text[start:end]), (0, end - start)), None) is not None
    )
