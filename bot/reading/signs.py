"""Find signs of an emergency in a message, in any language. They win over everything else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from bot.reading.lexicon import Scattered, everyday_words, spelled, split
from content.words import Words

_GAP = 3  # so many words may stand between two words of a phrase: "chest really hurts"
_NEAR = 9  # words between two that stand together, at most
_LONGEST_DENIAL = 3  # words
_LAUGHING = set("😂🤣😆😹")


class _Pair(NamedTuple):
    """Two sets of words that tell a sign where they stand together."""

    sign: str
    either: frozenset[str]
    other: frozenset[str]


@dataclass(frozen=True)
class HealthSigns:
    """How the signs are said, in all languages at once.

    `telling` are words of which every way to say a sign has one: without them there is none.
    """

    names: Sequence[str]  # in the order of the word files
    phrases: Scattered[str]
    pairs: Sequence[_Pair]
    telling: frozenset[str]
    denials: frozenset[tuple[str, ...]]
    joked_about: frozenset[str]
    joking: frozenset[str]

    @classmethod
    def of(cls, languages: Iterable[Words]) -> HealthSigns:
        """Gather the signs of several languages."""
        languages = tuple(languages)
        signs = [(w, name, sign) for w in languages for name, sign in w.health_signs.items()]
        phrases = Scattered(
            (
                (form, name)
                for words, name, sign in signs
                for phrase in sign.phrases
                for form in spelled(phrase, words)
            ),
            gap=_GAP,
            everyday=everyday_words(languages),
        )
        pairs = [
            _Pair(name, _plain(either, words), _plain(other, words))
            for words, name, sign in signs
            for either, other in sign.together
        ]
        return cls(
            names=list(dict.fromkeys(name for _, name, _ in signs)),
            phrases=phrases,
            pairs=pairs,
            telling=frozenset(phrases.telling).union(*(pair.either for pair in pairs)),
            denials=frozenset(
                split(form)
                for words in languages
                for phrase in words.denials
                for form in spelled(phrase, words)
            ),
            joked_about=frozenset(sign for words in languages for sign in words.jokes.signs),
            joking=frozenset(w for words in languages for w in _plain(words.jokes.words, words)),
        )

    def named_in(self, message: str, words: Sequence[str]) -> tuple[str, ...]:
        """Give the signs a text names, in the order of the word files.

        Source: CDC/NIOSH pages on rhabdomyolysis and heat; HSE Ireland and NHS on chest pain.
        """
        if self.telling.isdisjoint(words):
            return ()
        found = {name for at, name in self.phrases.found_in(words) if not self._denied(at, words)}
        known = frozenset(words)
        found |= {
            pair.sign
            for pair in self.pairs
            if pair.sign not in found
            and known & pair.either
            and known & pair.other
            and self._stand_together(pair, words)
        }
        if found and (_LAUGHING & set(message) or known & self.joking):
            found -= self.joked_about
        return tuple(name for name in self.names if name in found)

    def _stand_together(self, pair: _Pair, words: Sequence[str]) -> bool:
        ones = [place for place, word in enumerate(words) if word in pair.either]
        others = [place for place, word in enumerate(words) if word in pair.other]
        return any(
            0 < abs(one - other) <= _NEAR and not self._denied(min(one, other), words)
            for one in ones
            for other in others
        )

    def _denied(self, start: int, words: Sequence[str]) -> bool:
        return any(
            tuple(words[max(0, start - length) : start]) in self.denials
            for length in range(1, _LONGEST_DENIAL + 1)
        )


def _plain(phrases: Iterable[str], words: Words) -> frozenset[str]:
    return frozenset(
        word for phrase in phrases for form in spelled(phrase, words) for word in split(form)
    )
