"""How likely what was found is its sender's score, by the words around it.

The patterns know the shape of a score. Whether "40 kg" was lifted, bought or only owned, the words
beside it tell: each, by its place before or behind, has a weight, and their sum a likelihood. The
weights are fitted to messages written by hand; `python -m tests.bench fit` makes them anew and
prints what they hold back and what they cost on messages they were not fitted to.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise

from bot.reading.found import Found
from bot.reading.normalise import Plain
from content.score import Score, ScoreKind

# A question mark is left to the rules: "3 + 45?" is asked about, however likely.
_PIECE = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*|\d+(?:[:.,]\d+)*|[^\w\s?]|\n")
_FIGURE = "#"  # every number is the same word: its size tells nothing
_FOUND = "_"  # stands for what was found
_BEGIN, _END = "^", "$"
_NEAR, _WIDE, _PAIRED = 3, 10, 5  # words to a side that tell by place, by side, in pairs
_WINDOW = 400  # characters to a side; keeps the time bounded


@dataclass(frozen=True, slots=True)
class Around:
    """The words around something found in a message."""

    before: Sequence[str]
    after: Sequence[str]
    kind: ScoreKind
    length: int  # of what was found, in characters
    unsure: bool  # it has several meanings
    loose: bool  # no pattern makes it a score
    scores: Sequence[Score]  # what it would be; the weights do not look at it

    @property
    def is_alone(self) -> bool:
        """Whether there are no words to judge by."""
        return len(self.before) + len(self.after) <= 1


def around(plain: Plain, start: int, end: int, kind: ScoreKind, found: Found) -> Around:
    """Give the words around a stretch of the plain text in which something was found."""
    return Around(
        _words(plain.text[max(0, start - _WINDOW) : start]),
        _words(plain.text[end : end + _WINDOW]),
        kind,
        end - start,
        found.why is not None,
        found.loose,
        found.scores,
    )


def _words(text: str) -> Sequence[str]:
    return [_FIGURE if piece[0].isdigit() else piece for piece in _PIECE.findall(text)]


def features(around: Around) -> Iterator[tuple[str, float]]:
    """Give what is weighed: names of features with their values."""
    before, after, kind = around.before, around.after, around.kind.value
    for place, word in enumerate(reversed(before[-_NEAR:])):
        yield f"<{place}{word}", 1
    for place, word in enumerate(after[:_NEAR]):
        yield f">{place}{word}", 1
    yield from ((f"<{word}", 1) for word in set(before[-_WIDE:]))
    yield from ((f">{word}", 1) for word in set(after[:_WIDE]))
    yield from ((word, 1) for word in {*before, *after})
    near = [*[_BEGIN, *before][-_PAIRED:], _FOUND, *[*after, _END][:_PAIRED]]
    yield from ((f"{one} {two}", 1) for one, two in pairwise(near))
    for three in zip(near, near[1:], near[2:], strict=False):
        if _FOUND in three:
            yield " ".join(three), 1
    yield "|before", min(len(before), 12) / 6
    yield "|after", min(len(after), 15) / 8
    yield "|figures", min(4, (*before, *after).count(_FIGURE)) / 2
    yield "|length", min(around.length, 20) / 10
    yield f"|{kind}", 1
    yield f"|{kind} {min(2, len(before))}", 1
    if around.unsure:
        yield "|unsure", 1
    if around.loose:
        yield "|loose", 1
        yield f"|loose {kind}", 1


@cache
def _weights() -> Mapping[str, float]:
    text = files("bot.reading").joinpath("weights.json").read_text(encoding="utf-8")
    weights: dict[str, float] = json.loads(text)
    return weights


def likelihood(around: Around) -> float:
    """Give how likely it is the sender's score, from 0 to 1.

    Where no words stand around, it is what the patterns make it.
    """
    if around.is_alone:
        return 0.0 if around.loose else 1.0
    weights = _weights()
    total = weights["|"] + sum(
        weights[name] * value for name, value in features(around) if name in weights
    )
    return 1 / (1 + math.exp(-total))
