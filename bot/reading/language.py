"""Tell in which language a message is written, by the words it has in common with each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from bot.reading.lexicon import spelled, split
from content.movement import Movement
from content.words import Words

_SHORTEST = 3  # letters; shorter words are units and initials in every language
_ENGLISH = "en"


class Languages:
    """Knows the words of every language there are word files for."""

    def __init__(self, words: Mapping[str, Words], movements: Iterable[Movement] = ()) -> None:
        """Gather the words; the names of `movements` are English."""
        self._known: dict[str, set[str]] = {}
        for language, each in words.items():
            self._add(language, _plain(_trade_words(each), each))
            self._add(language, _plain(each.common, each))
        for movement in movements:
            names = (movement.name, movement.plural, *movement.nicknames)
            self._add(_ENGLISH, {word for name in names for word in split(name)})

    def _add(self, language: str, words: Iterable[str]) -> None:
        for word in words:
            self._known.setdefault(word, set()).add(language)

    def of(self, words: Sequence[str], expected: str) -> str:
        """Give the language of a message's words: the expected one, if no other knows more.

        Another knows more if it has words that the expected one has not, and more of them than
        the other way round.
        """
        told: dict[str, list[int]] = {}  # words known to a language: long ones, all
        less = 0
        for word in words:
            known = self._known.get(word, _NOBODY)
            is_long = len(word) >= _SHORTEST
            less += is_long and expected in known
            for language in known:
                counted = told.setdefault(language, [0, 0])
                counted[0] += is_long
                counted[1] += 1
        best = max(sorted(told), key=lambda language: told[language], default=expected)
        return best if best in told and told[best][0] > less else expected


_NOBODY: frozenset[str] = frozenset()


def _trade_words(words: Words) -> Iterable[str]:
    for phrases in words.words.values():
        yield from phrases
    yield from words.numbers
    yield from words.ordinals
    for names in (*words.movements.values(), *words.divisions.values()):
        yield from names


def _plain(phrases: Iterable[str], words: Words) -> set[str]:
    return {word for phrase in phrases for form in spelled(phrase, words) for word in split(form)}
