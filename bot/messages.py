"""Keep messages below the platform's limit, cutting between lines only.

Our texts never let a tag reach over a line's end, so that a piece is always whole HTML.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from markupsafe import Markup, escape

# UTF-16 units after entity parsing; we count before it, which is never less.
# Source: Bot API, sendMessage.
LIMIT = 4096


def utf16_length(text: str) -> int:
    """Count UTF-16 code units, the platform's measure of length."""
    return len(text.encode("utf-16-le")) // 2


def pieces(text: Markup, *, limit: int = LIMIT) -> list[Markup]:
    """Cut a text into messages, at empty lines if possible, else at line ends."""
    if utf16_length(text) <= limit:
        return [text]
    found: list[Markup] = []
    current = ""
    for block in _blocks(text, limit):
        joined = f"{current}{block}"
        if utf16_length(joined.strip()) > limit:
            if current.strip():
                found.append(_piece(current))
            joined = block
        current = joined
    return [*found, _piece(current)] if current.strip() else found


def _piece(text: str) -> Markup:
    return Markup(text.strip())  # noqa: S704 - cut from a Markup


def _blocks(text: str, limit: int) -> Iterator[str]:
    """Give paragraphs; a paragraph above the limit comes line by line, a line in parts."""
    for paragraph in text.split("\n\n"):
        if utf16_length(paragraph) <= limit:
            yield f"{paragraph}\n\n"
            continue
        for line in paragraph.split("\n"):
            yield from _parts(line, limit)
        yield "\n"


def _parts(line: str, limit: int) -> Iterator[str]:
    if utf16_length(line) <= limit:
        yield f"{line}\n"
        return
    # No text of ours has such a line; as a last resort it loses its formatting, not its words.
    plain = Markup(line).striptags()  # noqa: S704 - a line of a Markup
    longest = limit // 6  # an escaped character takes up to 5, an astral one 2
    for word in re.findall(rf"\S{{1,{longest}}} ?", plain):
        yield str(escape(word))
    yield "\n"
