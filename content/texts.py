"""What the bot says, one YAML file per language."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from content.errors import ContentInvalid
from content.fields import Strict
from content.source import Source

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
    source = Source(_FOLDER / f"{language}.yaml")
    if source.problems:
        raise ContentInvalid(source.problems)
    try:
        return _TEXTS.validate_python(source.data)
    except ValidationError as error:
        raise ContentInvalid(
            [source.problem(details["loc"], details["msg"]) for details in error.errors()]
        ) from error
