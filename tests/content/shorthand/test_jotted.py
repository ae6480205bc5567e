"""Jottings of tired coaches: how many are read right, and how few are read wrong in silence."""

from __future__ import annotations

from collections import Counter

import pytest

from content.shorthand.jotting import jot
from content.shorthand.values import Jotted
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY
from tests.content.shorthand.jotted_check import (
    Verdict,
    differences,
    jots,
    open_files,
    read,
    verdict,
)

# Floors under what was reached; `python -m tests.bench jotting` lists every miss.
FLOORS = {"open.jsonl": 0.97, "tired.jsonl": 0.95, "later.jsonl": 0.9, "last.jsonl": 0.85}
_RIGHT = {Verdict.RIGHT, Verdict.RIGHT_ASKING}
_SILENT = {Verdict.DIFFERENT, Verdict.NOT_ASKED}


@pytest.fixture(scope="module")
def judged():
    """Every open line with its verdict; the files put aside are for the bench to count."""
    return [(line, verdict(line.expect, read(line))) for line in jots(*open_files())]


def test_every_open_file_has_a_floor():
    assert set(open_files()) == set(FLOORS)


@pytest.mark.parametrize("file", FLOORS)
def test_most_of_the_open_jottings_are_read_right(judged, file):
    verdicts = Counter(found for line, found in judged if line.file == file)

    assert sum(verdicts[each] for each in _RIGHT) / verdicts.total() >= FLOORS[file], verdicts


def test_no_open_jotting_is_read_wrong_in_silence(judged):
    assert [line.text for line, found in judged if found in _SILENT] == []


TEXT = "5 rounds for time, cap 12: 10 burpees, 12 swings 24/16 kg"
EXPECT = {
    "kind": "workout",
    "score": "time",
    "shape": "repeat",
    "rounds": 5,
    "cap_s": 720,
    "rungs": [
        {"movement": "burpee", "count": 10, "unit": "reps"},
        {"movement": "kettlebell-swing", "count": 12, "unit": "reps", "load_kg": 24},
    ],
}


@pytest.mark.parametrize(
    "wrong",
    [
        pytest.param({"rounds": 4}, id="rounds"),
        pytest.param({"cap_s": 60}, id="cap"),
        pytest.param({"score": "done"}, id="score"),
        pytest.param({"shape": "once"}, id="shape"),
        pytest.param({"kind": "rest"}, id="kind"),
        pytest.param({"rungs": EXPECT["rungs"][:1]}, id="a_movement_too_many"),
        pytest.param({"rungs": [EXPECT["rungs"][0]] * 2}, id="another_movement"),
        pytest.param(
            {"rungs": [EXPECT["rungs"][0] | {"count": 9}, EXPECT["rungs"][1]]}, id="count"
        ),
        pytest.param(
            {"rungs": [EXPECT["rungs"][0], EXPECT["rungs"][1] | {"load_kg": 16}]}, id="load"
        ),
        pytest.param({"divisions": {"lighter": EXPECT["rungs"]}}, id="a_division"),
        pytest.param({"warm_up": ["march"]}, id="warm_up"),
    ],
)
def test_the_comparison_sees_every_difference(wrong):
    got = jot(TEXT, library=LIBRARY, divisions=DIVISIONS)

    assert verdict(EXPECT, got) is Verdict.RIGHT
    assert list(differences(EXPECT | wrong, got))
    assert verdict(EXPECT | wrong, got) is Verdict.DIFFERENT


def test_a_day_where_a_question_was_needed_is_no_right_one():
    got = jot(TEXT, library=LIBRARY, divisions=DIVISIONS)
    nothing = Jotted(day=None, movements=(), doubts=(), problems=(), assumed=())

    assert verdict({"kind": "ask"}, got) is Verdict.NOT_ASKED
    assert verdict({"kind": "ask"}, nothing) is Verdict.RIGHT
    assert verdict(EXPECT, nothing) is Verdict.ASKED
