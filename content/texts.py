"""What the bot says, one YAML file per language."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from content.fields import Strict
from content.loading import load_shipped

_FOLDER = Path(__file__).parent / "texts"


class Counted(Strict):
    """A text that depends on a count."""

    one: str
    other: str


_TEXTS: TypeAdapter[dict[str, str | Counted]] = TypeAdapter(dict[str, str | Counted])


@cache
def load_texts(language: str) -> dict[str, str | Counted]:
    """Load a language's texts by key.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_TEXTS, _FOLDER / f"{language}.yaml")
