"""The commands that need no network: review and read."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bot.command_line import main
from content.loading import DEMO

DAY_1 = str(DEMO / "day-1.yaml")
DAY_2 = str(DEMO / "day-2.yaml")


@pytest.fixture
def read(monkeypatch, capsys):
    """Run `read` on lines of input; gives the status, the readings and the complaints."""

    def run(*lines: object, day=DAY_1, division=None):
        text = "\n".join(x if isinstance(x, str) else json.dumps(x) for x in lines)
        monkeypatch.setattr(sys, "stdin", io.StringIO(text + "\n"))
        extra = ["--division", division] if division else []
        status = main(["read", "--day", day, *extra])
        written = capsys.readouterr()
        readings = [json.loads(line) for line in written.out.splitlines()]
        return status, readings, written.err.splitlines()

    return run


def test_a_good_folder_is_summed_up(capsys):
    status = main(["review", str(DEMO)])

    written = capsys.readouterr()
    assert status == 0
    assert written.err == ""
    assert written.out.startswith(
        "Seven Mornings on the Quay: no errors. 7 days, 6 of them with a workout; "
        "divisions: Full, Lighter, Bodyweight; "
    )


def test_a_review_stands_below_the_summary(capsys):
    status = main(["review", str(DEMO)])

    written = capsys.readouterr().out
    assert status == 0
    assert "Day 1 · Round the bollards · about 25 min" in written
    assert "Worth a look:\n- Day 2. The work takes Full" in written


def test_a_finding_that_must_be_fixed_is_exit_status_1(capsys, tmp_path):
    folder = Path(shutil.copytree(DEMO, tmp_path / "challenge"))
    day = folder / "day-1.yaml"
    day.write_text(day.read_text().replace("window: 14 min", "window: 30 s"))

    status = main(["review", str(folder)])

    assert status == 1
    assert "Must be fixed:\n- Day 1. Full: 100 % of the people do not finish" in (
        capsys.readouterr().out
    )


def test_a_review_for_programs_is_json_and_nothing_else(capsys):
    status = main(["review", str(DEMO), "--json"])

    found = json.loads(capsys.readouterr().out)
    assert status == 0
    assert [day["day"] for day in found["days"]] == list(range(1, 8))
    assert found["findings"][0]["id"] == "divisions-differ-in-time"


def test_pictures_are_written_into_a_folder(capsys, tmp_path):
    folder = tmp_path / "made" / "pictures"

    assert main(["review", str(DEMO), "--pictures", str(folder)]) == 0
    assert sorted(file.name for file in folder.iterdir()) == [
        f"day-{number}.png" for number in (1, 2, 3, 6, 7)
    ]
    assert (folder / "day-1.png").read_bytes().startswith(b"\x89PNG")
    assert "Day 1" in capsys.readouterr().out


def test_a_folder_for_pictures_that_cannot_be_made_is_said(capsys, tmp_path):
    (tmp_path / "taken").write_text("a file")

    assert main(["review", str(DEMO), "--pictures", str(tmp_path / "taken" / "in")]) == 1
    assert "Not a directory" in capsys.readouterr().err


def test_a_terminal_without_the_signs_still_gets_its_review():
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-m", "bot", "review", str(DEMO)],
        env={"PYTHONIOENCODING": "ascii"},
        check=False,
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
    )

    assert done.returncode == 0
    assert "Day 1 ? Round the bollards" in done.stdout


def test_a_broken_folder_is_refused_with_every_mistake_on_a_line(capsys, tmp_path):
    folder = Path(shutil.copytree(DEMO, tmp_path / "challenge"))
    for name, old, new in [
        ("day-1.yaml", "movement: burpee", "movement: burpe"),
        ("day-2.yaml", "cap: 11 min", "cap: soon"),
    ]:
        text = (folder / name).read_text()
        (folder / name).write_text(text.replace(old, new, 1))

    status = main(["review", str(folder)])

    written = capsys.readouterr()
    assert status == 1
    assert written.out == ""
    first, second = written.err.splitlines()
    assert first.startswith(f"{folder}/day-1.yaml:20: workout.divisions.full.rungs.4.movement: ")
    assert second.startswith(f"{folder}/day-2.yaml:12: workout.cap: a duration such as")


def test_a_folder_that_is_not_there_is_said(capsys, tmp_path):
    assert main(["review", str(tmp_path / "nowhere")]) == 1
    assert "there is no such folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        pytest.param([], id="nothing"),
        pytest.param(["dance"], id="unknown_command"),
        pytest.param(["review"], id="review_without_a_folder"),
        pytest.param(["read"], id="read_without_a_day"),
        pytest.param(["rehearse", "--port", "many"], id="port_in_words"),
    ],
)
def test_wrong_arguments_are_explained(capsys, arguments):
    with pytest.raises(SystemExit) as info:
        main(arguments)

    assert info.value.code == 2
    assert "usage: rungbell" in capsys.readouterr().err


def test_run_without_a_token_says_what_to_set(capsys, monkeypatch):
    monkeypatch.delenv("RUNGBELL_TOKEN", raising=False)

    assert main(["run"]) == 1
    assert capsys.readouterr().err.startswith("RUNGBELL_TOKEN: not set; for example ")


def test_scores_are_read_one_per_line(read):
    status, readings, complaints = read(
        {"text": "3 rounds + 45"},
        "",
        {"text": "scaled 2+10, sorry", "division": "lighter"},
        {"text": "good morning all"},
    )

    assert (status, complaints) == (0, [])
    assert readings[0] == {
        "kind": "score",
        "result": {"rounds": 3, "reps": 45, "total_reps": 225},
        "quote": "3 rounds + 45",
    }
    assert readings[1]["result"]["total_reps"] == 2 * 52 + 10
    assert readings[1]["division"] == "lighter"
    assert readings[2] == {"kind": "chatter"}


def test_the_division_decides_what_a_round_holds(read):
    lines = {"text": "3 rounds + 5"}, {"text": "3 rounds + 5", "division": "bodyweight"}

    _, readings, _ = read(*lines, division="lighter")

    assert [r["result"]["total_reps"] for r in readings] == [3 * 52 + 5, 3 * 66 + 5]


def test_a_day_of_another_kind_is_read_in_its_own_way(read):
    _, readings, _ = read({"text": "9:41"}, {"text": "capped, 14 left"}, day=DAY_2)

    assert [r["result"] for r in readings] == [
        {"time_s": 581},
        {"capped": True, "total_reps": 3 * 48 - 14},
    ]


@pytest.mark.parametrize("text", ["yesterday 3+20", "day 9: 3+20"])
def test_the_only_day_stands_for_every_day_named(read, text):
    _, [reading], _ = read({"text": text})

    assert reading["result"]["total_reps"] == 200
    assert "day" in reading


def test_text_of_any_script_comes_out_as_it_went_in(read):
    _, [reading], _ = read({"text": "３ rounds + ４５ 💪"})

    assert reading["quote"] == "３ rounds + ４５"


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        pytest.param("3 rounds + 45", "line 2: Invalid JSON", id="no_json"),
        pytest.param("[]", "line 2: Input should be an object", id="a_list"),
        pytest.param({"division": "full"}, "line 2: text: Field required", id="no_text"),
        pytest.param({"text": 45}, "line 2: text: Input should be a valid string", id="number"),
        pytest.param(
            {"text": "3+4", "language": "xx"}, "line 2: no language 'xx'; there are: de", id="xx"
        ),
        pytest.param(
            {"text": "3+4", "division": "heavy"}, "line 2: no division 'heavy'", id="division"
        ),
    ],
)
def test_a_bad_line_is_told_and_the_others_are_read(read, line, complaint):
    status, readings, complaints = read({"text": "3+45"}, line, {"text": "3+46"})

    assert status == 1
    assert [r["result"]["total_reps"] for r in readings] == [225, 226]
    [said] = complaints
    assert said.startswith(complaint)


def test_a_division_that_is_not_there_is_refused_before_reading(read):
    status, readings, complaints = read({"text": "3+45"}, division="heavy")

    assert (status, readings) == (1, [])
    assert complaints == ["no division 'heavy'; there are: full, lighter, bodyweight"]


def test_a_broken_day_is_refused_before_reading(read, tmp_path):
    day = tmp_path / "day.yaml"
    day.write_text("kind: workout\n")

    status, readings, complaints = read({"text": "3+45"}, day=str(day))

    assert (status, readings) == (1, [])
    assert f"{day}:1: title: missing" in complaints


def test_a_day_alone_brings_its_own_divisions(read, tmp_path):
    day = Path(shutil.copy(DAY_1, tmp_path / "some-day.yaml"))

    _, [reading], _ = read({"text": "3+45 lighter"}, day=str(day))

    assert reading["division"] == "lighter"
    assert reading["result"]["total_reps"] == 3 * 52 + 45


def test_on_a_rest_day_there_is_no_score_to_read(read):
    status, readings, _ = read({"text": "3+45"}, day=str(DEMO / "day-4.yaml"))

    assert (status, readings) == (0, [{"kind": "chatter"}])


def test_the_package_runs_as_a_module():
    run = subprocess.run(  # noqa: S603 - our own command
        [sys.executable, "-m", "bot", "review", str(DEMO)],
        capture_output=True,
        text=True,
        check=False,
        cwd=DEMO.parent.parent,
    )

    assert (run.returncode, run.stderr) == (0, "")
    assert run.stdout.startswith("Seven Mornings on the Quay: no errors.")
