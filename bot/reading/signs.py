"""Find signs of an emergency in a message. They win over everything else it says."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.lexicon import Lexicon

_GAP = 2  # so many words may stand between two words of a phrase: "chest really hurts"
_NOT = {"no", "not", "without", "never", "isn't", "wasn't", "don't", "didn't"}


def health_signs(words: Sequence[str], lexicon: Lexicon) -> tuple[str, ...]:
    """Give the signs a text names, in the order of the word file.

    Source: CDC/NIOSH pages on rhabdomyolysis and heat; HSE Ireland and NHS on chest pain.
    """
    places: dict[str, list[int]] = {}
    for place, word in enumerate(words):
        places.setdefault(word, []).append(place)
    found = {
        sign: None
        for sign, phrase in lexicon.health_signs
        if any(_follows(phrase, start, words) for start in places.get(phrase[0], ()))
    }
    return tuple(found)


def _follows(phrase: Sequence[str], start: int, words: Sequence[str]) -> bool:
    """Say whether a phrase stands at a place, not denied by the word in front."""
    if start > 0 and words[start - 1] in _NOT:
        return False
    at = start
    for word in phrase[1:]:
        try:
            at = words.index(word, at + 1, at + 2 + _GAP)
        except ValueError:
            return False
    return True
