"""The command that turns jotted workouts into day files and back."""

from __future__ import annotations

import io
import json
import shutil
import sys
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from bot.command_line import main
from content.challenge import Day
from content.loading import DEMO, load_day
from content.shorthand.jotting import jot
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY

TEXT = "AMRAP 12: 10 push-ups, 12 swings 24/16 kg\nbodyweight: hip hinges\n"


@pytest.fixture
def command(monkeypatch, capsys):
    """Run `jot` with some input; gives the status, what was printed, and the complaints."""

    def run(*arguments: object, text=TEXT):
        monkeypatch.setattr(sys, "stdin", io.StringIO(text))
        status = main(["jot", *map(str, arguments)])
        written = capsys.readouterr()
        return status, written.out, written.err.splitlines()

    return run


def test_the_day_file_that_is_printed_loads_as_the_day_that_was_meant(command, tmp_path):
    status, out, complaints = command()
    file = tmp_path / "day-1.yaml"
    file.write_text(out, encoding="utf-8")

    day, _, _ = load_day(file)

    assert (status, complaints) == (0, [])
    assert day == jot(TEXT, library=LIBRARY, divisions=DIVISIONS).day


def test_the_day_file_is_written_like_the_demo_with_what_was_assumed_on_top(command):
    _, out, _ = command()

    lines = out.splitlines()
    assert lines[0].startswith("# ")
    assert "  window: 12 min" in lines
    assert "        - {movement: kettlebell-swing, reps: 12, load: 24 kg}" in lines


def test_a_file_is_read_instead_of_the_input(command, tmp_path):
    file = tmp_path / "friday.txt"
    file.write_text("max plank", encoding="utf-8")

    status, out, _ = command(file)

    assert status == 0
    assert "score: hold" in out


def test_json_is_the_validated_day(command):
    status, out, _ = command("--json")

    day = TypeAdapter(Day).validate_python(json.loads(out))

    assert status == 0
    assert day == jot(TEXT, library=LIBRARY, divisions=DIVISIONS).day


def test_problems_and_doubts_go_to_the_error_output_with_their_places(command):
    status, out, complaints = command(text="AMRAP 12\n0 burpees\n5 front raises\n")

    assert (status, out) == (1, "")
    assert complaints[0].startswith("2:1: “0”: ")
    assert complaints[1].startswith("3:3: “front raises”: ")


def test_a_doubt_for_which_something_was_taken_still_gives_the_day(command):
    status, out, [complaint] = command(text="3 rounds: 20 lunges")

    assert status == 0
    assert "movement: forward-lunge" in out
    assert complaint.startswith("1:14: “lunges”: which")


def test_what_is_left_out_is_told_in_the_file_and_by_the_status(command):
    status, out, [complaint] = command(text="AMRAP 9: 5 burpees, 5 grobblers")

    assert status == 1
    assert out.startswith("# Left out: “grobblers”.")
    assert "movement: burpee" in out
    assert complaint.startswith("1:23: “grobblers”: ")


def test_the_divisions_and_movements_of_a_challenge_hold(command, tmp_path):
    folder = Path(shutil.copytree(DEMO, tmp_path / "challenge"))
    head = (folder / "challenge.yaml").read_text()
    (folder / "challenge.yaml").write_text(head.replace("id: lighter", "id: seniors"))

    _, out, _ = command("--challenge", folder, text="AMRAP 9: 5 burpees\nseniors: 3 burpees")

    assert "    seniors:\n      rungs:\n        - {movement: burpee, reps: 3}" in out


def test_new_movements_are_printed_for_the_movements_file(command, tmp_path):
    text = (
        "movement: crab reach; pattern: core; option: bird dog; counts: hand to foot\n"
        "AMRAP 9: 10 crab reaches\n"
    )
    folder = Path(shutil.copytree(DEMO, tmp_path / "challenge"))

    _, movements, _ = command("--movements", text=text)
    _, day, _ = command(text=text)
    (folder / "movements.yaml").write_text(movements)
    (folder / "day-1.yaml").write_text(day)

    loaded, _, library = load_day(folder / "day-1.yaml")
    assert loaded.workout.divisions["full"].rungs[0].movement == "crab-reach"
    assert library["crab-reach"].name == "crab reach"
    assert "# New: crab reach" in day


@pytest.mark.parametrize("number", range(1, 8))
def test_a_day_file_is_printed_as_shorthand_that_is_read_back(command, number):
    file = DEMO / f"day-{number}.yaml"

    status, out, complaints = command("--back", file)

    assert (status, complaints) == (0, [])
    day, _, _ = load_day(file)
    assert jot(out, library=LIBRARY, divisions=DIVISIONS).day == day


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        pytest.param(["--back"], "name the day file", id="back_of_nothing"),
        pytest.param(["nowhere.txt"], "No such file", id="no_file"),
        pytest.param(["--challenge", "nowhere"], "there is no such file", id="no_challenge"),
    ],
)
def test_what_cannot_be_found_is_said(command, arguments, complaint):
    status, out, complaints = command(*arguments)

    assert (status, out) == (1, "")
    assert complaint in complaints[0]


def test_a_file_that_is_no_text_is_refused(command, tmp_path):
    file = tmp_path / "photo.txt"
    file.write_bytes(b"\xff\xfe\x00")

    status, _, [complaint] = command(file)

    assert status == 1
    assert "not UTF-8" in complaint
