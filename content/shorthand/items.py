"""Read the items of a list off a sheet whose names and brackets are known."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from content.fields import Load
from content.movement import CountUnit
from content.shorthand.item import Item
from content.shorthand.naming import Naming
from content.shorthand.pieces import NamedDivision, Pieces
from content.shorthand.sheet import Notes, Span
from content.shorthand.vocabulary import Vocabulary, words_of

_NUMBER_LEFT = re.compile(r"(?<![\w.])\d{1,7}(?:[.,:/-]\d{1,7}){0,7}(?!\w)")
_CONDITION = re.compile(r"(?:if|when|whenever|unless|every time|each time)(?!\w)")
_BEFORE, _BEHIND = " \n:;,.-&|=>!?", " \n:;,.-&|=+!?"


@dataclass(slots=True)
class ItemReader:
    """Reads items.

    `masked` is the sheet with names of movements and brackets blotted out, clauses taken out.
    """

    notes: Notes
    vocabulary: Vocabulary
    masked: list[str]
    names: list[Span]  # in order
    brackets: list[Span]  # in order
    named_division: NamedDivision
    heavy: bool  # a heaviest lift is asked for
    talk: list[Span] = field(default_factory=list)  # words to the people that were found
    condition_ends: int = -1  # where the last piece of "if it hurts, ..." ends

    def read(self, span: Span) -> Item | None:
        """Read one item; None when nothing was said that can be used, which then is noted."""
        span = self._trim(span)
        if span[0] >= span[1]:
            return None
        names = _within(self.names, span)
        pieces = Pieces(
            self.notes,
            span,
            "".join(self.masked[span[0] : span[1]]),
            Item(span),
            self._is_done_with_kit(names),
            self.named_division,
            self.talk,
        )
        pieces.take_all(_within(self.brackets, span))
        naming = Naming(pieces, self.vocabulary, self.heavy, self._goes_on(span))
        if not naming.name(names):
            if self.talk[-1:] == [span] and (naming.conditional or self._sets_condition(span)):
                self.condition_ends = span[1]
            return None
        self._ask_left(pieces)
        note = "; ".join(pieces.remarks)
        return replace(pieces.item, note=note) if note else pieces.item

    def _sets_condition(self, span: Span) -> bool:
        return _CONDITION.match(self.notes.sheet.text, *span) is not None

    def _goes_on(self, span: Span) -> bool:
        """Tell whether a piece belongs to the sentence of a condition: "..., do 5 squats"."""
        between = self.notes.sheet.text[self.condition_ends : span[0]]
        return self.condition_ends >= 0 and not re.search(r"[.!?\n]", between)

    def _ask_left(self, pieces: Pieces) -> None:
        """Ask about a number that nothing has explained: none is dropped in silence."""
        for found in _NUMBER_LEFT.finditer(pieces.text):
            self.notes.ask(
                pieces.at(*found.span()),
                "what does this number say? It is left out for now.",
                taken="left out",
            )

    def is_timed(self, item: Item) -> bool:
        """Tell whether a movement is measured in seconds or metres."""
        movement = self.vocabulary.library.get(item.movement or "")
        return movement is not None and movement.unit is not CountUnit.REPS

    def _is_done_with_kit(self, names: Sequence[Span]) -> bool:
        if not names:
            return False
        words = words_of(self.notes.sheet.text[names[0][0] : names[0][1]])
        meaning = self.vocabulary.meaning(words, load=Load(grams=1000))
        library = self.vocabulary.library
        return meaning is not None and any(library[name].kit for name in meaning.ids)

    def _trim(self, span: Span) -> Span:
        start, end = span
        while start < end and self.masked[start] in _BEFORE:
            start += 1
        while end > start and self.masked[end - 1] in _BEHIND:
            end -= 1
        return start, end


def _within(spans: Sequence[Span], span: Span) -> Sequence[Span]:
    """Give those of some spans, in order, that begin inside a span."""
    first = bisect_left(spans, span[0], key=lambda each: each[0])
    return spans[first : bisect_left(spans, span[1], key=lambda each: each[0])]
