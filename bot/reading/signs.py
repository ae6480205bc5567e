"""Find signs of an emergency in a message, in any language. They win over everything else."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import NamedTuple

from bot.reading.lexicon import Scattered, everyday_words, spelled, split
from bot.reading.word_groups import WordGroups
from content.words import Sign, Words

_GAP = 3  # so many words may stand between two words of a phrase: "chest really hurts"
_NEAR = 9  # from the first of two words that stand together to the other, at most
_EACH_MORE = 5  # further for each list beyond two
_NEXT = 6  # from one word of an order to the next, at most
_LONGEST_DENIAL = 3  # words
_AROUND = 8  # words from a sign to what puts it elsewhere: "in the film"
_BESIDE = 4  # words from "the dog" to a sign, or from a sign to "years ago"
_LAUGHING = set("😂🤣😆😹")


class _Frame(NamedTuple):
    """Groups of words that tell a sign where all of them stand near each other."""

    sign: str
    groups: tuple[int, ...]
    rarest: int  # the place in `groups` of the one that names the sign
    in_order: bool

    def stands(self, places: Mapping[int, Sequence[int]]) -> Iterator[Sequence[int]]:
        """Give the places of words that stand together, one for each group."""
        if not all(group in places for group in self.groups):
            return
        ways = [places[group] for group in self.groups]
        if self.in_order:
            for at in ways[0]:
                yield from _followed(ways[1:], (at,))
            return
        reach = _NEAR + _EACH_MORE * (len(ways) - 2)
        for at in sorted({place for way in ways for place in way}):
            if (found := _all_within(ways, at, at + reach)) is not None:
                yield found


@dataclass(frozen=True)
class HealthSigns:
    """How the signs are said, in all languages at once."""

    names: Sequence[str]  # in the order of the word files
    phrases: Scattered[str]
    groups: WordGroups
    frames: Mapping[int, Sequence[_Frame]]  # by the group with the rarest words
    denials: frozenset[tuple[str, ...]]
    elsewhere: Mapping[int, tuple[int, int]]  # groups, and from where to where they count
    joked_about: frozenset[str]
    joking: frozenset[str]

    @classmethod
    def of(cls, languages: Iterable[Words]) -> HealthSigns:
        """Gather the signs of several languages."""
        languages = tuple(languages)
        signs = [(w, name, sign) for w in languages for name, sign in w.health_signs.items()]
        everyday = everyday_words(languages)
        groups = WordGroups()
        frames: dict[int, list[_Frame]] = {}
        for words, name, sign in signs:
            for in_order, lists in _frames(sign):
                said = [tuple(words.with_parts(each)) for each in lists]
                ids = tuple(groups.add(each, words) for each in said)
                rarest = min(range(len(ids)), key=lambda at: _everyday_in(said[at], everyday))
                groups.open_with(ids[rarest])
                frames.setdefault(ids[rarest], []).append(_Frame(name, ids, rarest, in_order))
        return cls(
            names=list(dict.fromkeys(name for _, name, _ in signs)),
            phrases=Scattered(
                (
                    (form, name)
                    for words, name, sign in signs
                    for phrase in sign.phrases
                    for form in spelled(phrase, words)
                ),
                gap=_GAP,
                everyday=everyday,
            ),
            groups=groups,
            frames=frames,
            denials=frozenset(
                split(form)
                for words in languages
                for phrase in words.denials
                for form in spelled(phrase, words)
            ),
            elsewhere=dict(_elsewhere(languages, groups)),
            joked_about=frozenset(sign for words in languages for sign in words.jokes.signs),
            joking=frozenset(w for words in languages for w in _plain(words.jokes.words, words)),
        )

    def named_in(self, message: str, words: Sequence[str]) -> tuple[str, ...]:
        """Give the signs a text names, in the order of the word files.

        Source: CDC/NIOSH pages on rhabdomyolysis and heat; HSE Ireland and NHS on chest pain;
        first-aid lists of signs to call for help at are common practice.
        """
        if self.phrases.telling.isdisjoint(words) and not self.groups.may_open(words):
            return ()
        places = self.groups.places(words)
        found = {
            name
            for at, name in self.phrases.found_in(words)
            if not self._denied(at, words) and not self._elsewhere(at, places)
        }
        found |= {
            frame.sign
            for group in self.frames.keys() & places.keys()
            for frame in self.frames[group]
            if frame.sign not in found
            and any(self._holds(frame, told, words, places) for told in frame.stands(places))
        }
        if found and (_LAUGHING & set(message) or not self.joking.isdisjoint(words)):
            found -= self.joked_about
        return tuple(name for name in self.names if name in found)

    def _holds(
        self,
        frame: _Frame,
        told: Sequence[int],
        words: Sequence[str],
        places: Mapping[int, Sequence[int]],
    ) -> bool:
        """Say whether what stands together is meant.

        "He is not choking" denies inside; there a "not" that belongs to the sign is no denial.
        """
        first, named = min(told), told[frame.rarest]
        denied = self._denied(first, words) or (
            frame.in_order and named - 1 not in told and self._denied(named, words)
        )
        return not denied and not self._elsewhere(first, places)

    def _denied(self, start: int, words: Sequence[str]) -> bool:
        return any(
            tuple(words[max(0, start - length) : start]) in self.denials
            for length in range(1, _LONGEST_DENIAL + 1)
        )

    def _elsewhere(self, start: int, places: Mapping[int, Sequence[int]]) -> bool:
        """Say whether a sign is told of a film, of long ago, or of nobody."""
        return any(
            start + self.elsewhere[group][0] <= place <= start + self.elsewhere[group][1]
            for group in self.elsewhere.keys() & places.keys()
            for place in places[group]
        )


def _frames(sign: Sign) -> Iterator[tuple[bool, Sequence[Sequence[str]]]]:
    yield from ((False, lists) for lists in sign.together)
    yield from ((True, lists) for lists in sign.in_order)


def _everyday_in(phrases: Iterable[str], everyday: AbstractSet[str]) -> int:
    """Count the phrases by which a group stands in many messages that mean nothing."""
    return sum(len(words) == 1 and words[0] in everyday for words in map(split, phrases))


def _elsewhere(
    languages: Iterable[Words], groups: WordGroups
) -> Iterator[tuple[int, tuple[int, int]]]:
    for words in languages:
        yield groups.add(words.elsewhere.near, words), (-_AROUND, _AROUND)
        yield groups.add(words.elsewhere.in_front, words), (-_BESIDE, 0)
        yield groups.add(words.elsewhere.behind, words), (0, _BESIDE)


def _followed(ways: Sequence[Sequence[int]], so_far: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Give the places with which each way has one a little behind the one before it."""
    if not ways:
        yield so_far
        return
    for place in _between(ways[0], so_far[-1] + 1, so_far[-1] + _NEXT):
        yield from _followed(ways[1:], (*so_far, place))


def _all_within(ways: Sequence[Sequence[int]], first: int, last: int) -> Sequence[int] | None:
    """Give a place of its own for each way between two places, both included."""
    taken: dict[int, int] = {}  # the way with the fewest places chooses first
    for way in sorted(range(len(ways)), key=lambda each: len(ways[each])):
        near = _between(ways[way], first, last)
        place = next((each for each in near if each not in taken.values()), None)
        if place is None:
            return None
        taken[way] = place
    return [taken[way] for way in range(len(ways))]


def _between(places: Sequence[int], first: int, last: int) -> Sequence[int]:
    """Give the places from one to another, both included; a long message has many."""
    return places[bisect_left(places, first) : bisect_right(places, last)]


def _plain(phrases: Iterable[str], words: Words) -> frozenset[str]:
    return frozenset(
        word for phrase in phrases for form in spelled(phrase, words) for word in split(form)
    )
