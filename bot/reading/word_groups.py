"""Find which groups of words stand in a message, and where: one look at each word."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from bot.reading.lexicon import spelled, split
from content.words import Words

_SHORTEST_STEM = 3  # letters
_MOST_REMEMBERED = 20_000  # words
_ENDINGS = {"s", "m", "re", "ve", "ll", "d"}  # "throat's closing", "I've"


class _Piece(NamedTuple):
    """One word of a phrase; a stem stands for every word that begins so."""

    letters: str
    is_stem: bool

    def fits(self, word: str) -> bool:
        return word.startswith(self.letters) if self.is_stem else word == self.letters


class _Entry(NamedTuple):
    """A phrase of a group, found by its longest word: the others are looked at only then."""

    group: int
    phrase: tuple[_Piece, ...]
    longest: int  # its place in the phrase


class WordGroups:
    """Groups of words and short phrases of any number of languages.

    A word that ends in `*` stands for every word that begins so ("swell*"). Words of a message
    are looked up once and remembered: what people write is mostly the same few thousand words.
    """

    def __init__(self) -> None:
        self._ids: dict[frozenset[tuple[_Piece, ...]], int] = {}
        self._words: dict[str, list[_Entry]] = {}
        self._stems: dict[str, list[_Entry]] = {}
        self._opening: set[int] = set()
        self._remembered: dict[str, tuple[_Entry, ...]] = {}
        self._dull: set[str] = set()

    def add(self, phrases: Iterable[str], words: Words) -> int:
        """Take up a group; give the number it is known by, the same for the same phrases."""
        group = frozenset(
            pieces
            for phrase in phrases
            for form in spelled(phrase, words)
            if (pieces := _cut(form))
        )
        if group not in self._ids:
            self._ids[group] = len(self._ids)
            for phrase in group:
                longest = max(range(len(phrase)), key=lambda at: len(phrase[at].letters))
                known = self._stems if phrase[longest].is_stem else self._words
                entry = _Entry(self._ids[group], phrase, longest)
                known.setdefault(phrase[longest].letters, []).append(entry)
        return self._ids[group]

    def open_with(self, group: int) -> None:
        """Let a group be one without which a message is none of our business."""
        self._opening.add(group)

    def may_open(self, words: Sequence[str]) -> bool:
        """Say whether a group that opens may stand in a message; costs next to nothing."""
        if self._dull.issuperset(words):
            return False
        for word in words:
            if word not in self._dull:
                if any(entry.group in self._opening for entry in self._entries(_untied(word))):
                    return True
                if len(self._dull) >= _MOST_REMEMBERED:
                    self._dull.clear()
                self._dull.add(word)
        return False

    def places(self, words: Sequence[str]) -> Mapping[int, Sequence[int]]:
        """Give for each group that stands in a message the places where, in order.

        An apostrophe ties nothing here: "l'os" is "os", "throat's" is "throat".
        """
        plain = [_untied(word) for word in words]
        found: dict[int, set[int]] = {}
        for at, word in enumerate(plain):
            for group, phrase, longest in self._entries(word):
                if len(phrase) == 1 or _stands(phrase, plain, at - longest):
                    found.setdefault(group, set()).add(at - longest)
        return {group: sorted(places) for group, places in found.items()}

    def _entries(self, word: str) -> tuple[_Entry, ...]:
        known = self._remembered.get(word)
        if known is not None:
            return known
        entries = list(self._words.get(word, ()))
        for length in range(_SHORTEST_STEM, len(word) + 1):
            entries += self._stems.get(word[:length], ())
        if len(self._remembered) >= _MOST_REMEMBERED:
            self._remembered.clear()
        return self._remembered.setdefault(word, tuple(entries))


def _untied(word: str) -> str:
    if "'" not in word:
        return word
    first, last = word.split("'", 1)
    if last in _ENDINGS:
        return first
    return word.replace("'", "") if last == "t" else last.replace("'", "")


def _cut(phrase: str) -> tuple[_Piece, ...]:
    return tuple(
        _Piece(letters, is_stem=written.endswith("*"))
        for written in phrase.split()
        for letters in map(_untied, split(written.rstrip("*")))
    )


def _stands(phrase: Sequence[_Piece], words: Sequence[str], at: int) -> bool:
    return 0 <= at <= len(words) - len(phrase) and all(
        piece.fits(words[at + place]) for place, piece in enumerate(phrase)
    )
