"""What stands behind /plan, read: a wish for the plan, or what is wrong with the words. Pure.

Buttons carry the same words, so that both ways do the same.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cache
from zoneinfo import available_timezones

from rapidfuzz import fuzz, process, utils

from bot.plan_values import (
    Change,
    Move,
    Pause,
    PostNow,
    Resume,
    SetTime,
    SetZone,
    Skip,
    Swap,
    Unskip,
)

_FILLERS = {"day", "days", "to", "and", "at", "on", "with", "from"}
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})")
_NUMBER = re.compile(r"\d{1,3}")
_CHANGE = re.compile(r"change\s+(?:day\s+)?(\d{1,3})\s*[:.)]?(?=\s|$)", re.IGNORECASE)
_OFF = {"off", "none", "never"}
_NEAREST = 3
_TIMES = {
    "post": "post",
    "reminder": "reminder",
    "remind": "reminder",
    "close": "close",
    "results": "standings",
    "result": "standings",
    "standings": "standings",
}


class Look(StrEnum):
    """What an organiser may look at."""

    PLAN = "plan"
    TIMES = "times"
    HISTORY = "history"
    HELP = "help"
    TELL = "tell"  # the group of a change, by its number
    DAY = "day"
    PREVIEW = "preview"
    ASK_NOW = "ask"  # whether to post at once


@dataclass(frozen=True, slots=True)
class Show:
    """The organiser wants to see or show something; `number` of a day, or of a change."""

    look: Look
    number: int = 0


@dataclass(frozen=True, slots=True)
class Copy:
    """The challenge is to begin anew on a date."""

    on: date


@dataclass(frozen=True, slots=True)
class BadWords:
    """Words that say no wish: a text's key without "plan_bad_", and what stood there."""

    key: str
    text: str = ""
    nearest: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ChangeDay:
    """A day is to be written anew; without a text that is asked for."""

    number: int
    text: str = ""


Wish = Show | Copy | ChangeDay | Change


def read_plan_words(text: str) -> Wish | BadWords:
    """Read the words behind /plan; letter case does not matter."""
    words = text.split()
    if not words:
        return Show(Look.PLAN)
    verb = words[0].lower()
    if verb == "zone":
        return _zone(" ".join(words[1:]))
    if verb == "change":
        return _change(text.strip())
    if verb == "day":
        return _numbers(words[1:], 1, lambda n: Show(Look.DAY, n[0]))
    rest = [word.lower() for word in words[1:] if word.lower() not in _FILLERS]
    if verb in _TIMES:
        return _time(_TIMES[verb], rest)
    reader = _VERBS.get(verb)
    return BadWords("words", text) if reader is None else reader(rest)


def _change(text: str) -> Wish | BadWords:
    """Read a day and its text, which keeps its lines."""
    found = _CHANGE.match(text)
    if found is None:
        return BadWords("change", text.partition("\n")[0])
    return ChangeDay(int(found[1]), text[found.end() :].strip())


def _numbers(
    words: Sequence[str], count: int, wish: Callable[[list[int]], Wish]
) -> Wish | BadWords:
    if len(words) != count or not all(_NUMBER.fullmatch(word) for word in words):
        return BadWords("number" if count == 1 else "numbers", " ".join(words))
    return wish([int(word) for word in words])


def _bare(wish: Wish) -> Callable[[Sequence[str]], Wish | BadWords]:
    return lambda words: BadWords("words", " ".join(words)) if words else wish


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text) else None
    except ValueError:
        return None


def _move(words: Sequence[str]) -> Wish | BadWords:
    if len(words) != 2 or not _NUMBER.fullmatch(words[0]):  # noqa: PLR2004 - day and date
        return BadWords("move", " ".join(words))
    return _dated(words[1:], lambda on: Move(int(words[0]), on))


def _dated(words: Sequence[str], wish: Callable[[date], Wish]) -> Wish | BadWords:
    text = " ".join(words)
    on = _date(text)
    return BadWords("date", text) if on is None else wish(on)


def _resume(words: Sequence[str]) -> Wish | BadWords:
    return _dated(words, Resume) if words else Resume()


def _time(which: str, words: Sequence[str]) -> Wish | BadWords:
    text = " ".join(words)
    if (which == "reminder" and text in _OFF) or (which == "standings" and text == "close"):
        return SetTime(which, None)
    found = _TIME.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:  # noqa: PLR2004 - a clock
        return BadWords("time", text)
    return SetTime(which, f"{int(found[1]):02}:{found[2]}")


def _zone(text: str) -> Wish | BadWords:
    wanted = text.strip().replace(" ", "_").casefold()
    exact = [name for name in zones() if name.casefold() == wanted]
    if exact:
        return SetZone(exact[0])
    return BadWords("zone", text, nearest_zones(text))


@cache
def zones() -> tuple[str, ...]:
    """Give the names of the time zones that belong to a place, and UTC."""
    return tuple(sorted(name for name in available_timezones() if "/" in name or name == "UTC"))


def nearest_zones(text: str) -> tuple[str, ...]:
    """Give the zone names most like a text, the most alike first."""
    named = {name: name.rpartition("/")[2] for name in zones() if not name.startswith("Etc/")}
    scores: dict[str, float] = {}
    for choices in (named, {name: name for name in named}):  # the town, or the whole name
        for _, score, name in process.extract(
            text, choices, scorer=fuzz.ratio, processor=utils.default_process, limit=_NEAREST
        ):
            scores[name] = max(score, scores.get(name, 0))
    return tuple(sorted(scores, key=lambda name: (-scores[name], name))[:_NEAREST])


_VERBS: dict[str, Callable[[Sequence[str]], Wish | BadWords]] = {
    "preview": lambda words: _numbers(words, 1, lambda n: Show(Look.PREVIEW, n[0])),
    "ask": lambda words: _numbers(words, 1, lambda n: Show(Look.ASK_NOW, n[0])),
    "now": lambda words: _numbers(words, 1, lambda n: PostNow(n[0])),
    "skip": lambda words: _numbers(words, 1, lambda n: Skip(n[0])),
    "unskip": lambda words: _numbers(words, 1, lambda n: Unskip(n[0])),
    "swap": lambda words: _numbers(words, 2, lambda n: Swap(n[0], n[1])),
    "move": _move,
    "start": lambda words: _dated(words, lambda on: Move(1, on)),
    "pause": _bare(Pause()),
    "resume": _resume,
    "copy": lambda words: _dated(words, Copy),
    "times": _bare(Show(Look.TIMES)),
    "history": _bare(Show(Look.HISTORY)),
    "help": _bare(Show(Look.HELP)),
    "tell": lambda words: _numbers(words, 1, lambda n: Show(Look.TELL, n[0])),
}
