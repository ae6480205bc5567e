"""Bring one character of any script to its plain form: digits, dashes, quotes, fractions."""

from __future__ import annotations

import unicodedata
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


@lru_cache(maxsize=4096)
def plain_character(character: str) -> str:
    """Give what stands for a character: lower case, ASCII digits, no accents; maybe nothing."""
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


def plain_text(text: str) -> str:
    """Bring a short text to plain form."""
    return "".join(map(plain_character, text))


def _numeric(character: str) -> str:
    """Write a fraction or a circled number out; a space keeps "1½" apart (NFKC would not)."""
    value = Fraction(unicodedata.numeric(character)).limit_denominator(100)
    if value.denominator > 1:
        return f" {value.numerator}/{value.denominator} "
    return str(value.numerator)
