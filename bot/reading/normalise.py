"""Bring any script's digits, keycaps, fractions, dashes and quotes to one plain form.

Every character of the plain text remembers which character of the message it came from, so that
a quote is always a slice of what the person wrote.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from content.characters import plain_character


@dataclass(frozen=True, slots=True)
class Plain:
    """A message in plain form.

    `origin[i]` is the index in the message of the character that `text[i]` came from.
    """

    text: str
    origin: Sequence[int]
    message: str
    capital_nouns: bool = False  # its language writes nouns so, a capital is no sign of a name

    def quote(self, start: int, end: int) -> str:
        """Give the slice of the message behind `text[start:end]`, dropped marks included."""
        stop = self.origin[end] if end < len(self.origin) else len(self.message)
        return self.message[self.origin[start] : stop].strip()

    def has_capital(self, start: int) -> bool:
        """Say whether the word that begins there was written with a capital."""
        return self.quote(start, start + 1).isupper()


def normalise(message: str) -> Plain:
    """Bring a message to plain form: lower case, ASCII digits, no accents."""
    if message.isascii():
        return Plain(message.lower().replace("\r", "\n"), range(len(message)), message)
    pieces: list[str] = []
    origin: list[int] = []
    for index, character in enumerate(message):
        plain = character.lower() if character.isascii() else plain_character(character)
        pieces.append(plain)
        origin.extend([index] * len(plain))
    return Plain("".join(pieces), origin, message)
