"""Bring any script's digits, keycaps, fractions, dashes and quotes to one plain form.

Every character of the plain text remembers which character of the message it came from, so that
a quote is always a slice of what the person wrote.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

_KEYCAP_MARKS = "\ufe0e\ufe0f\u20e3"
_PLAIN = {
    **dict.fromkeys("‐‑‒–—―−", "-"),
    **dict.fromkeys("‘’‚‛′´`", "'"),
    **dict.fromkeys("“”„‟″«»", '"'),
    **dict.fromkeys("×✕✖⨯", "x"),
    **dict.fromkeys("➕＋﹢", "+"),
    "➖": "-",
    "\U0001f51f": "10",
    "⁄": "/",
    "…": "...",
    "→": "\n",
    "\r": "\n",
    "\u2028": "\n",
    "\u2029": "\n",
}


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
        plain = character.lower() if character.isascii() else _plain(character)
        pieces.append(plain)
        origin.extend([index] * len(plain))
    return Plain("".join(pieces), origin, message)


@lru_cache(maxsize=4096)
def _plain(character: str) -> str:
    if character in _PLAIN:
        return _PLAIN[character]
    category = unicodedata.category(character)
    if character in _KEYCAP_MARKS or category in {"Cf", "Mn", "Me"}:
        return ""
    if category == "Nd":  # exactly the characters int() reads
        return str(int(character))
    if category == "No":
        return _numeric(character)
    if category == "Zs":
        return " "
    decomposed = unicodedata.normalize("NFKD", character).casefold()
    return "".join(c for c in decomposed if unicodedata.category(c) != "Mn")


def _numeric(character: str) -> str:
    """Write a fraction or a circled number out; a space keeps "1½" apart (NFKC would not)."""
    value = Fraction(unicodedata.numeric(character)).limit_denominator(100)
    if value.denominator > 1:
        return f" {value.numerator}/{value.denominator} "
    return str(value.numerator)
