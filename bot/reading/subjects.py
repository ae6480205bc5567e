"""How likely a message asks us something, and what about, by the words in it.

Every word, every idea behind the words (`evidence.py`), every two ideas together and every phrase
of a subject's list has a weight for each subject, and one for "nothing for us". The weights are
fitted to messages written by hand; `python -m tests.bench questions` makes them anew and prints
how they do on messages they were not fitted to.
"""

from __future__ import annotations

import json
import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import combinations, pairwise

from bot.reading.values import About

NOTHING = "nothing"
_MOST_WORDS = 60  # a question stands in fewer; keeps the time bounded
_MOST_IDEAS = 16  # that are looked at two by two
_DIVISION, _NUMBER = "DIVISION", "NUMBER"
MOVEMENT = "@movement"  # stands for any movement's name


@dataclass(frozen=True, slots=True)
class Heard:
    """What a message holds that tells what it asks."""

    words: Sequence[str]  # plain; a movement's name is MOVEMENT
    ideas: Sequence[AbstractSet[str]]  # of each word
    subjects: AbstractSet[str]  # whose phrases are in it
    kinds: Collection[str]  # of its tokens
    is_asked: bool
    is_request: bool
    names_kit: bool
    has_mark: bool


def features(heard: Heard) -> Iterator[tuple[str, float]]:
    """Give what is weighed: names of features with their values."""
    words = list(dict.fromkeys(heard.words[:_MOST_WORDS]))
    yield from ((word, 1) for word in words)
    yield "|words", min(len(heard.words), 30) / 10
    yield from ((f"~{kind}", 1) for kind in heard.kinds)
    yield from ((f"={subject}", 1) for subject in heard.subjects)
    yield "=?" if heard.has_mark else "=.", 1
    told = {"asked": heard.is_asked, "request": heard.is_request, "kit": heard.names_kit}
    yield from ((f"={name}", 1) for name, holds in told.items() if holds)
    yield "=subjects", min(len(heard.subjects), 4) / 2
    yield from _of_ideas(heard)


def _of_ideas(heard: Heard) -> Iterator[tuple[str, float]]:
    row = [
        [MOVEMENT] if word == MOVEMENT else sorted(ideas)
        for word, ideas in zip(heard.words[:_MOST_WORDS], heard.ideas, strict=False)
        if ideas or word == MOVEMENT
    ]
    there = list(dict.fromkeys(idea for ideas in row for idea in ideas))
    there += [f"@{kind}" for kind in (_DIVISION, _NUMBER) if kind in heard.kinds]
    yield from ((f"#{idea}", 1) for idea in there)
    yield from ((f"#^{idea}", 1) for idea in (row[0] if row else ()))
    if not heard.subjects:
        yield from ((f"#0{idea}", 1) for idea in there)
    yield "#", min(len(there), 10) / 5
    yield from ((f"#{a}+{b}", 1) for a, b in combinations(sorted(there[:_MOST_IDEAS]), 2))
    near = {(a, b) for one, other in pairwise(row) for a in one for b in other}
    yield from ((f"#{a}>{b}", 1) for a, b in near)


@dataclass(frozen=True)
class Likely:
    """The most likely subject and how likely it is, from 0 to 1; what is nothing for us apart."""

    about: About
    likelihood: float


@cache
def _weights() -> tuple[Sequence[str], Mapping[str, Sequence[tuple[int, float]]]]:
    text = files("bot.reading").joinpath("question_weights.json").read_text(encoding="utf-8")
    found = json.loads(text)
    classes: list[str] = found["subjects"]
    weights = {
        name: [(int(place), each) for place, each in row.items()]
        for name, row in found["weights"].items()
    }
    return classes, weights


def likely(heard: Heard) -> Likely:
    """Give the subject a message most likely asks about."""
    classes, weights = _weights()
    totals = [0.0] * len(classes)
    for name, value in (("|", 1.0), *features(heard)):
        for place, weight in weights.get(name, ()):
            totals[place] += weight * value
    highest = max(totals)
    shares = [math.exp(total - highest) for total in totals]
    best = max(
        (place for place, name in enumerate(classes) if name != NOTHING),
        key=lambda place: shares[place],
    )
    return Likely(About(classes[best]), shares[best] / sum(shares))
