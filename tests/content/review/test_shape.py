"""Distributions for charts, and scores in few words."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import gaussian_kde

from content.review.people import draw
from content.review.score_words import minutes, minutes_span, percent, short_score, span
from content.review.shape import shape_of
from content.review.simulation import Simulated, simulate
from content.score import FINISH, Amount, Capped, Done, Finished, RoundsAndReps, Unit
from tests.content.builders import a_task

CAPPED = {"score": "time", "shape": "once", "cap": "10 min"}
WORK = [{"movement": "push-up", "reps": 50}, {"movement": "air-squat", "reps": 100}]


def test_rounds_stand_on_the_scale_with_their_fraction():
    task = a_task([{"movement": "push-up", "reps": 8}, {"movement": "air-squat", "reps": 12}])

    shape = shape_of(Simulated(task, np.array([0, 10, 20, 45]), np.zeros(4)))

    assert shape.values.tolist() == [0, 0.5, 1, 2.25]


def test_a_climbing_ladder_counts_the_round_that_one_is_in():
    task = a_task(
        [{"movement": "push-up", "reps": 2}],
        score="rounds_and_reps", shape="climb", step=2, window="9 min",
    )  # fmt: skip

    shape = shape_of(Simulated(task, np.array([2, 4, 6]), np.zeros(3)))

    assert shape.values.tolist() == [1, 1.5, 2]


def test_faster_times_stand_further_on_and_the_capped_nowhere():
    task = a_task(WORK, **CAPPED)
    keys = np.array([120, FINISH - 590, FINISH - 400])

    shape = shape_of(Simulated(task, keys, np.zeros(3)))

    assert shape.values.tolist() == [-590, -400]
    assert shape.at(0) is None
    assert shape.at(1) == -400


def test_the_curve_is_a_kernel_estimate():
    """Against scipy's, with the same width."""
    found = simulate(a_task(WORK, score="time", shape="once"), draw(many=400))
    shape = shape_of(found)
    places = np.linspace(shape.values[0], shape.values[-1], 50)
    width = 1.06 * shape.values.std() * 400**-0.2

    curve = gaussian_kde(shape.values, width / shape.values.std(ddof=1))(places)

    assert shape.heights(places) == pytest.approx(curve / curve.max())


@pytest.mark.parametrize("keys", [[], [5], [5, 5, 5]])
def test_a_curve_of_few_or_equal_people_is_no_trouble(keys):
    task = a_task([{"movement": "push-up"}], score="total_reps", shape="open", window="1 min")
    heights = shape_of(Simulated(task, np.array(keys, dtype=int), np.zeros(0))).heights(
        np.array([4.0, 5.0, 6.0])
    )

    assert np.all(np.isfinite(heights))
    assert heights.max() == (1 if keys else 0)


@pytest.mark.parametrize(
    ("score", "text"),
    [
        pytest.param(RoundsAndReps(3, 45, 225), "3+45", id="rounds"),
        pytest.param(Finished(581), "9:41", id="time"),
        pytest.param(Capped(130), "capped at 130 reps", id="capped"),
        pytest.param(Amount(37, Unit.REPS), "37 reps", id="reps"),
        pytest.param(Amount(2041, Unit.METRES), "2041 m", id="metres"),
        pytest.param(Amount(95, Unit.SECONDS), "1:35", id="hold"),
        pytest.param(Amount(82_500, Unit.KILOGRAMS), "82.5 kg", id="load"),
        pytest.param(Done(), "done", id="done"),
    ],
)
def test_scores_in_few_words(score, text):
    assert short_score(score) == text


@pytest.mark.parametrize(
    ("worse", "better", "words"),
    [
        pytest.param(Finished(448), Finished(350), ("5:50", "7:28"), id="the_shorter_time_first"),
        pytest.param(
            Amount(13, Unit.REPS), Amount(18, Unit.REPS), ("13", "18 reps"), id="the_unit_once"
        ),
        pytest.param(
            Capped(90), Finished(590), ("capped at 90 reps", "9:50"), id="from_capped_to_a_time"
        ),
        pytest.param(
            RoundsAndReps(1, 60, 120), RoundsAndReps(2, 40, 160), ("1+60", "2+40"), id="rounds"
        ),
    ],
)
def test_from_and_to(worse, better, words):
    assert span(worse, better) == words


def test_lengths_and_shares_are_rough():
    assert [minutes(s) for s in (20, 470, 4560, 7300, 7200)] == [
        "1 min", "8 min", "76 min", "2 h 2 min", "2 h",
    ]  # fmt: skip
    assert minutes_span(960, 1080) == "16 to 18 min"
    assert minutes_span(960, 961) == "16 min"
    assert percent(0.206) == "21 %"
