"""Numbers, durations, lengths and loads as coaches write them; each is turned into integers once.

Every pattern is bounded, so that hostile text costs no more than its length.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal

from content.fields import Load
from content.units import (
    grams_from_kg,
    grams_from_lb,
    metres_from_km,
    metres_from_miles,
    metres_from_yards,
)

# fmt: off
_UNITS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
# fmt: on
_NUMBERS = {
    **{word: n for n, word in enumerate(_UNITS, start=1)},
    **{word: n * 10 for n, word in enumerate(_TENS, start=2)},
    "hundred": 100,
    "a hundred": 100,
    "one hundred": 100,
    "a dozen": 12,
}
_WORDS = "|".join(sorted(_NUMBERS, key=len, reverse=True))
# A whole number in digits or words; as a part of another pattern it has no groups.
NUMBER = (
    rf"(?:(?<![\w.])|(?<=\dx))(?:\d{{1,3}},\d{{3}}(?!\d)|\d{{1,6}}|"
    rf"(?:{'|'.join(_TENS)})[- ](?:{'|'.join(_UNITS[:9])})(?![\w-])|(?:{_WORDS})(?![\w-]))"
)
_MINUTES = r"(?:minutes?|mins?\.?|min\.?|')"
_SECONDS = r'(?:seconds?|secs?\.?|s|")'
_HOURS = r"(?:hours?|hrs?\.?|h)"
DURATION = (
    r"(?:(?<![\w.:])(?:\d{1,2}:[0-5]\d:[0-5]\d|\d{0,3}:[0-5]\d)"
    rf"(?: ?(?:{_MINUTES}|{_SECONDS}))?(?![\w:])|"
    rf"(?<![\w.])\d{{1,3}} ?{_MINUTES} ?(?:and )?\d{{1,2}} ?{_SECONDS}(?![\w])|"
    rf"(?<![\w.])\d{{1,3}}[.,]5 ?{_MINUTES}(?![\w])|"
    rf"{NUMBER}[ -]?(?:{_HOURS}|{_MINUTES}|{_SECONDS})(?![\w])|"
    r"(?<!\w)(?:half an hour|an hour|(?:a|one) minute|half a minute|a minute and a half)(?!\w))"
)
_PHRASES = {
    "half an hour": 1800,
    "an hour": 3600,
    "a minute": 60,
    "one minute": 60,
    "half a minute": 30,
    "a minute and a half": 90,
}
_MIXED = re.compile(rf"(\d{{1,3}}) ?{_MINUTES} ?(?:and )?(\d{{1,2}}) ?{_SECONDS}")
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{0,3}):(\d\d).{0,9}")
_LONG = re.compile(rf"(.{{1,24}}?)[ -]?(?:({_HOURS})|({_MINUTES})|({_SECONDS}))")


def number(text: str) -> int:
    """Turn what `NUMBER` matched into an integer."""
    text = " ".join(text.replace("-", " ").split())
    if text[0].isdigit():
        return int(text.replace(",", ""))
    if text in _NUMBERS:
        return _NUMBERS[text]
    return sum(_NUMBERS[word] for word in text.split())


def seconds(text: str) -> int:
    """Turn what `DURATION` matched into seconds; a bare number means minutes."""
    text = text.strip()
    if text in _PHRASES:
        return _PHRASES[text]
    if found := _MIXED.fullmatch(text):
        return int(found[1]) * 60 + int(found[2])
    if found := _CLOCK.fullmatch(text):
        return int(found[1] or 0) * 3600 + int(found[2] or 0) * 60 + int(found[3])
    if found := _LONG.fullmatch(text):
        size = 3600 if found[2] else 60 if found[3] else 1
        if re.fullmatch(r"\d+[.,]5", found[1].strip()):
            return int(Decimal(found[1].strip().replace(",", ".")) * size)
        return number(found[1]) * size
    return number(text) * 60


_AMOUNT = r"\d{1,4}(?:[.,]\d{1,3})?"
_MASS = r"(?:kgs?|kilos?|kilograms?|lbs?|pounds?|#|poods?|pd)(?!\w)"
_PIECES = r"(?:[1-4]|two|double) ?x ?"
_ONE = rf"(?:{_PIECES})?{_AMOUNT}"
LOAD = (
    rf"(?<![\w.,/])(?:@ ?|at |with )?(?:a pair of |pair of |two |double |2 (?=\d))?"
    rf"{_ONE}(?:[ -]?{_MASS})?(?: ?/ ?{_ONE}(?:[ -]?{_MASS})?){{0,7}}[ -]?{_MASS}"
    r"(?: (?:in )?(?:each|per|either) hand(?!\w)| each(?= (?:dumb|kettle)bell)|"
    r" per (?:dumb|kettle)bell)?"
)
BARE_LOAD = rf"@ ?{_ONE}(?: ?/ ?{_ONE}){{0,7}}(?![\w.:%/])"
_PART = re.compile(rf"(?:({_PIECES}))?({_AMOUNT})[ -]?({_MASS})?")
# The pood, the old Russian weight that kettlebells are still named by: 16.38 kg.
KG_PER_POOD = Decimal("16.38")
# Bells are sold in steps of 4 kg (common practice, no source), and a pood is sold as 16 kg.
_BELL_STEP_KG = 4


def grams_from_pood(poods: Decimal) -> int:
    """Turn poods into the bell that is sold by that name: the nearest 4 kg, at least 4 kg."""
    steps = (poods * KG_PER_POOD / _BELL_STEP_KG).quantize(Decimal(1))
    return max(1, int(steps)) * _BELL_STEP_KG * 1000


def loads(text: str) -> tuple[Load, ...]:
    """Turn what `LOAD` or `BARE_LOAD` matched into loads, one for each division in turn.

    Raises:
        ValueError: A load of nothing, or of more than anybody lifts here.
    """
    text = text.strip()
    two = bool(re.match(r"(?:@ ?|at |with )?(?:a pair|pair|two |double |2 (?=\d))", text))
    two = two or "hand" in text or text.endswith("bell")
    body = re.sub(
        r"^(?:@ ?|at |with )?(?:a pair of |pair of |(?:two |double )(?!x)|2 (?=\d))?", "", text
    )
    parts = [found for found in (_PART.match(part.strip()) for part in body.split("/")) if found]
    unit = next((found[3] for found in reversed(parts) if found[3]), "kg")
    first = parts[0][1] if parts else None
    made = []
    for found in parts:
        pieces = 2 if two else _pieces(found[1] or first)
        made.append(_load(found[2], found[3] or unit, pieces))
    return tuple(made)


def _pieces(text: str | None) -> int:
    if not text:
        return 1
    return int(text[0]) if text[0].isdigit() else 2


def _load(amount: str, unit: str, pieces: int) -> Load:
    value = Decimal(amount.replace(",", "."))
    if unit.startswith("p") and not unit.startswith("pound"):
        return Load(grams=grams_from_pood(value), pieces=pieces)
    if unit.startswith(("lb", "pound", "#")):
        return Load(grams=grams_from_lb(value), pieces=pieces, unit="lb")
    return Load(grams=grams_from_kg(value), pieces=pieces)


_LENGTHS: dict[str, Callable[[Decimal], int]] = {
    "km": metres_from_km,
    "mi": metres_from_miles,
    "yd": metres_from_yards,
    "m": int,
}
_FAR = r"(?:km|kilomet(?:er|re)s?|ks?|mi|miles?|yards?|yds?|met(?:er|re)s?|mtrs?|m)(?!\w)"
_LENGTH_NUMBER = (
    r"(?:\d{1,3},\d{3}(?!\d)|\d{1,2} {1,2}[1-3]/[24]|[1-3]/[24]|\d{1,5}(?:[.,]\d{1,3})?)"
)
METRES = (
    rf"(?:(?<![\w.,/])|(?<=\dx))(?:(?:{_LENGTH_NUMBER} ?/ ?){{0,7}}{_LENGTH_NUMBER}|"
    r"half a|a half|a|one|two|three)"
    rf" {{0,2}}-?{_FAR}"
)
_LENGTH = re.compile(rf"(.{{1,80}}?) {{0,2}}-?({_FAR})")
_LENGTH_WORDS = {"half a": "0.5", "a half": "0.5", "a": "1", "one": "1", "two": "2", "three": "3"}


def metres(text: str) -> tuple[int, ...]:
    """Turn what `METRES` matched into whole metres, one for each division in turn."""
    found = _LENGTH.fullmatch(text.strip())
    if found is None:
        return ()
    turn = next(turn for start, turn in _LENGTHS.items() if _unit(found[2]).startswith(start))
    said = _LENGTH_WORDS.get(found[1], found[1])
    fraction = re.fullmatch(r"(?:(\d+) +)?(\d)/(\d)", said)
    if fraction and int(fraction[3]) in (2, 4) and int(fraction[2]) < int(fraction[3]):
        whole = Decimal(fraction[1] or 0)
        return (turn(whole + Decimal(fraction[2]) / Decimal(fraction[3])),)
    return tuple(turn(_decimal(part.strip())) for part in said.split("/"))


def _unit(text: str) -> str:
    if text.startswith("k"):
        return "km"
    return "yd" if text.startswith("y") else "mi" if text.startswith("mi") else "m"


def _decimal(text: str) -> Decimal:
    if re.fullmatch(r"\d{1,3},\d{3}", text):
        return Decimal(text.replace(",", ""))
    return Decimal(text.replace(",", "."))
