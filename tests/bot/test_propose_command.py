"""The command that fills in a day file's divisions."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from bot.command_line import main
from content.loading import DEMO, load_challenge, load_day

RIVER = "  - {id: river, name: River, summary: As the water runs.}\n"


@pytest.fixture
def folder(tmp_path):
    """A copy of the demo whose first day has its first division only."""
    copy = Path(shutil.copytree(DEMO, tmp_path / "challenge"))
    day = copy / "day-1.yaml"
    text = re.sub(r"    lighter:\n.*?(?=cautions:)", "", day.read_text(), flags=re.DOTALL)
    day.write_text(text)
    return copy


def test_the_printed_day_is_a_day_file(folder, capsys):
    day = folder / "day-1.yaml"

    status = main(["propose", str(day)])

    day.write_text(capsys.readouterr().out)
    assert status == 0
    assert list(load_day(day)[0].workout.divisions) == ["full", "lighter", "bodyweight"]
    assert load_challenge(folder).days[0] == load_day(day)[0]


def test_the_reasons_stand_above_the_day(folder, capsys):
    main(["propose", str(folder / "day-1.yaml")])

    written = capsys.readouterr()
    as_long = "so that a round takes as long"
    assert written.err == ""
    assert written.out.splitlines()[6:10] == [
        "# Bodyweight: proposed from Full (no kit). A round takes about 2:57, as written 3:04.",
        f"# - Prone arm raises instead of dumbbell rows: no kit; 14 instead of 12, {as_long}.",
        f"# - Air squats instead of goblet squats: no kit; 24 instead of 18, {as_long}.",
        "kind: workout",
    ]


def test_for_programs_it_is_json_and_nothing_else(folder, capsys):
    assert main(["propose", str(folder / "day-1.yaml"), "--json"]) == 0

    found = json.loads(capsys.readouterr().out)
    assert found["from"] == "full"
    assert [each["division"] for each in found["proposed"]] == ["lighter", "bodyweight"]
    assert [each["like"] for each in found["proposed"]] == [["lighter"], ["no-kit"]]
    assert all(each["fits"] and each["round_s"] > 0 for each in found["proposed"])
    assert list(found["day"]["workout"]["divisions"]) == ["full", "lighter", "bodyweight"]


def test_only_the_division_asked_for_is_proposed(folder, capsys):
    assert main(["propose", str(folder / "day-1.yaml"), "--division", "bodyweight"]) == 0

    assert "lighter:" not in capsys.readouterr().out


def test_a_day_alone_needs_to_be_told_which_divisions(tmp_path, folder, capsys):
    day = Path(shutil.copy(folder / "day-1.yaml", tmp_path / "some-day.yaml"))

    assert main(["propose", str(day)]) == 1
    assert "say which divisions to propose: --division lighter" in capsys.readouterr().err
    assert main(["propose", str(day), "--division", "no-kit", "--division", "easy"]) == 0
    assert "    no-kit:\n" in capsys.readouterr().out


def test_a_complete_day_is_printed_as_it_is(capsys):
    assert main(["propose", str(DEMO / "day-1.yaml")]) == 0

    written = capsys.readouterr().out
    assert written.startswith("# Every division is written; nothing was proposed.\nkind: workout")


def test_a_division_that_does_not_say_what_it_is_like_is_asked_for(folder, capsys):
    head = folder / "challenge.yaml"
    head.write_text(head.read_text().replace("times:\n", f"{RIVER}times:\n"))
    day = str(folder / "day-1.yaml")

    assert main(["propose", day]) == 1
    assert "add --like river=lighter (or no-kit, no-jumps)" in capsys.readouterr().err
    assert main(["propose", day, "--like", "river=no-kit,no-jumps"]) == 0
    assert "# River: proposed from Full (no kit, no jumps)." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("extra", "complaint"),
    [
        pytest.param(["--division", "heavy"], "no division 'heavy'; there are: full", id="other"),
        pytest.param(["--like", "heavy=lighter"], "no division 'heavy'", id="like_other"),
    ],
)
def test_a_division_that_is_not_there_is_refused(folder, capsys, extra, complaint):
    assert main(["propose", str(folder / "day-1.yaml"), *extra]) == 1
    assert complaint in capsys.readouterr().err


@pytest.mark.parametrize("said", ["full", "full=", "=lighter", "full=heavy"])
def test_words_for_what_a_division_is_like_are_explained(folder, capsys, said):
    with pytest.raises(SystemExit) as info:
        main(["propose", str(folder / "day-1.yaml"), "--like", said])

    assert info.value.code == 2
    assert "say ID=WORDS with words out of lighter, no-kit, no-jumps" in capsys.readouterr().err


def test_a_rest_day_has_nothing_to_propose(capsys):
    assert main(["propose", str(DEMO / "day-4.yaml")]) == 1
    assert "a rest day has nothing to propose" in capsys.readouterr().err


def test_a_day_with_a_mistake_is_refused_with_its_line(folder, capsys):
    day = folder / "day-1.yaml"
    day.write_text(day.read_text().replace("movement: burpee", "movement: burpe"))

    assert main(["propose", str(day)]) == 1
    assert f"{day}:20: workout.divisions.full.rungs.4.movement: " in capsys.readouterr().err
