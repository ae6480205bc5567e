"""The reader's words, one YAML file per language."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from content.fields import Strict
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


class Words(Strict):
    """What one language calls things. Phrases are lower case, a hyphen is a space."""

    slips: tuple[str, ...]
    numbers: dict[str, int]
    multipliers: dict[str, int]
    ordinals: dict[str, int]
    behind_a_number: dict[str, tuple[str, ...]]
    words: dict[str, tuple[str, ...]]
    questions: dict[str, tuple[str, ...]]  # in order: the first that fits wins
    requests: tuple[str, ...]
    health_signs: dict[str, Sign]
    jokes: Jokes


_WORDS: TypeAdapter[Words] = TypeAdapter(Words)


@cache
def load_words(language: str) -> Words:
    """Load a language's words.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_WORDS, _FOLDER / f"{language}.yaml")
