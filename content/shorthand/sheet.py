"""The jotted text in plain form, every character with its line and column, and what was noted."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from content.characters import plain_character
from content.shorthand.values import Doubt, Mistake, Place

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A text in plain form: lower case, ASCII digits, plain dashes, a line feed between lines.

    `origin[i]` is the index in `written` of the character behind `text[i]`.
    """

    text: str
    origin: Sequence[int]
    written: str
    _starts: Sequence[int]  # of each line, in `written`

    def slice(self, span: Span) -> str:
        """Give what was written there, marks and capitals included."""
        start, end = span
        if start >= end:
            return ""
        first = self.origin[start]
        stop = self.origin[end] if end < len(self.origin) else len(self.written)
        return self.written[first:stop]

    def verbatim(self, span: Span) -> str:
        """Give all that was written behind an opening word, to the end of a span."""
        start, end = span
        if start >= end:
            return ""
        first = self.origin[start - 1] + 1 if start else 0
        stop = self.origin[end] if end < len(self.origin) else len(self.written)
        return self.written[first:stop].strip()

    def place(self, span: Span) -> Place:
        """Give line, column and slice of a span, white space at its ends left out."""
        start, end = trimmed(self.text, span)
        at = self.origin[start] if start < len(self.origin) else len(self.written)
        line = bisect_right(self._starts, at)
        shown = self.slice((start, end)).strip().splitlines()
        return Place(line, at - self._starts[line - 1] + 1, shown[0] if shown else "")

    def lines(self) -> Iterator[Span]:
        """Give the span of each line, without its end."""
        start = 0
        for line in self.text.split("\n"):
            yield start, start + len(line)
            start += len(line) + 1


def trimmed(text: str, span: Span, marks: str = " \n") -> Span:
    """Leave out what stands at the ends of a span."""
    start, end = span
    while start < end and text[start] in marks:
        start += 1
    while end > start and text[end - 1] in marks:
        end -= 1
    return start, end


def joined(sheet: Sheet, spans: Sequence[Span]) -> Iterator[Span]:
    """Put pieces of one sentence together again: nothing but marks stands between them."""
    waiting: Span | None = None
    for span in spans:
        between = sheet.text[waiting[1] : span[0]] if waiting else ""
        if waiting and re.fullmatch(r"[ ,.;:!&+/-]{0,4}", between):
            waiting = waiting[0], span[1]
            continue
        if waiting:
            yield waiting
        waiting = span
    if waiting:
        yield waiting


def sheet_of(written: str) -> Sheet:
    """Bring a text to plain form; any line end ends one line, symbols become bullets."""
    pieces: list[str] = []
    origin: list[int] = []
    starts = [0]
    for index, character in enumerate(written):
        plain = "•" if _numbers_the_line(written, index) else _plain(character)
        if plain == "\n":
            if character == "\n" and index and written[index - 1] == "\r":
                starts[-1] = index + 1
                continue
            starts.append(index + 1)
        pieces.append(plain)
        origin.extend([index] * len(plain))
    return Sheet("".join(pieces), origin, written, starts)


_KEYCAP = re.compile("[0-9]\ufe0f?\u20e3 ?(?=[^\n\r]{0,80}[0-9])(?![0-9]\ufe0f?\u20e3)")


def _numbers_the_line(written: str, index: int) -> bool:
    """Tell whether a digit on a keycap only numbers the line."""
    if written[index] not in "0123456789" or "\u20e3" not in written[index : index + 3]:
        return False
    before = written[max(0, index - 80) : index].rstrip(" \t")
    return (not before or before[-1] in "\n\r") and _KEYCAP.match(written, index) is not None


def _plain(character: str) -> str:
    if character in "\n\r":
        return "\n"
    if character.isascii():
        return character.lower() if character.isprintable() else " "
    if character in "→⇒➔➜":
        return " -> "
    plain = plain_character(character)
    if "\n" in plain or not plain.isprintable():
        return " "
    return "•" if unicodedata.category(character) in {"So", "Co", "Cs"} else plain


@dataclass(slots=True)
class Notes:
    """What comes up while a sheet is read; grows from step to step."""

    sheet: Sheet
    doubts: list[Doubt] = field(default_factory=list)
    problems: list[Mistake] = field(default_factory=list)
    assumed: dict[str, None] = field(default_factory=dict)  # in order, each once
    _wrong: set[Place] = field(default_factory=set)

    def wrong(self, span: Span, message: str) -> None:
        """Note a mistake, once for each place."""
        place = self.sheet.place(span)
        if place not in self._wrong:
            self._wrong.add(place)
            self.problems.append(Mistake(place, message))

    def ask(
        self, span: Span, question: str, *, nearest: Sequence[str] = (), taken: str | None = None
    ) -> None:
        """Note a question, each once."""
        doubt = Doubt(self.sheet.place(span), question, tuple(nearest), taken)
        if doubt not in self.doubts:
            self.doubts.append(doubt)

    def assume(self, sentence: str) -> None:
        """Note what was filled in, each sentence once."""
        self.assumed.setdefault(sentence)
