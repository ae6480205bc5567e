"""One token of a message."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from bot.reading.kinds import Kind
from bot.reading.lexicon import MovementName

Value = int | str | Fraction | MovementName | None


class Token(NamedTuple):
    """One token; `start` and `end` are places in the plain text."""

    kind: Kind
    start: int
    end: int
    value: Value = None
    number_word: bool = False
    everyday: bool = False
