"""The reader's words, one YAML file per language.

A language is data alone: a new file in `words/` is all that one more language takes.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from pathlib import Path

from pydantic import Field, TypeAdapter

from content.fields import Slug, Strict
from content.loading import load_shipped

_FOLDER = Path(__file__).parent / "words"


class Jokes(Strict):
    """Signs that people also joke about, and words that show that they do."""

    signs: tuple[str, ...]
    words: tuple[str, ...]


class Sign(Strict):
    """How one sign of an emergency is said."""

    phrases: tuple[str, ...] = ()
    together: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = ()


class Joining(Strict):
    """How a language puts its number words together.

    `joint_behind`: sizes (1000, 100, 10) behind which "and" goes on with the number: "two
    hundred and five", "cuarenta y cinco". `teens_behind`: tens that take a teen: "soixante-dix".
    `units_first`: "fünf und vierzig". `glued`: the parts are also written as one word.
    """

    joint_behind: tuple[int, ...] = ()
    teens_behind: tuple[int, ...] = ()
    units_first: bool = False
    glued: bool = False


class Words(Strict):
    """What one language calls things. Phrases are lower case, a hyphen is a space.

    Accents may be left out in a message. `common` are short everyday words by which a message is
    known to be in the language; `spellings` other ways to write a letter ("ue" for "ü");
    `everyday` words that may nickname a division and are said of much else ("light").
    `divisions` are usual words for kinds of division, by the kind's English word: "ligera" names
    the challenge's division that is called lighter, if it has one. `movements` are names of
    movements by id, singular and plural, the usual one first.
    """

    common: tuple[str, ...]
    spellings: dict[str, str] = Field(default_factory=dict)
    slips: tuple[str, ...]
    numbers: dict[str, int]
    fractions: dict[str, Decimal] = Field(default_factory=dict)  # one and a half in one word
    multipliers: dict[str, int]
    joining: Joining
    decimal_comma: bool = False
    capital_nouns: bool = False
    ordinals: dict[str, int]
    ordinal_endings: tuple[str, ...]
    weekdays: dict[str, int]  # Monday is 1
    behind_a_number: dict[str, tuple[str, ...]]
    words: dict[str, tuple[str, ...]]
    questions: dict[str, tuple[str, ...]]  # in order: the first that fits wins
    kit: tuple[str, ...]  # things people train with, or put in their place
    requests: tuple[str, ...]
    take_back: tuple[str, ...] = ()  # "remove my score"
    denials: tuple[str, ...]  # in front of a sign: "no chest pain"
    health_signs: dict[str, Sign]
    jokes: Jokes
    everyday: tuple[str, ...] = ()
    divisions: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    movements: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)


_WORDS: TypeAdapter[Words] = TypeAdapter(Words)


def languages() -> tuple[str, ...]:
    """Give the languages there are words for."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))


@cache
def load_words(language: str) -> Words:
    """Load a language's words.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_WORDS, _FOLDER / f"{language}.yaml")
