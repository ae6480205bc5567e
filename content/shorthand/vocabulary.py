"""Names of movements: exact, joined or parted otherwise, in the plural, or with a slip."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from content.characters import plain_text
from content.fields import Load
from content.movement import Kit, Movement

WORD = re.compile(r"[^\W_]+(?:'[^\W_]+)*")
LONGEST_NAME = 7  # words
_LONGEST_WORD = 60  # letters; nothing in a library comes near
_SHORT = 3  # letters: "kbs" is no plural of "kb"
_TOO_SHORT = 5  # letters: in a shorter word any slip makes another word of it
_LONG_WORD = 7  # letters: from here on two slips may be in it
_NEAR = 58.0  # of 100: worth naming as a near one
# How closely a name belongs: its name, its plural, its id, the first nickname, others.
_RANKS = (0, 0, 1, 2, 3)
_KIT_WORDS = {
    "kb": Kit.KETTLEBELL,
    "kettlebell": Kit.KETTLEBELL,
    "bell": Kit.KETTLEBELL,
    "db": Kit.DUMBBELL,
    "dumbbell": Kit.DUMBBELL,
    "backpack": Kit.BACKPACK,
    "rucksack": Kit.BACKPACK,
    "bag": Kit.BACKPACK,
    "pack": Kit.BACKPACK,
}


def kit_named(word: str) -> Kit | None:
    """Give the kit that a word names."""
    return _KIT_WORDS.get(singular(word))


def singular(word: str) -> str:
    """Give a word without its plural ending: "lunges" -> "lunge", "presses" -> "press"."""
    if len(word) <= _SHORT or word.endswith("ss"):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "sses", "xes")):
        return word[:-2]
    return word.removesuffix("s")


_LONG_FORMS = {
    "kb": "kettlebell",
    "db": "dumbbell",
    "dbs": "dumbbell",
    "bw": "bodyweight",
    "oh": "overhead",
    "sl": "single-leg",
    **dict.fromkeys(("sq", "sqs", "sqt", "sqts"), "squat"),
}


# Short names that in other languages are everyday words ("j'ai pu"): no nicknames for messages.
_ONLY_JOTTED = {"pu": ("push-up", "pull-up")}


def words_of(text: str) -> list[str]:
    """Give the words of a name; a hyphen parts them, an apostrophe does not."""
    return [word.replace("'", "") for word in WORD.findall(plain_text(text))]


def _long(words: Sequence[str]) -> list[str]:
    """Write the trade's short words for kit out."""
    return [_LONG_FORMS.get(word, word) for word in words]


def _keys(words: Sequence[str]) -> tuple[str, str]:
    """Give the two keys of a name: as it is, and with its last word in the singular."""
    words = _long(words)
    joined = "".join(words).replace("-", "")
    return joined, "".join((*words[:-1], singular(words[-1]))).replace("-", "")


def _looked_up(words: Sequence[str]) -> tuple[str, ...]:
    """Give the keys under which to look for a name; "DUs" may be more than one "DU"."""
    keys = _keys(words)
    last = words[-1]
    short = len(last) == _SHORT and last.endswith("s")
    return (*keys, keys[0][:-1]) if short else keys


@dataclass(frozen=True, slots=True)
class Named:
    """What a name may mean: ids, the likeliest first; `slip` when it was not quite that name.

    `sure`: nothing else is meant by it, or the first is the usual meaning.
    """

    ids: tuple[str, ...]
    sure: bool
    slip: bool = False


@dataclass(slots=True)
class Vocabulary:
    """The names of a library, ready to be looked up."""

    library: Mapping[str, Movement]
    _index: dict[str, dict[str, int]] = field(default_factory=dict)  # key: id: rank of the name
    _spaced: list[str] = field(default_factory=list)
    _joined: list[str] = field(default_factory=list)
    _owner: list[str] = field(default_factory=list)  # the movement of each name
    _order: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._order = {name: place for place, name in enumerate(self.library)}
        for movement in self.library.values():
            names = (movement.name, movement.plural, movement.id, *movement.nicknames)
            for place, name in enumerate(names):
                if words := words_of(name):
                    self._add(words, movement.id, _RANKS[min(place, len(_RANKS) - 1)])

        for name, ids in _ONLY_JOTTED.items():
            for own in ids:
                if own in self.library:
                    self._add([name], own, _RANKS[-1])

    def _add(self, words: list[str], movement: str, rank: int) -> None:
        for key in _keys(words):
            ranks = self._index.setdefault(key, {})
            ranks[movement] = min(rank, ranks.get(movement, rank))
        self._spaced.append(" ".join((*words[:-1], singular(words[-1]))))
        self._joined.append(_keys(words)[1])
        self._owner.append(movement)

    def knows(self, words: Sequence[str]) -> bool:
        """Say whether these words are a name."""
        return any(key in self._index for key in _looked_up(words))

    def longest(self, words: Sequence[str]) -> int:
        """Give how many of the first words make a name, at most; 0 if they begin none."""
        for count in range(min(LONGEST_NAME, len(words)), 0, -1):
            if self.knows(words[:count]):
                return count
        return 0

    def meaning(
        self, words: Sequence[str], *, load: Load | None = None, kit: Kit | None = None
    ) -> Named | None:
        """Say which movements a name means, with the load and the kit that stand beside it."""
        ranks: dict[str, int] = {}
        known = next((key for key in _looked_up(words) if key in self._index), "")
        for key in dict.fromkeys((known, *_keys(words))):
            for movement, rank in self._index.get(key, {}).items():
                ranks[movement] = min(rank, ranks.get(movement, rank))
        if not ranks:
            return None
        ids = sorted(ranks, key=lambda name: (ranks[name], self._order[name]))
        own = [name for name in ids if ranks[name] == 0]
        if len(own) == 1:
            return Named((own[0], *(name for name in ids if name != own[0])), sure=True)
        fitting = self._fitting(ids, load, kit) or ids
        patterns = [self.library[name].pattern for name in fitting]
        # Of lunges and a jumping lunge, "lunge" is no jump.
        fitting.sort(key=lambda n: (ranks[n], -patterns.count(self.library[n].pattern)))
        first = [name for name in fitting if ranks[name] == ranks[fitting[0]]]
        rest = [name for name in ids if name not in fitting]
        usual = len(fitting) == 1 or (len(first) == 1 and ranks[first[0]] <= 2)  # noqa: PLR2004
        return Named((*fitting, *rest), sure=usual)

    def _fitting(self, ids: Iterable[str], load: Load | None, kit: Kit | None) -> list[str]:
        """Give those that go with the load and kit; without either, those that need none."""
        pieces = load.pieces if load else 0
        found = []
        for name in ids:
            needs = self.library[name].kit
            if pieces > 1:
                fits = Kit.TWO_DUMBBELLS in needs
            elif load or kit:
                fits = bool(needs) and Kit.TWO_DUMBBELLS not in needs and (not kit or kit in needs)
            else:
                fits = not needs
            if fits:
                found.append(name)
        return found

    def near(self, text: str, *, most: int = 5) -> tuple[str, ...]:
        """Give the movements with the likest names, the likest first."""
        return tuple(dict.fromkeys(self._owner[i] for _, i in self._ranked(text)))[:most]

    def closeness(self, text: str) -> float:
        """Say how like the likest name is, 0 to 100."""
        ranked = self._ranked(text)
        return ranked[0][0] if ranked else 0.0

    def slipped(self, text: str) -> list[str] | None:
        """Give the words of the name that was meant, if there is only one that can be.

        Every word must be within a slip or two of its own; short words leave no room for one.
        """
        words = words_of(text)
        if not words:
            return None
        candidates: dict[str, int] = {}
        for _, index in self._ranked(text):
            name = self._spaced[index]
            cost = _slips(words, name.split())
            if cost is not None:
                candidates[name] = cost
        if not candidates:
            return None
        least = min(candidates.values())
        best = [name for name, cost in candidates.items() if cost == least]
        meant = {self.meaning(name.split()) for name in best}
        firsts = {meaning.ids[0] for meaning in meant if meaning is not None}
        return best[0].split() if len(firsts) == 1 else None

    def _ranked(self, text: str) -> list[tuple[float, int]]:
        words = [word[:_LONGEST_WORD] for word in words_of(text)[:LONGEST_NAME]]
        if not words:
            return []
        spaced = " ".join((*words[:-1], singular(words[-1])))
        scores: dict[int, float] = {}
        for query, names, scorer in (
            (spaced.replace(" ", ""), self._joined, fuzz.ratio),
            (spaced, self._spaced, fuzz.token_sort_ratio),
            (spaced, self._spaced, fuzz.token_set_ratio),
        ):
            weight = 0.9 if scorer is fuzz.token_set_ratio else 1.0
            for _, score, index in process.extract(
                query, names, scorer=scorer, limit=15, score_cutoff=_NEAR / weight
            ):
                scores[index] = max(score * weight, scores.get(index, 0.0))
        return sorted(
            ((score, index) for index, score in scores.items()),
            key=lambda pair: (-pair[0], pair[1]),
        )


def _slips(words: Sequence[str], name: Sequence[str]) -> int | None:
    """Count the slips between two names, or None if they are too many to be slips."""
    words = (*words[:-1], singular(words[-1]))
    together = len(words) != len(name)  # parted otherwise, that is a slip already
    if together:
        words, name = ("".join(words),), ("".join(name),)
    total = 0
    for word, right in zip(words, name, strict=True):
        if word == right:
            continue
        length = max(len(word), len(right))
        allowed = 0 if length < _TOO_SHORT else 1 if length < _LONG_WORD or together else 2
        slips = OSA.distance(word, right, score_cutoff=allowed)
        if slips > allowed:
            return None
        total += slips
    return total
