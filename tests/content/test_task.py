"""One division's work on one day: how long what its score counts may take."""

from __future__ import annotations

import pytest

from bot.reading.plausible import is_possible
from content.score import Amount, Unit
from tests.content.builders import a_task

INTERVALS = {"rounds": 8, "work": "20 s", "rest": "10 s"}


@pytest.mark.parametrize(
    ("workout", "seconds"),
    [
        pytest.param(
            {"score": "lowest_round", "shape": "open", "intervals": INTERVALS}, 20, id="lowest"
        ),
        pytest.param(
            {"score": "total_reps", "shape": "open", "intervals": INTERVALS}, 160, id="total"
        ),
        pytest.param(
            {"score": "total_reps", "shape": "open", "window": "3 min"}, 180, id="window"
        ),
        pytest.param({"score": "total_reps", "shape": "open"}, None, id="no_clock"),
    ],
)
def test_a_total_may_take_all_intervals_and_the_lowest_round_one(workout, seconds):
    task = a_task([{"movement": "air-squat"}], **workout)

    assert task.counted_s == seconds


def test_a_total_of_all_intervals_is_not_too_fast():
    task = a_task(
        [{"movement": "air-squat"}], score="total_reps", shape="open", intervals=INTERVALS
    )

    assert is_possible(Amount(110, Unit.REPS), task)
    assert not is_possible(Amount(1000, Unit.REPS), task)
