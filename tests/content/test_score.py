"""Scores: how they rank and how they travel as JSON."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.score import (
    AMOUNT_UNITS,
    Amount,
    Capped,
    Done,
    Finished,
    RoundsAndReps,
    ScoreKind,
    Unit,
    rank_key,
    score_from_json,
    score_to_json,
)

COUNTS = st.integers(0, 10**7)
SCORES = st.one_of(
    st.builds(RoundsAndReps, COUNTS, COUNTS, COUNTS),
    st.builds(Finished, COUNTS),
    st.builds(Capped, COUNTS),
    st.builds(Amount, COUNTS, st.sampled_from(Unit)),
    st.builds(Amount, COUNTS, st.just(Unit.REPS), COUNTS),
    st.just(Done()),
)


@given(score=SCORES)
def test_a_score_comes_back_from_json_as_it_was(score):
    assert score_from_json(json.loads(json.dumps(score_to_json(score)))) == score


@pytest.mark.parametrize(
    ("score", "found"),
    [
        pytest.param(
            RoundsAndReps(3, 45, 225),
            {"rounds": 3, "reps": 45, "total_reps": 225},
            id="rounds_and_reps",
        ),
        pytest.param(Finished(754), {"time_s": 754}, id="finished"),
        pytest.param(Capped(76), {"capped": True, "total_reps": 76}, id="capped"),
        pytest.param(Amount(132, Unit.REPS), {"amount": 132, "unit": "reps"}, id="reps"),
        pytest.param(
            Amount(9, Unit.REPS, 62),
            {"amount": 9, "unit": "reps", "total_reps": 62},
            id="lowest_with_total",
        ),
        pytest.param(Amount(95, Unit.SECONDS), {"amount": 95, "unit": "s"}, id="hold"),
        pytest.param(Amount(2100, Unit.METRES), {"amount": 2100, "unit": "m"}, id="distance"),
        pytest.param(Amount(40_000, Unit.KILOGRAMS), {"amount": 40, "unit": "kg"}, id="load"),
        pytest.param(
            Amount(22_500, Unit.KILOGRAMS), {"amount": 22.5, "unit": "kg"}, id="load_with_a_half"
        ),
        pytest.param(Done(), {"done": True}, id="done"),
    ],
)
def test_json_forms(score, found):
    assert score_to_json(score) == found


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        pytest.param(RoundsAndReps(4, 0, 240), RoundsAndReps(3, 59, 239), id="more_repetitions"),
        pytest.param(Finished(754), Finished(755), id="faster"),
        pytest.param(Finished(24 * 3600), Capped(9_999_999), id="any_finish_beats_any_cap"),
        pytest.param(Capped(77), Capped(76), id="capped_with_more"),
        pytest.param(Capped(1), Capped(0), id="something_beats_nothing"),
        pytest.param(Amount(96, Unit.SECONDS), Amount(95, Unit.SECONDS), id="longer_hold"),
        pytest.param(Amount(2101, Unit.METRES), Amount(2100, Unit.METRES), id="further"),
        pytest.param(Amount(22_500, Unit.KILOGRAMS), Amount(22_000, Unit.KILOGRAMS), id="heavier"),
        pytest.param(Amount(10, Unit.REPS), Amount(9, Unit.REPS, 99), id="lowest_round_decides"),
    ],
)
def test_a_better_score_has_the_larger_key(better, worse):
    assert rank_key(better) > rank_key(worse)


def test_equal_scores_rank_equal_however_much_was_told():
    assert rank_key(Amount(9, Unit.REPS)) == rank_key(Amount(9, Unit.REPS, 62))
    assert rank_key(Done()) == rank_key(Done())


@given(score=SCORES)
def test_a_key_is_a_whole_number(score):
    assert type(rank_key(score)) is int


@pytest.mark.parametrize(
    "found",
    [
        pytest.param({}, id="nothing"),
        pytest.param({"rounds": 3, "reps": 45}, id="no_total"),
        pytest.param({"rounds": "3", "reps": 45, "total_reps": 225}, id="text_for_a_number"),
        pytest.param({"rounds": 3.5, "reps": 0, "total_reps": 210}, id="part_of_a_round"),
        pytest.param({"time_s": 9.5}, id="part_of_a_second"),
        pytest.param({"time_s": None}, id="no_time"),
        pytest.param({"capped": False, "total_reps": 76}, id="not_capped"),
        pytest.param({"amount": 132}, id="no_unit"),
        pytest.param({"amount": 132, "unit": "stone"}, id="unknown_unit"),
        pytest.param({"amount": "132", "unit": "reps"}, id="amount_in_text"),
        pytest.param({"amount": 9.5, "unit": "reps"}, id="part_of_a_repetition"),
        pytest.param({"amount": 40.0005, "unit": "kg"}, id="less_than_a_gram"),
        pytest.param({"amount": 9, "unit": "reps", "total_reps": "many"}, id="total_in_text"),
        pytest.param({"time_s": 581, "reps": 3}, id="two_forms_at_once"),
        pytest.param({"done": False}, id="not_done"),
    ],
)
def test_json_of_no_known_form_is_refused(found):
    with pytest.raises(ValueError, match=r"no form of a score|is not a valid Unit"):
        score_from_json(found)


def test_every_measured_kind_has_its_unit():
    on_a_ladder = {ScoreKind.ROUNDS_AND_REPS, ScoreKind.TIME, ScoreKind.DONE}

    assert AMOUNT_UNITS.keys() == set(ScoreKind) - on_a_ladder
