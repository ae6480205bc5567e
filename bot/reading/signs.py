"""Find signs of an emergency in a message. They win over everything else it says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.reading.lexicon import HealthSign, Lexicon

_GAP = 3  # so many words may stand between two words of a phrase: "chest really hurts"
_NEAR = 7  # words between two that stand together, at most
_LAUGHING = set("😂🤣😆😹")
_NOT = {"no", "not", "without", "never", "isn't", "wasn't", "don't", "didn't"}


def health_signs(message: str, words: Sequence[str], lexicon: Lexicon) -> tuple[str, ...]:
    """Give the signs a text names, in the order of the word file.

    Source: CDC/NIOSH pages on rhabdomyolysis and heat; HSE Ireland and NHS on chest pain.
    """
    places: dict[str, list[int]] = {}
    for place, word in enumerate(words):
        places.setdefault(word, []).append(place)
    found = [
        name
        for name, ways in lexicon.health_signs.items()
        if any(_is_said(way, places, words) for way in ways)
    ]
    if found and (_LAUGHING & set(message) or places.keys() & set(lexicon.jokes.words)):
        found = [name for name in found if name not in lexicon.jokes.signs]
    return tuple(found)


def _is_said(way: HealthSign, places: Mapping[str, Sequence[int]], words: Sequence[str]) -> bool:
    if way.phrase:
        return any(_follows(way.phrase, start, words) for start in places.get(way.phrase[0], ()))
    if not places.keys() & way.either:
        return False
    ones = [place for word in places.keys() & way.either for place in places[word]]
    others = [place for word in places.keys() & way.other for place in places[word]]
    return any(
        abs(one - other) <= _NEAR and not _denied(min(one, other), words)
        for one in ones
        for other in others
    )


def _denied(start: int, words: Sequence[str]) -> bool:
    return start > 0 and words[start - 1] in _NOT


def _follows(phrase: Sequence[str], start: int, words: Sequence[str]) -> bool:
    """Say whether a phrase stands at a place, not denied by the word in front."""
    if _denied(start, words):
        return False
    at = start
    for word in phrase[1:]:
        try:
            at = words.index(word, at + 1, at + 2 + _GAP)
        except ValueError:
            return False
    return True
