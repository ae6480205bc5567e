"""Every phrase the reader knows on a challenge: words, movements, divisions, names.

One lexicon per main language of a message; it knows the words of English besides, which the
trade speaks everywhere, and of the others what cannot be mistaken. Built once per challenge;
looking a word up costs one dictionary access.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Generic, NamedTuple, TypeVar

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from bot.reading.kinds import WORD_KINDS, Kind
from bot.reading.normalise import normalise
from content.challenge import Division
from content.movement import Movement
from content.words import Joining, Words

T = TypeVar("T")
_GAP = 2  # words that may stand between two words of a question's phrase
_SHORTEST_SLIP = 4  # "tiem" is time; shorter words are too near to each other
_NEAR_ENOUGH = 84  # of 100: "gobletsquats" with a slip is near, "goblin" is not
# What the words of a third language may mean in a message: nothing that turns its sense round.
_UNMISTAKABLE = ("round", "minute", "second", "metre", "kilometre")
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
            if words := split(phrase):
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


class Scattered(Generic[T]):
    """Phrases with a meaning each, whose words may stand a little apart in a message.

    Each is looked up by its rarest word, taken to be the longest that is no everyday word: most
    messages have none of those.
    """

    def __init__(
        self, pairs: Iterable[tuple[str, T]], *, gap: int, everyday: AbstractSet[str]
    ) -> None:
        """Keep the phrases; up to `gap` other words may stand between two of one's words."""
        phrases = [(words, meaning) for phrase, meaning in pairs if (words := split(phrase))]
        self._gap = gap
        self._by_rarest: dict[str, list[tuple[Sequence[str], T]]] = {}
        for words, meaning in phrases:
            rarest = min(words, key=lambda word: (word in everyday, -len(word)))
            self._by_rarest.setdefault(rarest, []).append((words, meaning))

    @property
    def telling(self) -> AbstractSet[str]:
        """The words of which every phrase has one: without them none is said."""
        return self._by_rarest.keys()

    def found_in(self, words: Sequence[str]) -> Iterator[tuple[int, T]]:
        """Give where each phrase in the words begins, and its meaning; in no order."""
        places: dict[str, list[int]] = {}
        for place, word in enumerate(words):
            places.setdefault(word, []).append(place)
        for rarest in places.keys() & self.telling:
            for phrase, meaning in self._by_rarest[rarest]:
                for at in places.get(phrase[0], ()):
                    if follows(phrase, at, words, self._gap):
                        yield at, meaning


def follows(phrase: Sequence[str], start: int, words: Sequence[str], gap: int) -> bool:
    """Say whether a phrase stands at a place, with at most `gap` words between two of its own."""
    at = start
    for word in phrase[1:]:
        try:
            at = words.index(word, at + 1, at + 2 + gap)
        except ValueError:
            return False
    return True


class Meaning(NamedTuple):
    """What a word or phrase is to the reader."""

    kind: Kind | None  # None: a word that carries nothing and is dropped
    value: int | str | Fraction | MovementName | None = None
    number_word: bool = False
    everyday: bool = False  # a division's nickname that is said of much else


@dataclass(frozen=True)
class Asked:
    """How some languages ask us something, the same for every challenge."""

    subjects: Scattered[str]  # what questions are about
    requests: Scattered[bool]  # what stands for a question without a question mark
    take_back: Scattered[int]  # to have one's own score taken out; how many words it has
    kit: AbstractSet[str]  # words for things people train with

    @classmethod
    def of(cls, languages: Sequence[Words]) -> Asked:
        """Gather the phrases of some languages."""
        everyday = everyday_words(languages)
        lists = [
            (words, about, phrases)
            for words in languages
            for about, phrases in words.questions.items()
        ]
        subjects = [
            (form, about)
            for words, about, phrases in lists
            for phrase in phrases
            for form in spelled(phrase, words)
        ]
        return cls(
            subjects=Scattered(subjects, gap=_GAP, everyday=everyday),
            requests=Scattered(
                ((form, True) for w in languages for p in w.requests for form in spelled(p, w)),
                gap=0,
                everyday=everyday,
            ),
            take_back=Scattered(
                (
                    (form, len(split(form)))
                    for w in languages
                    for p in w.take_back
                    for form in spelled(p, w)
                ),
                gap=0,
                everyday=everyday,
            ),
            kit={
                word
                for words in languages
                for thing in words.kit
                for form in spelled(thing, words)
                for word in split(form)[-1:]
            },
        )


@dataclass(frozen=True)
class Lexicon:
    """All phrases of one challenge for messages in one main language."""

    phrases: Phrases[Meaning]
    behind_a_number: Mapping[str, Kind]
    multipliers: frozenset[int]
    joining: Joining
    glued_numbers: re.Pattern[str] | None  # number words written as one
    ordinal_endings: frozenset[str]
    decimal_comma: bool
    capital_nouns: bool
    asked: Asked
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


@cache
def split(phrase: str) -> tuple[str, ...]:
    """Give the words of a phrase of ours in plain form; every challenge asks for the same ones."""
    return tuple(plain_words(phrase))


def spelled(phrase: str, words: Words) -> Iterator[str]:
    """Give a phrase as it is written, and with the language's other spelling of its letters."""
    yield phrase
    other = phrase
    for letter, spelling in words.spellings.items():
        other = other.replace(letter, spelling)
    if other != phrase:
        yield other


def build_lexicon(
    main: Words,
    *,
    english: Words,
    asked: Asked,
    thirds: Sequence[Words] = (),
    movements: Iterable[Movement],
    divisions: Iterable[Division],
) -> Lexicon:
    """Put together everything that has a name.

    Args:
        main: The main language of the message.
        english: What the trade speaks everywhere.
        asked: The questions of these two.
        thirds: All other languages.
        movements: Everything that may be named: the day's, and those options lead to.
        divisions: The challenge's.
    """
    divisions = tuple(divisions)
    full = (main,) if main is english else (main, english)
    named = _movement_names((*full, *thirds), tuple(movements))
    pairs = [
        *(pair for words in full for pair in _meanings(words)),
        *_division_names(divisions, english, full),
        *((phrase, Meaning(Kind.MOVEMENT, name)) for phrase, name in named.items()),
        *(pair for words in thirds for pair in _meanings_of_a_third(words)),
    ]
    atoms = "|".join(sorted(_atoms(main), key=len, reverse=True))
    return Lexicon(
        phrases=Phrases(pairs),
        behind_a_number={
            sign: WORD_KINDS[name]
            for words in reversed(full)
            for name, signs in words.behind_a_number.items()
            for sign in signs
        },
        multipliers=frozenset(value for words in full for value in words.multipliers.values()),
        joining=main.joining,
        glued_numbers=re.compile(atoms) if main.joining.glued else None,
        ordinal_endings=frozenset(end for words in full for end in words.ordinal_endings),
        decimal_comma=main.decimal_comma,
        capital_nouns=main.capital_nouns,
        asked=asked,
        movements=Phrases(named.items()),
        divisions={" ".join(plain_words(each.name)): each.id for each in divisions},
        slips={
            "".join(sorted(plain)): plain
            for words in reversed(full)
            for word in words.slips
            for plain in plain_words(word)
        },
        one_word_names={phrase: name for phrase, name in named.items() if " " not in phrase},
    )


def everyday_words(languages: Iterable[Words]) -> AbstractSet[str]:
    """Give the words that are common in some languages."""
    common = (phrase for words in languages for phrase in words.common)
    return {word for phrase in common for word in split(phrase)}


def _atoms(words: Words) -> Iterator[str]:
    """Give the parts of numbers that are written as one word, in plain form."""
    joints = words.words["and"] if words.joining.glued else ()
    for word in (*words.numbers, *words.multipliers, *joints):
        for form in spelled(word, words):
            yield from plain_words(form)


def _meanings(words: Words) -> Iterator[tuple[str, Meaning]]:
    for phrase, meaning in _meanings_as_written(words):
        for form in spelled(phrase, words):
            yield form, meaning


def _meanings_as_written(words: Words) -> Iterator[tuple[str, Meaning]]:
    for word, value in (words.numbers | words.multipliers).items():
        yield word, Meaning(Kind.NUMBER, value, number_word=True)
    for word, part in words.fractions.items():
        yield word, Meaning(Kind.FRACTION, Fraction(part))
    for word, value in words.ordinals.items():
        yield word, Meaning(Kind.ORDINAL, value)
    for word, value in words.weekdays.items():
        yield word, Meaning(Kind.WEEKDAY, value)
    for name, phrases in words.words.items():
        kind = None if name == "filler" else WORD_KINDS[name]
        days_back = -1 if name == "yesterday" else None
        for phrase in phrases:
            yield phrase, Meaning(kind, days_back)


def _meanings_of_a_third(words: Words) -> Iterator[tuple[str, Meaning]]:
    for name in _UNMISTAKABLE:
        for phrase in words.words[name]:
            yield phrase, Meaning(WORD_KINDS[name])


def _division_names(
    divisions: Sequence[Division], english: Words, spoken: Sequence[Words]
) -> Iterator[tuple[str, Meaning]]:
    everyday = {word for words in spoken for word in words.everyday}
    for division in divisions:
        meaning = Meaning(Kind.DIVISION, division.id)
        names = (division.name, division.id, *division.nicknames)
        for phrase in (f"{division.name} version", f"{division.name} division", *names[:2]):
            yield phrase, meaning
        for nickname in division.nicknames:
            yield nickname, meaning._replace(everyday=nickname in everyday)
        known = {" ".join(plain_words(name)) for name in names}
        for kind, usual in english.divisions.items():
            if known.isdisjoint(usual):
                continue
            for words in spoken:
                for phrase in words.divisions.get(kind, ()):
                    for form in spelled(phrase, words):
                        yield form, meaning


def _movement_names(
    languages: Sequence[Words], movements: Sequence[Movement]
) -> dict[str, MovementName]:
    """Give every way to name a movement; the library's own names are English."""
    exact: dict[str, list[str]] = {}
    nicknamed: dict[str, list[str]] = {}
    for movement in movements:
        own = {v for name in (movement.name, movement.plural) for v in _variants(name)}
        for variant in own:
            exact.setdefault(variant, []).append(movement.id)
        others = {v for name in movement.nicknames for v in _variants(name)}
        for words in languages:
            for name in words.movements.get(movement.id, ()):
                others.update(v for form in spelled(name, words) for v in _as_one_word(form))
        for variant in others - own:
            nicknamed.setdefault(variant, []).append(movement.id)
    return {
        phrase: MovementName(tuple(exact.get(phrase, ())), tuple(nicknamed.get(phrase, ())))
        for phrase in {**exact, **nicknamed}
    }


def _as_one_word(name: str) -> Iterator[str]:
    words = split(name)
    yield " ".join(words)
    yield "".join(words)


def _variants(name: str) -> Iterator[str]:
    """Give an English name as people type it: singular, plural, written as one word."""
    words = plain_words(name)
    if not words:
        return
    last = words[-1]
    plural = f"{last}es" if last.endswith(("s", "x", "ch", "sh")) else f"{last}s"
    endings = {last, plural} | ({f"{last[:-1]}ies"} if last.endswith("y") else set())
    for ending in endings:
        yield from _as_one_word(" ".join([*words[:-1], ending]))
