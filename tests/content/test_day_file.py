"""A day that is written comes back as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from content.day_file import day_yaml, movements_yaml
from content.loading import DEMO, load_day, movement_library
from content.source import Source
from tests.content.builders import a_rest_day, a_workout_day

MILL = Path(__file__).parents[1] / "reading" / "mill"
FILES = [
    pytest.param(file, id=f"{folder.name}_{file.stem}")
    for folder in (DEMO, MILL)
    for file in sorted(folder.glob("day-*.yaml"))
]


@pytest.mark.parametrize("file", FILES)
def test_days_that_people_wrote_come_back(file, tmp_path):
    day, _, _ = load_day(file)
    copy = tmp_path / "day-1.yaml"

    copy.write_text(day_yaml(day), encoding="utf-8")

    assert load_day(copy)[0] == day


@pytest.mark.parametrize("file", FILES)
def test_days_look_as_people_wrote_them(file):
    """But for the quotes that one number or note may have, and notes of the organiser."""
    day, _, _ = load_day(file)

    assert day_yaml(day).splitlines() == file.read_text(encoding="utf-8").splitlines()


def test_what_few_days_say_comes_back_too(tmp_path):
    rungs = [
        {"movement": "side-plank", "seconds": 30, "each_side": True, "every": 2},
        {"movement": "goblet-squat", "reps": 9, "load": "53 lb", "step": -1, "note": "yes: slow"},
    ]
    day = a_workout_day(rungs, score="time", shape="descend", step=2, rounds=3, cap="90 s")
    day = day.model_copy(update={"effort": 7, "title": "08"})
    file = tmp_path / "day-1.yaml"

    file.write_text(day_yaml(day, comments=["two\nlines", "# one"]), encoding="utf-8")

    assert load_day(file)[0] == day
    assert file.read_text(encoding="utf-8").startswith("# two lines\n# # one\nkind: workout\n")


def test_a_rest_day_comes_back(tmp_path):
    file = tmp_path / "day-1.yaml"

    file.write_text(day_yaml(a_rest_day()), encoding="utf-8")

    assert load_day(file)[0] == a_rest_day()


def test_movements_are_written_as_a_movements_file(tmp_path):
    movements = list(movement_library().values())[:3]
    file = tmp_path / "movements.yaml"

    file.write_text(movements_yaml(movements), encoding="utf-8")

    assert [said["id"] for said in Source(file).data] == [each.id for each in movements]
