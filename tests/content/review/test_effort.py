"""Effort, load of a day and load of a week, against worked examples."""

from __future__ import annotations

from statistics import stdev

import pytest

from content.review.effort import assumed_effort, session_load, week_load
from content.score import ScoreKind

L1 = [7 * 60, 0, 5 * 45, 3 * 30, 8 * 50, 4 * 90, 0]
L2 = [300] * 6 + [0]


@pytest.mark.parametrize(
    ("days", "total", "monotony", "strain"),
    [
        # Own numbers by the formulas of Foster 1998 (abstract); population standard deviation.
        pytest.param(L1, 1495, 1.2467, 1863.78, id="a_mixed_week"),
        pytest.param(L2, 1800, 6**0.5, 4409.08, id="six_equal_days_and_a_rest_day"),
    ],
)
def test_worked_weeks(days, total, monotony, strain):
    found = week_load(days)

    assert found.total == total
    assert found.monotony == pytest.approx(monotony, abs=5e-5)
    assert found.strain == pytest.approx(strain, abs=5e-3)


def test_the_deviation_is_that_of_the_whole_week_not_of_a_sample():
    """For seven days the two differ by the square root of 7/6."""
    found = week_load(L1)

    assert found.deviation == pytest.approx(171.3125, abs=5e-5)
    assert stdev(L1) / found.deviation == pytest.approx((7 / 6) ** 0.5)


@pytest.mark.parametrize("load", [0, 120])
def test_seven_equal_days_have_no_monotony(load):
    found = week_load([load] * 7)

    assert (found.monotony, found.strain) == (None, None)


def test_a_week_has_seven_days():
    with pytest.raises(ValueError, match="a week has 7 days, got 6"):
        week_load([100] * 6)


def test_a_day_adds_up_warm_up_and_workout():
    assert session_load(effort=7, workout_s=14 * 60, warm_up_s=8 * 60) == 7 * 14 + 3 * 8


@pytest.mark.parametrize(
    ("kind", "minutes", "effort"),
    [
        pytest.param(ScoreKind.TOTAL_REPS, 3, 9, id="a_short_sprint"),
        pytest.param(ScoreKind.TIME, 5, 9, id="five_minutes"),
        pytest.param(ScoreKind.TIME, 5.1, 8, id="more_than_five"),
        pytest.param(ScoreKind.ROUNDS_AND_REPS, 14, 7, id="a_quarter_of_an_hour"),
        pytest.param(ScoreKind.DISTANCE, 60, 6, id="an_hour"),
        pytest.param(ScoreKind.DONE, 60, 3, id="done_is_done"),
        pytest.param(ScoreKind.HOLD, 3, 5, id="a_hold"),
    ],
)
def test_assumed_efforts(kind, minutes, effort):
    assert assumed_effort(kind, minutes * 60) == effort
