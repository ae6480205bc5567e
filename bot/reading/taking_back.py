"""Tell the wish to have one's own score taken out from words about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bot.reading.kinds import Kind
from bot.reading.lexicon import Lexicon
from bot.reading.word_groups import WordGroups
from content.words import Words

_NEAR = 6  # words from the verb to the thing, at most
_OWN = 2  # words from "my" to "score", at most
_TOLD = 3  # words from "he" to the verb, at most
_ASKED = 5  # words from "can you" to the verb, at most
_WANTED = 9  # words from "I'd like" to "removed", at most


@dataclass(frozen=True)
class _Ways:
    """The groups of one language; `done` is said with `wanted`, `parted` with `behind`."""

    verbs: int
    for_me: int
    parted: int
    behind: int
    done: int
    wanted: int
    own: int
    things: int
    mine: int
    asking: int
    told: int

    def wishes(self, places: Mapping[int, Sequence[int]]) -> Iterator[tuple[int, int]]:
        """Give where wishes begin and end, first and last word, told or not."""
        mine = places.get(self.mine, ())
        for thing in (*places.get(self.things, ()), *mine):
            owned = thing in mine or bool(_near(places, self.own, thing - _OWN, thing - 1))
            for verb in self._verbs(places, thing, owned=owned):
                told = _near(places, self.told, verb - _TOLD, verb - 1)
                if not told or _near(places, self.asking, verb - _ASKED, verb - 1):
                    yield min(verb, thing), max(verb, thing)

    def _verbs(
        self, places: Mapping[int, Sequence[int]], thing: int, *, owned: bool
    ) -> Iterator[int]:
        first, last = thing - _NEAR, thing + _NEAR
        yield from _near(places, self.for_me, first, last)
        if not owned:
            return
        yield from _near(places, self.verbs, first, last)
        for verb in _near(places, self.parted, first, last):
            if _near(places, self.behind, verb + 1, verb + _WANTED):
                yield verb
        for verb in _near(places, self.done, first, last):
            if _near(places, self.wanted, verb - _WANTED, verb + 2):
                yield verb


@dataclass(frozen=True)
class TakingOut:
    """How people wish to have a score taken out, in all languages."""

    groups: WordGroups
    languages: Sequence[_Ways]

    @classmethod
    def of(cls, languages: Iterable[Words]) -> TakingOut:
        """Gather the words of several languages."""
        groups = WordGroups()
        ways = [_ways_of(words, groups) for words in languages]
        for way in ways:
            groups.open_with(way.things)
            groups.open_with(way.mine)
        return cls(groups, ways)

    def may_be_wished(self, words: Sequence[str]) -> bool:
        """Say whether a message names anything that could be taken out."""
        return self.groups.may_open(words)

    def is_wished(self, words: Sequence[str], lexicon: Lexicon, *, asked: bool) -> bool:
        """Say whether a message asks for it; the arguments are those of `wants_back`."""
        places = self.groups.places(words)
        return any(
            self._is_meant(way, places, wish, words, lexicon, asked=asked)
            for way in self.languages
            for wish in way.wishes(places)
        )

    def _is_meant(
        self,
        way: _Ways,
        places: Mapping[int, Sequence[int]],
        wish: tuple[int, int],
        words: Sequence[str],
        lexicon: Lexicon,
        *,
        asked: bool,
    ) -> bool:
        start, end = wish
        if Kind.NEGATION in _kinds(words[: end + 2], lexicon):  # German says its "not" behind
            return False
        polite = _near(places, way.asking, 0, end)
        in_front = _kinds(words[: min(polite[0], start) if polite else start], lexicon)
        return Kind.ASKING not in in_front and (bool(polite) or not asked)


def _near(places: Mapping[int, Sequence[int]], group: int, first: int, last: int) -> Sequence[int]:
    return [place for place in places.get(group, ()) if first <= place <= last]


def _ways_of(words: Words, groups: WordGroups) -> _Ways:
    said = words.take_out
    return _Ways(
        verbs=groups.add(said.verbs, words),
        for_me=groups.add(said.for_me, words),
        parted=groups.add(said.parted[0], words),
        behind=groups.add(said.parted[1], words),
        done=groups.add(said.done, words),
        wanted=groups.add(said.wanted, words),
        own=groups.add(said.own, words),
        things=groups.add(said.things, words),
        mine=groups.add(said.mine, words),
        asking=groups.add(said.asking, words),
        told=groups.add(said.told, words),
    )


def wants_back(words: Sequence[str], lexicon: Lexicon, *, asked: bool) -> bool:
    """Say whether somebody asks to have their score taken out.

    "Don't remove my score", "how do I remove my score" and "remove my score?" change nothing;
    "can you remove my score?" is a wish.

    Args:
        words: The message's words in plain form.
        lexicon: The phrases of its language.
        asked: There is a question mark.
    """
    return any(
        _is_wish(words[:start], words[start + length :], lexicon, asked=asked)
        for start, length in lexicon.asked.take_back.found_in(words)
    )


def _is_wish(
    before: Sequence[str], after: Sequence[str], lexicon: Lexicon, *, asked: bool
) -> bool:
    in_front = _kinds(before, lexicon)
    if Kind.NEGATION in in_front or Kind.ASKING in in_front:
        return False
    if Kind.NEGATION in _kinds(after[:1], lexicon):  # German says its "not" behind
        return False
    return not asked or Kind.OTHER in in_front  # the one who is asked: "can you"


def _kinds(words: Sequence[str], lexicon: Lexicon) -> set[Kind | None]:
    found = (lexicon.phrases.longest(words, at) for at in range(len(words)))
    return {hit[1].kind for hit in found if hit is not None}
