"""Compare what is made of a jotting with what any coach would agree it means.

A line of `jotted/*.jsonl` has a text and the day it expects: `rest`, `ask`, or a workout with as
much of it as is beyond dispute. What a line leaves out is not compared.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from content.challenge import RestDay, WorkoutDay
from content.shorthand.jotting import jot
from content.shorthand.values import Jotted
from content.workout import DivisionLadder, Rung, Shape, Workout
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY

JOTTED = Path(__file__).parent / "jotted"
# What a coach's word may be in the library, which has several movements of that name.
_ACCEPTED = {
    "push-press": {"dumbbell-push-press"},
    "deadlift": {name for name in LIBRARY if name.endswith("deadlift")},
    "front-squat": {"backpack-front-squat", "two-dumbbell-squat"},
}
_NEAR = 0.03  # of a load: a pood is 16.38 kg, and the bell that is sold by that name 16 kg


class Verdict(StrEnum):
    """How a jotting was read."""

    RIGHT = "right"
    RIGHT_ASKING = "right, and asked beside"
    ASKED = "asked without need"
    NOT_ASKED = "read instead of asking"
    DIFFERENT = "different in silence"


@dataclass(frozen=True)
class Jot:
    """One line of a file."""

    file: str
    number: int
    text: str
    expect: dict[str, Any]


def open_files() -> list[str]:
    """Give the files that may be looked at."""
    return sorted(path.name for path in JOTTED.glob("*.jsonl") if path.name not in aside_files())


def aside_files() -> list[str]:
    """Give the files that are put aside: they are counted, and not looked at."""
    return sorted(path.name for path in JOTTED.glob("aside*.jsonl"))


def jots(*names: str) -> Iterator[Jot]:
    """Give the lines of some files."""
    for name in names:
        rows = (JOTTED / name).read_text(encoding="utf-8").splitlines()
        for number, row in enumerate(rows, start=1):
            yield Jot(name, number, **json.loads(row))


def read(line: Jot) -> Jotted:
    """Read a line as the demo challenge's organiser would have it read."""
    return jot(line.text, library=LIBRARY, divisions=DIVISIONS)


def verdict(expect: dict[str, Any], got: Jotted) -> Verdict:
    """Judge a reading; a movement that the library has not is to be asked about."""
    asked = got.day is None or bool(got.doubts)
    if expect["kind"] == "ask" or not _known(expect):
        return Verdict.RIGHT if asked else Verdict.NOT_ASKED
    same = got.day is not None and not list(differences(expect, got))
    if asked:
        return Verdict.RIGHT_ASKING if same and not got.left_out else Verdict.ASKED
    return Verdict.RIGHT if same else Verdict.DIFFERENT


def _known(expect: dict[str, Any]) -> bool:
    rungs = [*expect.get("rungs", ()), *itertools.chain(*expect.get("divisions", {}).values())]
    return all(rung["movement"] in {*LIBRARY, *_ACCEPTED} for rung in rungs)


def differences(expect: dict[str, Any], got: Jotted) -> Iterator[str]:
    """Say where a day is another than the one expected."""
    day = got.day
    if expect["kind"] == "rest" or not isinstance(day, WorkoutDay):
        if not (expect["kind"] == "rest" and isinstance(day, RestDay)):
            yield f"no {expect['kind']}"
        return
    workout = day.workout
    yield from _frame(expect, workout)
    own = {"full": expect["rungs"], **expect.get("divisions", {})}
    for division, rungs in own.items():
        yield from _rungs(division, rungs, workout.divisions[division])
    if "warm_up" in expect and tuple(expect["warm_up"]) != day.warm_up.movements:
        yield f"warm-up {day.warm_up.movements}"
    if "cautions" in expect and tuple(expect["cautions"]) != day.cautions:
        yield f"cautions {day.cautions}"


def _frame(expect: dict[str, Any], workout: Workout) -> Iterator[str]:
    for key in ("score", "window_s", "cap_s", "rounds", "step"):
        if key in expect and expect[key] != getattr(workout, key):
            yield f"{key} {getattr(workout, key)}"
    if "scheme" in expect and tuple(expect["scheme"]) != _sizes(workout):
        yield f"scheme {_sizes(workout)}"
    if "shape" in expect and "scheme" not in expect and expect["shape"] != workout.shape:
        yield f"shape {workout.shape}"
    if "intervals" in expect and not _same_clock(expect["intervals"], workout):
        yield f"intervals {workout.intervals}"


def _sizes(workout: Workout) -> tuple[int, ...] | None:
    """Write a ladder that climbs or comes down out, as if it had been a scheme."""
    if workout.shape not in (Shape.CLIMB, Shape.DESCEND) or workout.rounds is None:
        return workout.scheme
    first = workout.divisions["full"].rungs[0].count or 0
    step = (workout.step or 0) * (1 if workout.shape is Shape.CLIMB else -1)
    return tuple(first + step * n for n in range(workout.rounds))


def _same_clock(expect: dict[str, int], workout: Workout) -> bool:
    """Compare intervals; "4 rounds" of three movements in turn are twelve of them."""
    own = workout.intervals
    if own is None or (own.work_s, own.rest_s) != (expect["work_s"], expect["rest_s"]):
        return False
    stations = len(workout.divisions["full"].rungs)
    return own.rounds in (expect["rounds"], expect["rounds"] * stations)


def _rungs(division: str, expect: list[dict[str, Any]], own: DivisionLadder) -> Iterator[str]:
    if len(own.rungs) != len(expect):
        yield f"{division}: {len(own.rungs)} rungs"
        return
    for rung, wanted in zip(own.rungs, expect, strict=True):
        if not _same_rung(rung, wanted):
            yield f"{division}: {rung!r}"


def _same_rung(rung: Rung, wanted: dict[str, Any]) -> bool:
    name = wanted["movement"]
    if rung.movement not in {name, *_ACCEPTED.get(name, ())}:
        return False
    if wanted.get("each_side", False) != rung.each_side:
        return False
    count = wanted["count"]
    if count is not None and (rung.count, rung.unit) != (count, wanted["unit"]):
        return False
    if "load_kg" not in wanted:
        return True
    grams = wanted["load_kg"] * 1000
    return rung.load is not None and abs(rung.load.grams - grams) <= _NEAR * grams
