"""Every phrase the reader knows on a challenge: a language's words, movements, divisions, names.

Built once per challenge and language; looking a word up costs one dictionary access.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, NamedTuple, TypeVar

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from bot.reading.kinds import WORD_KINDS, Kind
from bot.reading.normalise import normalise
from content.challenge import Division
from content.movement import Movement
from content.words import Jokes, Words

T = TypeVar("T")
_SHORTEST_SLIP = 4  # "tiem" is time; shorter words are too near to each other
_NEAR_ENOUGH = 84  # of 100: "gobletsquats" with a slip is near, "goblin" is not
WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")


class MovementName(NamedTuple):
    """What a phrase may name: movements called exactly so, and others nicknamed so."""

    exact: tuple[str, ...]
    nicknamed: tuple[str, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """All of them, the exact ones first."""
        return self.exact + self.nicknamed

    def among(self, ids: Iterable[str]) -> tuple[str, ...]:
        """Narrow down to the given movements; an exact name beats a nickname."""
        wanted = set(ids)
        exact = tuple(i for i in self.exact if i in wanted)
        return exact or tuple(i for i in self.nicknamed if i in wanted)


class Phrases(Generic[T]):
    """Phrases with a meaning each; the first meaning given to a phrase stays."""

    def __init__(self, pairs: Iterable[tuple[str, T]]) -> None:
        known: dict[tuple[str, ...], T] = {}
        for phrase, meaning in pairs:
            words = tuple(plain_words(phrase))
            if words:
                known.setdefault(words, meaning)
        self._by_first: dict[str, list[tuple[tuple[str, ...], T]]] = {}
        for words in sorted(known, key=len, reverse=True):
            self._by_first.setdefault(words[0], []).append((words, known[words]))

    def longest(self, words: Sequence[str], at: int) -> tuple[int, T] | None:
        """Find the longest phrase that starts at a word: (how many words, its meaning)."""
        for phrase, meaning in self._by_first.get(words[at], ()):
            if len(phrase) == 1 or tuple(words[at : at + len(phrase)]) == phrase:
                return len(phrase), meaning
        return None

    def found_in(self, words: Sequence[str]) -> Iterator[T]:
        """Give the meaning of every phrase in the words, in order of place."""
        for at in range(len(words)):
            if (found := self.longest(words, at)) is not None:
                yield found[1]


class Meaning(NamedTuple):
    """What a word or phrase is to the reader."""

    kind: Kind | None  # None: a word that carries nothing and is dropped
    value: int | str | MovementName | None = None
    number_word: bool = False


class HealthSign(NamedTuple):
    """One way to say a sign: the words of a phrase, or two sets of words that stand together."""

    phrase: tuple[str, ...] = ()
    either: frozenset[str] = frozenset()
    other: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Lexicon:
    """All phrases of one challenge in one language."""

    phrases: Phrases[Meaning]
    behind_a_number: Mapping[str, Kind]
    multipliers: Mapping[str, int]
    questions: Phrases[str]
    requests: Phrases[bool]
    health_signs: Mapping[str, Sequence[HealthSign]]
    jokes: Jokes
    movements: Phrases[MovementName]
    one_word_names: Mapping[str, MovementName]
    divisions: Mapping[str, str]  # plain name -> id
    slips: Mapping[str, str]  # letters in order -> the word they make

    def mended(self, word: str) -> str | None:
        """Give the core word of which a word is a typing slip, or None.

        Two letters changed places, or one is missing or doubled; the first letter is right.
        """
        if len(word) < _SHORTEST_SLIP:
            return None
        same = self.slips.get("".join(sorted(word)))
        if same is not None and same[0] == word[0] and OSA.distance(word, same) == 1:
            return same
        if len(word) <= _SHORTEST_SLIP:
            return None
        for known in self.slips.values():
            near = known[0] == word[0] and abs(len(known) - len(word)) == 1
            if near and len(known) > _SHORTEST_SLIP and OSA.distance(word, known) == 1:
                return known
        return None

    def slip(self, word: str) -> MovementName | None:
        """Give the movement that a word with a typing slip is nearest to, if it is near."""
        match = process.extractOne(
            word, self.one_word_names.keys(), scorer=fuzz.ratio, score_cutoff=_NEAR_ENOUGH
        )
        return self.one_word_names[match[0]] if match else None


def plain_words(text: str) -> list[str]:
    """Give the words of a text in plain form."""
    return WORD.findall(normalise(text).text)


def build_lexicon(
    words: Words,
    *,
    movements: Iterable[Movement],
    divisions: Iterable[Division],
    people: Iterable[str] = (),
) -> Lexicon:
    """Put together everything that has a name.

    Args:
        words: The language.
        movements: Everything that may be named: the day's, and those options lead to.
        divisions: The challenge's.
        people: First names of participants; a score beside one is somebody else's.
    """
    named = list(_movement_names(movements).items())
    divisions = tuple(divisions)
    return Lexicon(
        phrases=Phrases(_meanings(words, named, divisions, people)),
        behind_a_number={
            sign: WORD_KINDS[name]
            for name, signs in words.behind_a_number.items()
            for sign in signs
        },
        multipliers=words.multipliers,
        questions=Phrases(
            (phrase, about) for about, phrases in words.questions.items() for phrase in phrases
        ),
        requests=Phrases((phrase, True) for phrase in words.requests),
        health_signs={
            name: [
                *(HealthSign(phrase=tuple(plain_words(phrase))) for phrase in sign.phrases),
                *(
                    HealthSign(either=frozenset(either), other=frozenset(other))
                    for either, other in sign.together
                ),
            ]
            for name, sign in words.health_signs.items()
        },
        jokes=words.jokes,
        movements=Phrases(named),
        divisions={" ".join(plain_words(each.name)): each.id for each in divisions},
        slips={"".join(sorted(word)): word for word in words.slips},
        one_word_names={phrase: name for phrase, name in named if " " not in phrase},
    )


def _meanings(
    words: Words,
    named: Iterable[tuple[str, MovementName]],
    divisions: Iterable[Division],
    people: Iterable[str],
) -> Iterator[tuple[str, Meaning]]:
    for word, value in words.numbers.items():
        yield word, Meaning(Kind.NUMBER, value, number_word=True)
    for word, value in words.multipliers.items():
        yield word, Meaning(Kind.NUMBER, value, number_word=True)
    for word, value in words.ordinals.items():
        yield word, Meaning(Kind.ORDINAL, value)
    for name, phrases in words.words.items():
        kind = None if name == "filler" else WORD_KINDS[name]
        days_back = -1 if name == "yesterday" else None
        for phrase in phrases:
            yield phrase, Meaning(kind, days_back)
    for division in divisions:
        for phrase in (f"{division.name} version", f"{division.name} division"):
            yield phrase, Meaning(Kind.DIVISION, division.id)
        for phrase in (division.name, division.id, *division.nicknames):
            yield phrase, Meaning(Kind.DIVISION, division.id)
    for phrase, name_found in named:
        yield phrase, Meaning(Kind.MOVEMENT, name_found)
    for person in people:
        yield person, Meaning(Kind.OTHER)


def _movement_names(movements: Iterable[Movement]) -> dict[str, MovementName]:
    exact: dict[str, list[str]] = {}
    nicknamed: dict[str, list[str]] = {}
    for movement in movements:
        own = {v for name in (movement.name, movement.plural) for v in _variants(name)}
        for variant in own:
            exact.setdefault(variant, []).append(movement.id)
        for variant in {v for name in movement.nicknames for v in _variants(name)} - own:
            nicknamed.setdefault(variant, []).append(movement.id)
    return {
        phrase: MovementName(tuple(exact.get(phrase, ())), tuple(nicknamed.get(phrase, ())))
        for phrase in {**exact, **nicknamed}
    }


def _variants(name: str) -> Iterator[str]:
    """Give a name as people type it: singular, plural, written as one word."""
    words = plain_words(name)
    if not words:
        return
    last = words[-1]
    plural = f"{last}es" if last.endswith(("s", "x", "ch", "sh")) else f"{last}s"
    endings = {last, plural} | ({f"{last[:-1]}ies"} if last.endswith("y") else set())
    for ending in endings:
        spelled = [*words[:-1], ending]
        yield " ".join(spelled)
        if len(spelled) > 1:
            yield "".join(spelled)
