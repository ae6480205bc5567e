"""What is printed as shorthand is read back as the same day."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from pydantic import TypeAdapter

from content.challenge import Day, RestDay, WorkoutDay
from content.day_file import day_yaml
from content.loading import DEMO, load_day
from content.shorthand.jotting import jot
from content.shorthand.writing import NotInShorthand, shorthand_of
from content.workout import Workout
from tests.content.builders import a_workout_day
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY
from tests.content.shorthand.days import rest_days, workout_days

_DAY: TypeAdapter[WorkoutDay | RestDay] = TypeAdapter(Day)


def back(day):
    printed = shorthand_of(day, library=LIBRARY, divisions=DIVISIONS)
    return jot(printed, library=LIBRARY, divisions=DIVISIONS)


@given(workout_days() | rest_days())
@settings(deadline=None, max_examples=150)
def test_every_day_that_can_be_printed_is_read_back_the_same(day):
    jotted = back(day)

    assert jotted.day == day
    assert (jotted.doubts, jotted.problems) == ((), ())


@given(day=workout_days() | rest_days())
@settings(deadline=None, max_examples=60)
def test_the_day_file_of_any_day_loads_as_the_same_day(day, tmp_path_factory):
    file = tmp_path_factory.mktemp("days") / "day-1.yaml"
    file.write_text(day_yaml(day, comments=["one", "two"]), encoding="utf-8")

    loaded, _, _ = load_day(file)

    assert loaded == day


@pytest.mark.parametrize("file", sorted(DEMO.glob("day-*.yaml")), ids=lambda file: file.stem)
def test_every_day_of_the_demo_goes_there_and_back(file: Path):
    day, _, _ = load_day(file)

    assert back(day).day == day


def test_a_printed_day_reads_like_a_whiteboard():
    day, _, _ = load_day(DEMO / "day-7.yaml")

    lines = shorthand_of(day, library=LIBRARY, divisions=DIVISIONS).splitlines()

    assert lines[0] == "Title: Up the harbour steps"
    assert lines[lines.index("AMRAP 9 min, add 2 each round:") + 1 :][:3] == [
        "  2 dumbbell push presses 2 x 10 kg",
        "  2 goblet lunges 10 kg",
        "  2 mountain climbers",
    ]


def _with(**said: object):
    workout = {"score": "time", "shape": "once"} | said
    day = a_workout_day([{"movement": "burpee", "reps": 10}], **workout)
    ladders = {division.id: day.workout.divisions["full"] for division in DIVISIONS}
    made = Workout.model_validate(
        day.workout.model_dump(exclude_none=True) | {"divisions": ladders}
    )
    return day.model_copy(update={"workout": made})


@pytest.mark.parametrize(
    "day",
    [
        pytest.param(a_workout_day([{"movement": "burpee", "reps": 1}]), id="other_divisions"),
        pytest.param(_with(window="5 min"), id="a_window_beside_the_time"),
        pytest.param(_with(rounds=5), id="rounds_of_one_long_list"),
    ],
)
def test_what_shorthand_cannot_say_is_refused_rather_than_lost(day):
    with pytest.raises(NotInShorthand):
        shorthand_of(day, library=LIBRARY, divisions=DIVISIONS)
