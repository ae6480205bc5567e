"""Days of every kind that shorthand can express, for properties."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from content.challenge import RestDay, WarmUp, WorkoutDay
from content.fields import Load
from content.movement import CountUnit
from content.units import grams_from_kg, grams_from_lb
from content.workout import Workout
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY

_MOVEMENTS = st.sampled_from(sorted(LIBRARY))
_COUNT = st.integers(1, 10_000)
_SMALL = st.integers(1, 30)
_DURATION = st.integers(1, 24 * 3600)
# Any letters, marks and signs; line breaks of every kind and what is invisible are left out.
_SIGNS = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cf", "Mn", "Me"))
LINE = st.text(_SIGNS, min_size=1, max_size=40).map(str.strip).filter(bool)
TEXT = st.lists(LINE, min_size=1, max_size=3).map("\n".join)


@st.composite
def _loads(draw: st.DrawFn) -> Load:
    hundredths = draw(st.integers(1, 30_000))
    pieces = draw(st.integers(1, 4))
    if draw(st.booleans()):
        return Load(grams=grams_from_kg(_decimal(hundredths)), pieces=pieces)
    return Load(grams=grams_from_lb(_decimal(hundredths)), pieces=pieces, unit="lb")


def _decimal(hundredths: int) -> Decimal:
    return Decimal(hundredths) / 100


@st.composite
def _rungs(draw: st.DrawFn, *, counted: bool, most: int = 10_000) -> dict[str, Any]:
    movement = LIBRARY[draw(_MOVEMENTS)]
    rung: dict[str, Any] = {"movement": movement.id}
    if counted or draw(st.booleans()):
        unit = draw(st.sampled_from(CountUnit))
        count = draw(st.integers(1, most))
        if unit in (CountUnit.METRES, CountUnit.SECONDS) and draw(st.booleans()):
            every = draw(st.integers(1, 100))
            count = max(1, min(count, most // every)) * every
            rung["every"] = every
        rung[unit.value] = count
    if movement.one_sided and draw(st.booleans()):
        rung["each_side"] = True
    rung["load"] = draw(st.none() | _loads())
    rung["note"] = draw(st.none() | LINE)
    return {key: value for key, value in rung.items() if value is not None}


@st.composite
def _divisions(
    draw: st.DrawFn, *, counted: bool, own: st.SearchStrategy[dict[str, Any]]
) -> dict[str, Any]:
    lists = st.lists(_rungs(counted=counted), min_size=1, max_size=4)
    first = draw(lists)
    ladders: dict[str, Any] = {}
    for index, division in enumerate(DIVISIONS):
        rungs = first if not index or draw(st.booleans()) else draw(lists)
        ladders[division.id] = {"rungs": rungs} | draw(own)
    return ladders


_NOTHING: st.SearchStrategy[dict[str, Any]] = st.just({})
_SCHEME = st.lists(st.integers(1, 9999), min_size=2, max_size=8)


@st.composite
def _steps(draw: st.DrawFn, shape: str) -> dict[str, Any]:
    """Rungs that all climb, or come down and stay above nothing."""
    step, rounds = draw(st.integers(1, 5)), draw(st.integers(1, 8))
    ladders = draw(_divisions(counted=True, own=_NOTHING))
    for ladder in ladders.values():
        for rung in ladder["rungs"]:
            unit = next(u.value for u in CountUnit if u.value in rung)
            if "every" in rung:
                del rung["every"]
            if shape == "descend" and unit in ("reps", "calories"):
                rung[unit] = min(10_000, rung[unit] + step * rounds)
            if shape == "climb" and unit == "reps" and draw(st.booleans()):
                rung["step"] = draw(st.integers(0, 4))
    return {"shape": shape, "step": step, "rounds": rounds, "divisions": ladders}


@st.composite
def _timed(draw: st.DrawFn) -> dict[str, Any]:
    """Everything of a fixed ladder: for time, or done."""
    shape = draw(st.sampled_from(["repeat", "climb", "descend", "scheme", "once"]))
    match shape:
        case "repeat":
            own = st.just({}) | st.builds(lambda n: {"rounds": n}, _SMALL)
            said = {"rounds": draw(_SMALL), "divisions": draw(_divisions(counted=True, own=own))}
        case "scheme":
            own = st.just({}) | st.builds(lambda s: {"scheme": s}, _SCHEME)
            said = {
                "scheme": draw(_SCHEME),
                "divisions": draw(_divisions(counted=False, own=own)),
            }
        case "once":
            said = {"divisions": draw(_divisions(counted=True, own=_NOTHING))}
        case _:
            said = draw(_steps(shape))
    said["shape"] = shape
    if draw(st.booleans()):
        return said | {"score": "time", "cap": _text(draw(st.none() | _DURATION))}
    return said | {"score": "done", "window": _text(draw(st.none() | _DURATION))}


def _text(seconds: int | None) -> str | None:
    return None if seconds is None else f"{seconds} s"


@st.composite
def _endless(draw: st.DrawFn) -> dict[str, Any]:
    shape = draw(st.sampled_from(["repeat", "climb"]))
    said = {"score": "rounds_and_reps", "shape": shape, "window": _text(draw(_DURATION))}
    if shape == "climb":
        steps = draw(_steps("climb"))
        return said | {"step": steps["step"], "divisions": steps["divisions"]}
    return said | {"divisions": draw(_divisions(counted=True, own=_NOTHING))}


@st.composite
def _open(draw: st.DrawFn) -> dict[str, Any]:
    score = draw(
        st.sampled_from(["total_reps", "lowest_round", "hold", "load", "distance", "done"])
    )
    said: dict[str, Any] = {"score": score, "shape": "open"}
    said["divisions"] = draw(_divisions(counted=False, own=_NOTHING))
    clocked = score == "lowest_round" or (score in ("total_reps", "done") and draw(st.booleans()))
    if clocked:
        said["intervals"] = draw(_intervals())
    elif draw(st.booleans()):
        said["window"] = _text(draw(_DURATION))
    return said


@st.composite
def _intervals(draw: st.DrawFn) -> dict[str, Any]:
    rest = draw(st.just(0) | st.integers(1, 999))
    work = draw(st.integers(1, 999))
    return {"rounds": draw(_SMALL), "work": f"{work} s", "rest": f"{rest} s"}


@st.composite
def _in_turns(draw: st.DrawFn) -> dict[str, Any]:
    """Rounds by the clock, done or not done."""
    return {
        "score": "done",
        "shape": "repeat",
        "rounds": draw(_SMALL),
        "intervals": draw(_intervals()),
        "divisions": draw(_divisions(counted=True, own=_NOTHING)),
    }


@st.composite
def workout_days(draw: st.DrawFn) -> WorkoutDay:
    """A workout day of any kind."""
    said = draw(st.one_of(_timed(), _endless(), _open(), _in_turns()))
    said["how"] = draw(st.none() | TEXT)
    warm_up = {
        "work": _text(draw(st.integers(1, 999))),
        "move_on": _text(draw(st.integers(1, 999))),
        "movements": draw(st.lists(_MOVEMENTS, min_size=1, max_size=8)),
    }
    return WorkoutDay(
        kind="workout",
        title=draw(LINE),
        message=draw(st.none() | TEXT),
        warm_up=WarmUp.model_validate(warm_up),
        workout=Workout.model_validate({k: v for k, v in said.items() if v is not None}),
        cautions=tuple(draw(st.lists(LINE, min_size=1, max_size=3))),
    )


@st.composite
def rest_days(draw: st.DrawFn) -> RestDay:
    """A rest day."""
    cautions = tuple(draw(st.lists(LINE, max_size=3)))
    return RestDay(kind="rest", title=draw(LINE), message=draw(TEXT), cautions=cautions)
