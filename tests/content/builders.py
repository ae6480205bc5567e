"""Written material with defaults: ladders, workouts, days."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st
from pydantic import TypeAdapter

from content.challenge import Day, Division, Head, RestDay, WorkoutDay
from content.ladder import Listed, Steady, Steps
from content.loading import movement_library
from content.task import Task, task_of

if TYPE_CHECKING:
    from collections.abc import Sequence

_DAY: TypeAdapter[WorkoutDay | RestDay] = TypeAdapter(Day)
DIVISIONS = (
    Division(id="full", name="Full", summary="as written", nicknames=("rx",)),
    Division(id="lighter", name="Lighter", summary="a light weight", nicknames=("scaled",)),
)


def a_workout_day(rungs: Sequence[dict[str, Any]], **workout: Any) -> WorkoutDay:
    """A day of one division; `workout` is as in a day file, rounds and reps in 14 min if empty."""
    clock = workout or {"score": "rounds_and_reps", "shape": "repeat", "window": "14 min"}
    day = _DAY.validate_python(
        {
            "kind": "workout",
            "title": "A day",
            "warm_up": {"work": "45 s", "move_on": "15 s", "movements": ["march"]},
            "workout": clock | {"divisions": {"full": {"rungs": list(rungs)}}},
            "cautions": ["Stop if it hurts."],
        }
    )
    assert isinstance(day, WorkoutDay)
    return day


def a_task(rungs: Sequence[dict[str, Any]], **workout: Any) -> Task:
    return task_of(a_workout_day(rungs, **workout), "full", movement_library())


def a_rest_day() -> RestDay:
    return RestDay(kind="rest", title="Rest", message="Sleep well.")


def a_head(**said: Any) -> Head:
    """A head with defaults; `said` is as in challenge.yaml."""
    defaults = {
        "title": "A challenge",
        "time_zone": "Europe/Berlin",
        "divisions": [division.model_dump() for division in DIVISIONS],
        "cautions": ["Stop if it hurts."],
    }
    return Head.model_validate(defaults | said)


_COUNT = st.integers(1, 60)


@st.composite
def _steady(draw: st.DrawFn, *, low: int, high: int, endless: bool) -> Steady:
    """A ladder whose rungs all change by `low` to `high` per round, kept at 1 or above."""
    rungs = draw(st.integers(1, 6))
    rounds = draw(st.none() if endless else st.integers(1, 30))
    step = draw(st.lists(st.integers(low, high), min_size=rungs, max_size=rungs))
    last = draw(st.lists(_COUNT, min_size=rungs, max_size=rungs))
    first = [n - min(d, 0) * ((rounds or 1) - 1) for n, d in zip(last, step, strict=True)]
    return Steady(tuple(first), tuple(step), rounds)


@st.composite
def _listed(draw: st.DrawFn, *, most_rounds: int) -> Listed:
    rungs = draw(st.integers(1, 6))
    one = st.tuples(*[_COUNT] * rungs)
    return Listed(tuple(draw(st.lists(one, min_size=1, max_size=most_rounds))))


LADDERS: dict[str, st.SearchStrategy[Steps]] = {
    "repeat": _steady(low=0, high=0, endless=False),
    "repeat_without_end": _steady(low=0, high=0, endless=True),
    "climb": _steady(low=0, high=12, endless=False),
    "climb_without_end": _steady(low=0, high=12, endless=True),
    "descend": _steady(low=-12, high=0, endless=False),
    "some_climb_some_descend": _steady(low=-12, high=12, endless=False),
    "scheme": _listed(most_rounds=12),
    "one_long_round": _listed(most_rounds=1),
}
