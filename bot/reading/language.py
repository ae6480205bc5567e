"""Tell in which language a message is written, by the words it has in common with each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from bot.reading.lexicon import spelled, split
from content.words import Words

_COMMON, _KNOWN = 2, 1  # what an everyday word tells, and one of the trade's


class Languages:
    """Knows the words of every language there are word files for."""

    def __init__(self, words: Mapping[str, Words]) -> None:
        self._weights: dict[str, dict[str, int]] = {}
        for language, each in words.items():
            for word in _plain(_trade_words(each), each):
                self._weights.setdefault(word, {})[language] = _KNOWN
            for word in _plain(each.common, each):
                self._weights.setdefault(word, {})[language] = _COMMON

    def of(self, words: Sequence[str], expected: str) -> str:
        """Give the language of a message's words; what is expected where they leave it open."""
        told: dict[str, int] = {expected: _KNOWN}
        for word in words:
            for language, weight in self._weights.get(word, {}).items():
                told[language] = told.get(language, 0) + weight
        most = max(told.values())
        best = [language for language, weight in told.items() if weight == most]
        return expected if expected in best else best[0]


def _trade_words(words: Words) -> Iterable[str]:
    for phrases in words.words.values():
        yield from phrases
    yield from words.numbers
    yield from words.ordinals
    for names in words.movements.values():
        yield from names


def _plain(phrases: Iterable[str], words: Words) -> set[str]:
    return {word for phrase in phrases for form in spelled(phrase, words) for word in split(form)}
