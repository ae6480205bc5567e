"""What stands behind /write, read: a wish for the draft, or what is wrong with the words. Pure.

Buttons carry the same words behind `d:`; what only a button says is read by `read_draft_key`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date

from bot.draft_wishes import (
    Begin,
    BeginIn,
    DayWish,
    Define,
    Easier,
    KeyWish,
    Means,
    OfDay,
    Page,
    PutZone,
    SetCautions,
    SetCount,
    SetDivisions,
    SetTitle,
    Show,
    UseChange,
    Wish,
    WriteDay,
)
from bot.plan_values import SetTime
from bot.plan_words import BadWords, nearest_zones, read_plan_words, zones
from content.challenge import MOST_DAYS
from content.movement import Pattern

_NUMBER = re.compile(r"(?:day\s+)?(\d{1,3})\s*[:.)]?(?=\s|$)", re.IGNORECASE)
_TIMES = {"post", "close", "reminder", "remind", "results", "result", "standings"}
_NEAR_ENOUGH = 3


def read_draft_words(text: str) -> Wish | BadWords:
    """Read the words behind /write; a day's text keeps its lines."""
    text = text.strip()
    if not text:
        return Show(Page.DRAFT)
    if (found := _NUMBER.match(text)) is not None:
        number = int(found[1])
        return WriteDay(number, text[found.end() :].strip())
    verb = text.split(maxsplit=1)[0]
    rest = text[len(verb) :].strip()
    verb = verb.lower()
    if verb in _TIMES:
        return _time(text)
    reader = _VERBS.get(verb)
    return BadWords("words", text) if reader is None else reader(rest)


def _time(text: str) -> Wish | BadWords:
    wish = read_plan_words(text)  # the same words as for a running challenge
    return wish if isinstance(wish, SetTime | BadWords) else BadWords("time", text)


def _zone(text: str) -> Wish | BadWords:
    if not text:
        return Show(Page.ZONE)
    found = zone_named(text)
    return PutZone(found) if isinstance(found, str) else BadWords("zone", text, found)


def zone_named(text: str) -> str | tuple[str, ...]:
    """Give the zone that a text names by its whole name or its town; else the nearest names."""
    wanted = "_".join(text.split()).casefold()
    whole = [name for name in zones() if name.casefold() == wanted]
    town = [name for name in zones() if name.rpartition("/")[2].casefold() == wanted]
    found = whole or [name for name in town if not name.startswith("Etc/")]
    return found[0] if len(found) == 1 else (*found, *nearest_zones(text))[:_NEAR_ENOUGH]


def _count(text: str) -> Wish | BadWords:
    if re.fullmatch(r"\d{1,2}", text) and 1 <= int(text) <= MOST_DAYS:
        return SetCount(int(text))
    return BadWords("count", text)


def _begin(text: str) -> Wish | BadWords:
    if not text:
        return Begin()
    try:
        return Begin(date.fromisoformat(text))
    except ValueError:
        return BadWords("date", text)


def _page(
    page: Page, wish: Callable[[str], Wish] | None = None
) -> Callable[[str], Wish | BadWords]:
    def read(text: str) -> Wish | BadWords:
        if not text:
            return Show(page)
        return BadWords("words", text) if wish is None else wish(text)

    return read


def _of_day(what: OfDay) -> Callable[[str], Wish | BadWords]:
    def read(text: str) -> Wish | BadWords:
        found = _NUMBER.fullmatch(text)
        return DayWish(what, int(found[1])) if found else BadWords("number", text)

    return read


def _discard(text: str) -> Wish | BadWords:
    if text == "sure":
        return Show(Page.DISCARD_SURE)
    return BadWords("words", text) if text else Show(Page.DISCARD)


def _cautions(text: str) -> Wish:
    return SetCautions(tuple(line.strip("•- \t") for line in text.splitlines() if line.strip()))


_VERBS: dict[str, Callable[[str], Wish | BadWords]] = {
    "title": _page(Page.TITLE, SetTitle),
    "zone": _zone,
    "divisions": _page(Page.DIVISIONS, SetDivisions),
    "times": _page(Page.TIMES),
    "cautions": _page(Page.CAUTIONS, _cautions),
    "days": _count,
    "preview": _of_day(OfDay.SEE),
    "clear": _of_day(OfDay.CLEAR),
    "picture": _of_day(OfDay.PICTURE),
    "review": _page(Page.REVIEW),
    "file": _page(Page.FILE),
    "begin": _begin,
    "discard": _discard,
    "help": _page(Page.HELP),
}


def read_draft_key(parts: Sequence[str]) -> KeyWish | BadWords:
    """Read what stands behind `d:` on a button, cut at its colons."""
    try:
        match parts:
            case ["begin", chat_id, ordinal, owner]:
                return BeginIn(_whole(chat_id), _whole(ordinal), _whole(owner))
            case ["is", day, doubt, mark, movement]:
                return Means(_whole(day), _whole(doubt), mark, movement)
            case ["new", day, doubt, mark]:
                return Define(_whole(day), _whole(doubt), mark)
            case ["new", day, doubt, mark, pattern]:
                return Define(_whole(day), _whole(doubt), mark, Pattern(pattern))
            case ["easier", movement]:
                return Easier(movement)
            case ["use", mark]:
                return UseChange(mark)
            case _:
                return read_draft_words(":".join(parts))
    except ValueError:
        return BadWords("words", ":".join(parts))


def _whole(text: str) -> int:
    """Read a whole number of at most 18 digits, as ids of the platform have."""
    if not re.fullmatch(r"-?[0-9]{1,18}", text):
        raise ValueError(text)
    return int(text)
