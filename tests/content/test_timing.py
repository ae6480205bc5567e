"""Lengths of timed parts, and how one-sided counts are split."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.timing import intervals_s, switch_plan, warm_up_s


def test_eight_movements_of_45_s_with_15_s_to_move_on_last_eight_minutes():
    """Common practice, no source."""
    assert warm_up_s(8, work_s=45, move_on_s=15) == 8 * 60


def test_eight_times_20_s_of_work_and_10_s_of_rest_count_the_last_rest():
    """Arithmetic: 8 x 30 s = 240 s. Without the last rest it would be 230 s."""
    assert intervals_s(8, work_s=20, rest_s=10) == 240


@pytest.mark.parametrize(
    ("repetitions", "plan"),
    [
        # Common practice, no source.
        pytest.param(70, (20, 15), id="20_20_then_15_15"),
        pytest.param(40, (20,), id="one_set_of_the_most"),
        pytest.param(12, (6,), id="one_short_set_is_not_rounded"),
        pytest.param(41, (15, 6), id="one_more_than_a_set"),
        pytest.param(13, (7,), id="an_odd_one_goes_to_the_first_side"),
        pytest.param(1, (1,), id="one"),
        pytest.param(120, (20, 20, 20), id="full_sets"),
    ],
)
def test_switch_plans(repetitions, plan):
    assert switch_plan(repetitions) == plan


@given(repetitions=st.integers(1, 5000), most=st.integers(1, 60))
def test_a_plan_covers_the_larger_side_and_no_set_is_too_long(repetitions, most):
    plan = switch_plan(repetitions, most_per_set=most)

    assert sum(plan) == (repetitions + 1) // 2
    assert max(plan) <= most
    assert min(plan) >= 1


@given(repetitions=st.integers(1, 5000), most=st.integers(1, 60))
def test_a_plan_has_no_more_sets_than_it_needs(repetitions, most):
    side = (repetitions + 1) // 2

    assert len(switch_plan(repetitions, most_per_set=most)) == -(-side // most)
