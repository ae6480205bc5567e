"""How people answer a question that offers choices, one YAML file per language."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from content.fields import Strict
from content.loading import load_shipped

_FOLDER = Path(__file__).parent / "replies"


class Replies(Strict):
    """What one language says. Phrases are lower case; accents may be left out in a message.

    `around` may stand before or behind the others; `number` stands before a number that counts
    the choices. `loose` are those of them that choose only in a reply; with `wait` in it, a text
    chooses nothing.
    """

    yes: tuple[str, ...]
    none: tuple[str, ...]
    last: tuple[str, ...]
    number: tuple[str, ...]
    around: tuple[str, ...]
    loose: tuple[str, ...] = ()
    wait: tuple[str, ...] = ()


_REPLIES: TypeAdapter[Replies] = TypeAdapter(Replies)


@cache
def load_replies(language: str) -> Replies:
    """Load a language's replies.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_REPLIES, _FOLDER / f"{language}.yaml")


def reply_languages() -> tuple[str, ...]:
    """Give the languages there are replies for."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))
