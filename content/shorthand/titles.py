"""Find the title of a day: said, or the first line if it is no work."""

from __future__ import annotations

import re
from collections.abc import Sequence

from content.shorthand.english import EMPTY, TALK, is_manner
from content.shorthand.listing import names_in, says_clause
from content.shorthand.openers import Kind
from content.shorthand.sections import Part
from content.shorthand.sheet import Notes, Span, trimmed
from content.shorthand.vocabulary import Vocabulary, words_of


def take_title(notes: Notes, vocabulary: Vocabulary, parts: Sequence[Part]) -> str | None:
    """Find the title; a first line that is one leaves its part."""
    said = [line for part in parts if part.kind is Kind.TITLE for line in part.lines]
    if said:
        return " ".join(notes.sheet.verbatim(line) for line in said)
    told = (part for part in parts if part.lines and part.kind is not Kind.MOVEMENT)
    first = next(told, None)
    if first is None or first.kind is not Kind.WORK:
        return None
    line = first.lines[0]
    if head := _in_front(notes, vocabulary, line):
        first.lines[0] = trimmed(notes.sheet.text, (head[1] + 1, line[1]))
        return notes.sheet.slice(head).strip()
    alone = sum(len(part.lines) for part in parts if part.kind is not Kind.MOVEMENT) == 1
    if alone or not _is_title(notes, vocabulary, line):
        return None
    del first.lines[0]
    return notes.sheet.slice(trimmed(notes.sheet.text, line, ' \n:"*#_=')).strip()


_IN_FRONT = re.compile(r"[^:\d\n(,]{3,40}(?=: )")


def _in_front(notes: Notes, vocabulary: Vocabulary, line: Span) -> Span | None:
    """Find a title on the line of the workout: "row the boat: 7 min AMRAP of ..."."""
    found = _IN_FRONT.match(notes.sheet.text, *line)
    if found is None or says_clause(notes, found.span()):
        return None
    head, rest = found.span(), (found.end() + 1, line[1])
    named = {word for name in names_in(notes, vocabulary, head) for word in _words(notes, name)}
    own = [word for word in _words(notes, head) if word not in named | EMPTY | TALK]
    names = names_in(notes, vocabulary, rest)
    if not own or not names or all(is_manner(word) for word in own):
        return None
    begins = notes.sheet.text[rest[0] : names[0][0]]
    if re.fullmatch(r" ?\d{1,4} ?", begins) or says_clause(notes, (rest[0], names[0][1])):
        return head
    return None


def _words(notes: Notes, span: Span) -> list[str]:
    return words_of(notes.sheet.text[span[0] : span[1]])


def _is_title(notes: Notes, vocabulary: Vocabulary, line: Span) -> bool:
    """Tell whether a line is neither a heading, nor a movement, nor a list."""
    text = notes.sheet.text[line[0] : line[1]]
    words = words_of(text)
    if "," in text or not any(word.isalpha() for word in words) or words[0].isdigit():
        return False
    if says_clause(notes, line):
        return False
    names = names_in(notes, vocabulary, line)
    named = sum(len(words_of(notes.sheet.text[start:end])) for start, end in names)
    if names and (named == len(words) or any(character.isdigit() for character in text)):
        return False
    return vocabulary.slipped(" ".join(words)) is None
