"""A challenge written as files is read back as the same challenge."""

from __future__ import annotations

from pathlib import Path

import pytest

from content.challenge import Challenge, Division, Head, Times
from content.challenge_file import challenge_files, head_yaml
from content.loading import DEMO, assemble, load_challenge, movement_library

MILL = Path(__file__).parents[1] / "reading" / "mill"


def written(content: Challenge, folder: Path) -> Challenge:
    for name, text in challenge_files(content):
        (folder / name).write_text(text, encoding="utf-8")
    return load_challenge(folder)


@pytest.mark.parametrize("folder", [DEMO, MILL], ids=lambda folder: folder.name)
def test_a_challenge_goes_there_and_back(folder, tmp_path):
    content = load_challenge(folder)

    assert written(content, tmp_path) == content


@pytest.mark.parametrize(
    "head",
    [
        pytest.param({"title": "Yes: no, #1 'at' \"home\""}, id="signs"),
        pytest.param({"title": "0815"}, id="title_of_digits"),
        pytest.param({"title": "Ñandú 💪 נועה"}, id="any_script"),
        pytest.param({"times": Times(post="08:00", close="21:30", reminder="19:00")}, id="times"),
        pytest.param({"make_up_days": 0, "discards": 3, "read_back": "reaction"}, id="numbers"),
        pytest.param({"divisions": (Division(id="on", name="On", summary="~"),)}, id="division"),
    ],
)
def test_whatever_a_head_says_comes_back(head, tmp_path):
    content = load_challenge(DEMO)
    days = content.days[3:4]  # the rest day fits any divisions
    said = Head.model_validate(content.head.model_dump() | head)
    changed = assemble(said, days, movement_library())

    assert written(changed, tmp_path) == changed


def test_the_effort_of_a_day_is_kept(tmp_path):
    content = load_challenge(DEMO)
    day = content.days[0].model_copy(update={"effort": 9})
    changed = content.model_copy(update={"days": (day, *content.days[1:])})

    assert written(changed, tmp_path).days[0].effort == 9


def test_times_stand_in_quotation_marks_so_that_every_yaml_reader_takes_them_for_text():
    assert 'post: "06:00"' in head_yaml(load_challenge(DEMO).head)
