"""Compare what the reader makes of a corpus line with what the line expects."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bot.reading.reader import Reader, Scene
from bot.reading.values import reading_to_json
from content.challenge import Challenge, RestDay, WorkoutDay

CORPUS = Path(__file__).parent / "corpus"


@dataclass(frozen=True)
class Line:
    """One message of the corpus and its expected reading."""

    file: str
    number: int
    day: int
    division: str
    text: str
    expect: dict[str, Any]


class SameDay(dict[int, WorkoutDay | RestDay]):
    """The only day there is stands for every day a text may name."""

    def __init__(self, day: WorkoutDay | RestDay) -> None:
        super().__init__()
        self._day = day

    def __missing__(self, key: int) -> WorkoutDay | RestDay:
        return self._day


def corpus(*names: str) -> Iterator[Line]:
    """Give the lines of the named files."""
    for name in names:
        text = (CORPUS / name).read_text(encoding="utf-8")
        for number, row in enumerate(text.splitlines(), start=1):
            found = json.loads(row)
            yield Line(
                name, number, found["day"], found["division"], found["text"], found["expect"]
            )


def read_line(reader: Reader, content: Challenge, line: Line) -> dict[str, Any]:
    """Read a line's message as `rungbell read` would."""
    scene = Scene(line.day, SameDay(content.days[line.day - 1]), line.division)
    return reading_to_json(reader.read(line.text, scene))


def verdict(expect: dict[str, Any], got: dict[str, Any]) -> str:
    """Judge a reading: "right", or what is wrong with it in the terms that matter to people.

    "wrong in silence" is a score recorded that was not said, the worst there is.
    """
    if expect["kind"] == got["kind"] and _agree(expect, got):
        return "right"
    if got["kind"] == "score":
        return "wrong in silence" if expect["kind"] == "score" else f"recorded {expect['kind']}"
    if (expect["kind"], got["kind"]) in _MISSES:
        return _MISSES[expect["kind"], got["kind"]]
    return _MISSED[expect["kind"]]


_MISSES = {("score", "ask"): "asked instead of reading", ("question", "question"): "wrong answer"}
_MISSED = {
    "score": "score missed",
    "ask": "silent instead of asking",
    "chatter": "spoke up at chatter",
    "caution": "health sign missed",
    "question": "question missed",
}


def _agree(expect: dict[str, Any], got: dict[str, Any]) -> bool:
    match expect["kind"]:
        case "score":
            same = all(expect.get(key) == got.get(key) for key in ("division", "day"))
            correction = bool(expect.get("correction")) == bool(got.get("correction"))
            return expect["result"] == got["result"] and same and correction
        case "ask":
            return all(choice in got["choices"] for choice in expect.get("choices", []))
        case "question":
            named = "movement" not in expect or expect["movement"] == got.get("movement")
            return expect["about"] == got["about"] and named
        case "caution":
            return set(expect["signs"]) <= set(got["signs"])
        case _:
            return True
