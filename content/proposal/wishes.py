"""What a division is like, told by its own words: lighter, without kit, without jumps."""

from __future__ import annotations

import re
from dataclasses import dataclass

from content.challenge import Division
from content.errors import DivisionUnclear

_NO = r"(?:no|without|zero)"
_WORDS = {
    "no_kit": rf"{_NO} (?:any )?(?:kit|equipment|weights?)|body ?weight|bw|(?:kit|equipment) free",
    "lighter": r"light|lighter|lite|scaled|eas(?:y|ier)|gentler?|beginners?|newcomers?|starters?",
    "no_jumps": rf"{_NO} jump(?:s|ing)?|jump free|low impact",
}
_PATTERNS = {wish: re.compile(rf"\b(?:{words})\b") for wish, words in _WORDS.items()}


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a division promises to its people; several may hold at once."""

    no_kit: bool = False
    lighter: bool = False
    no_jumps: bool = False

    def __bool__(self) -> bool:
        return self.no_kit or self.lighter or self.no_jumps

    def __str__(self) -> str:
        said = {"no kit": self.no_kit, "lighter": self.lighter, "no jumps": self.no_jumps}
        return ", ".join(words for words, wished in said.items() if wished)


def wishes_of(division: Division) -> Wishes:
    """Read what a division is like from its id, name, nicknames and summary.

    Raises:
        DivisionUnclear: They hold no word for it.
    """
    said = (division.id, division.name, *division.nicknames, division.summary)
    # A bar between them: the end of one and the start of the next make no phrase.
    text = " | ".join(re.sub(r"[\s\-_]+", " ", words.casefold()) for words in said)
    wishes = Wishes(**{wish: bool(found.search(text)) for wish, found in _PATTERNS.items()})
    if not wishes:
        raise DivisionUnclear(division=division.id)
    return wishes
