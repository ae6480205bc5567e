"""What is wildly off is marked, what honest people do is not."""

from __future__ import annotations

import random
from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from bot.unusual import Mark, Unusual, deviation, standing, strength, unusual
from content.score import Amount, Capped, Done, Finished, RoundsAndReps, Unit
from tests.content.builders import a_task

MIXED = (120, 150, 180, 225, 240, 300, 320)  # totals of a group of all abilities
FINITE = st.floats(min_value=1e-3, max_value=1e6)


@given(values=st.lists(FINITE, min_size=1, max_size=50))
def test_the_spread_is_scipys(values: list[float]):
    logs = [log(value) for value in values]

    expected = stats.median_abs_deviation(logs, scale=1 / 1.4826)

    assert deviation(logs) == pytest.approx(expected, abs=1e-9)


@given(own=FINITE, values=st.lists(FINITE, min_size=7, max_size=40))
def test_the_group_is_judged_by_the_rule_written_down(own: float, values: list[float]):
    """Done again with numpy and scipy; near the border rounding may decide either way."""
    group = [own, *values]
    logs = np.log(group)
    off = np.log(own) - np.median(logs)
    spread = stats.median_abs_deviation(logs, scale=1 / 1.4826)
    border = min(max(5 * spread, np.log(4)), np.log(8))

    found = unusual(own, group)

    if abs(abs(off) - border) > 1e-6:
        assert (found is not None) == (abs(off) > border)
    if found is not None:
        assert found.mark is (Mark.ABOVE_GROUP if off > 0 else Mark.BELOW_GROUP)
        assert found.factor == pytest.approx(np.exp(abs(off)))


@pytest.mark.parametrize(
    ("own", "mark"),
    [
        pytest.param(2250, Mark.ABOVE_GROUP, id="a_digit_too_many"),
        pytest.param(22, Mark.BELOW_GROUP, id="a_digit_too_few"),
        pytest.param(60, None, id="honest_beginner"),
        pytest.param(700, None, id="strong"),
    ],
)
def test_a_result_among_others_of_the_day(own: int, mark: Mark | None):
    found = unusual(own, [*MIXED, own])

    assert (found and found.mark) == mark


def test_seven_results_are_too_few_to_judge_by():
    assert unusual(2250, [*MIXED[:6], 2250]) is None
    assert unusual(2250, [*MIXED, 2250]) == Unusual(
        Mark.ABOVE_GROUP, pytest.approx(2250 / (225 * 240) ** 0.5), 8
    )


def test_equal_results_leave_room_for_another():
    assert unusual(39, [*[10] * 9, 39]) is None
    assert unusual(41, [*[10] * 9, 41]) is not None


def test_somebody_far_from_their_own_usual_standing():
    """Half of what the middle does on every day, and today three times."""
    earlier = [log(0.5), log(0.45), log(0.55)]
    group = [50, 55, 60, 65, 70]
    today = [*group, 180]

    found = unusual(180, today, earlier)

    assert found == Unusual(Mark.ABOVE_OWN, pytest.approx(180 / (60 * 65) ** 0.5 / 0.5), 3)
    assert unusual(180, today, earlier[:2]) is None
    assert unusual(180, today) is None
    assert unusual(60, [*group, 60], earlier) is None


def test_whoever_is_now_up_now_down_is_not_judged_by_the_middle_of_that():
    earlier = [log(0.3), log(1), log(3), log(0.4)]

    assert unusual(180, [50, 55, 60, 65, 70, 180], earlier) is None


def test_a_standing_needs_five_results():
    assert standing(60, [30, 60, 60, 120]) is None
    assert standing(120, [30, 60, 60, 90, 120]) == pytest.approx(log(2))


def test_honest_groups_are_left_alone():
    """Abilities over a factor of 5 in nine of ten people, groups of every size."""
    chance, marked, people = random.Random(20), 0, 0
    for _ in range(1500):
        group = [exp(chance.gauss(5.3, 0.45)) for _ in range(chance.randint(8, 60))]
        marked += sum(unusual(own, group) is not None for own in group)
        people += len(group)

    assert people > 40_000
    assert marked / people < 1 / 2000


def test_a_slip_of_a_digit_is_seen_in_groups_of_every_size():
    chance, seen = random.Random(21), 0
    for _ in range(500):
        group = [exp(chance.gauss(5.3, 0.3)) for _ in range(chance.randint(12, 60))]
        group[0] = exp(5.3) * 10
        seen += unusual(group[0], group) is not None

    assert seen >= 495


LADDER = a_task(
    [{"movement": "push-up"}], score="time", shape="scheme", scheme=[24, 18], cap="10 min"
)
WINDOW = a_task([{"movement": "push-up", "reps": 10}])


@pytest.mark.parametrize(
    ("score", "task", "measure"),
    [
        pytest.param(RoundsAndReps(3, 5, 35), WINDOW, 35, id="total"),
        pytest.param(Finished(420), LADDER, 42 / 420, id="work_a_second"),
        pytest.param(Capped(30), LADDER, 30 / 600, id="what_was_done_by_the_cap"),
        pytest.param(Amount(125, Unit.SECONDS), WINDOW, 125, id="amount"),
        pytest.param(Amount(0, Unit.REPS), WINDOW, None, id="nothing"),
        pytest.param(RoundsAndReps(0, 0, 0), WINDOW, None, id="no_repetition"),
        pytest.param(Capped(0), LADDER, None, id="capped_at_once"),
        pytest.param(Done(), WINDOW, None, id="done"),
    ],
)
def test_what_measures_a_score(score, task, measure):
    assert strength(score, task) == (None if measure is None else pytest.approx(measure))
