"""Compare what the reader makes of a corpus line with what the line expects."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from bot.reading.reader import Reader, Scene
from bot.reading.values import reading_to_json
from content.challenge import Challenge, RestDay, WorkoutDay
from content.loading import DEMO, load_challenge
from content.score import score_from_json

KINDS = ("score", "ask", "question", "caution", "take_back", "chatter")
CORPUS = Path(__file__).parent / "corpus"
CHALLENGES = {"demo": DEMO, "mill": Path(__file__).parent / "mill"}
_DAY_BY_DAY = {f"{name}-en.jsonl" for name in ("scores", "scores2", "others", "others2", "mixed")}
# Both challenges start on a Monday and have a day on every date.
DATES = {number: date(2026, 6, number) for number in range(1, 15)}


@dataclass(frozen=True)
class Line:
    """One message of the corpus and its expected reading."""

    file: str
    number: int
    challenge: str
    day: int
    division: str
    language: str
    text: str
    expect: dict[str, Any]
    previous: dict[str, Any] | None = field(default=None)


class SameDay(dict[int, WorkoutDay | RestDay]):
    """The only day there is stands for every day a text may name."""

    def __init__(self, day: WorkoutDay | RestDay) -> None:
        super().__init__()
        self._day = day

    def __missing__(self, key: int) -> WorkoutDay | RestDay:
        return self._day


@cache
def challenge(name: str) -> tuple[Challenge, Reader]:
    """Load a challenge of the corpus and its reader."""
    content = load_challenge(CHALLENGES[name])
    return content, Reader(movements=content.movements, divisions=content.head.divisions)


def corpus(*names: str) -> Iterator[Line]:
    """Give the lines of the named files."""
    for name in names:
        text = (CORPUS / name).read_text(encoding="utf-8")
        for number, row in enumerate(text.splitlines(), start=1):
            found = {"challenge": "demo", "language": "en"} | json.loads(row)
            found.pop("note", None)
            yield Line(file=name, number=number, **found)


def open_files() -> list[str]:
    """Give the names of the files that may be looked at and are counted.

    Those that begin with "only" hold one kind of message, not what a group writes in a week.
    """
    return _files("open", "others", "scores", "mixed", "only")


def fit_files() -> list[str]:
    """Give the names of the files that only weights are fitted to: more talk than people have."""
    return _files("fit")


def aside_files() -> list[str]:
    """Give the names of the files put aside."""
    return _files("aside")


def _files(*beginnings: str) -> list[str]:
    return sorted(p.name for p in CORPUS.glob("*.jsonl") if p.name.startswith(beginnings))


def read_line(line: Line) -> dict[str, Any]:
    """Read a line's message as `rungbell read` would."""
    _, reader = challenge(line.challenge)
    return reading_to_json(reader.read(line.text, scene_of(line)))


def scene_of(line: Line) -> Scene:
    """Give what the reader may know beside a line's text."""
    content, _ = challenge(line.challenge)
    today = content.days[line.day - 1]
    # The first batches were written for one day each; the later ones name days of the challenge.
    days = SameDay(today) if line.file in _DAY_BY_DAY else dict(enumerate(content.days, start=1))
    return Scene(
        line.day,
        days,
        line.division,
        language=line.language,
        previous=None if line.previous is None else score_from_json(line.previous),
        dates=DATES,
    )


def verdict(expect: dict[str, Any], got: dict[str, Any]) -> str:
    """Judge a reading: "right", or what is wrong with it in the terms that matter to people.

    "wrong in silence" is a score recorded that was not said, the worst there is.
    """
    if expect["kind"] == got["kind"] and _agree(expect, got):
        return "right"
    if expect["kind"] == got["kind"] == "score" and _agree(_unmarked(expect), _unmarked(got)):
        return "mark missed"
    if got["kind"] == "score":
        return "wrong in silence" if expect["kind"] == "score" else f"recorded {expect['kind']}"
    if (expect["kind"], got["kind"]) in _MISSES:
        return _MISSES[expect["kind"], got["kind"]]
    return _MISSED[expect["kind"]]


_MARKS = {"correction", "effort", "load_kg"}


def _unmarked(reading: dict[str, Any]) -> dict[str, Any]:
    """Leave out what changes nothing about what is recorded, and for whom and when."""
    return {key: value for key, value in reading.items() if key not in _MARKS}


_MISSES = {("score", "ask"): "asked instead of reading", ("question", "question"): "wrong answer"}
_MISSED = {
    "score": "score missed",
    "ask": "silent instead of asking",
    "chatter": "spoke up at chatter",
    "caution": "health sign missed",
    "take_back": "wish to take out missed",
    "question": "question missed",
}
_TO_THE_GRAM = 0.011  # kilograms; the corpus writes pounds to two places


def _agree(expect: dict[str, Any], got: dict[str, Any]) -> bool:
    match expect["kind"]:
        case "score":
            return _same_score(expect, got)
        case "ask":
            wanted = expect.get("choices", [])
            return all(any(same_result(w, g) for g in got["choices"]) for w in wanted)
        case "question":
            named = "movement" not in expect or expect["movement"] == got.get("movement")
            return expect["about"] == got["about"] and named
        case "caution":
            return set(expect["signs"]) <= set(got["signs"])
        case _:
            return True


def _same_score(expect: dict[str, Any], got: dict[str, Any]) -> bool:
    """Say whether two readings are of the same scores; for several days in any order."""
    wanted, told = [expect, *expect.get("also", [])], [got, *got.get("also", [])]
    return len(wanted) == len(told) and all(any(_same_part(w, t) for t in told) for w in wanted)


def _same_part(expect: dict[str, Any], got: dict[str, Any]) -> bool:
    beside = ("division", "effort", "load_kg")
    return (
        same_result(expect["result"], got["result"])
        and _day(expect) == _day(got)
        and expect.get("division") == got.get("division")
        and all(expect[key] == got.get(key) for key in beside if key in expect)
        and bool(expect.get("correction")) == bool(got.get("correction"))
    )


def same_result(expect: dict[str, Any], got: dict[str, Any]) -> bool:
    """Say whether two results are the same; kilograms to the gram."""
    if expect.get("unit") == got.get("unit") == "kg":
        return abs(expect["amount"] - got["amount"]) <= _TO_THE_GRAM
    return expect == got


def _day(reading: dict[str, Any]) -> dict[str, Any] | None:
    day = reading.get("day")
    if day is not None and "weekday" in day:  # both challenges start on a Monday
        return {"number": day["weekday"]}
    return day
