"""How long work takes the middle person: arithmetic, slowing down, breaks, changes of place."""

from __future__ import annotations

from itertools import pairwise
from math import log2

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.loading import movement_library
from content.movement import Pattern
from content.review.pace import (
    BREAK_S,
    CHANGE_S,
    CHANGE_WITH_KIT_S,
    UNBROKEN_S,
    Work,
    expected_parts,
    expected_s,
    nobody_tired,
    takes_s,
)
from content.review.people import TIRELESS, USUAL, Group, draw, middle_person
from tests.content.builders import a_task

RESTED = Group(fatigue=0)  # pauses as usual, but nobody tires
FIXED = {"score": "time", "shape": "once"}


def pace_s(movement, ability=USUAL.ability):
    """The middle person's seconds for one, by the geometric rule."""
    fastest, slowest = movement_library()[movement].pace
    return fastest ** (1 - ability) * slowest**ability


def test_the_middle_person_without_fatigue_and_pauses_is_plain_arithmetic():
    rungs = [{"movement": "push-up", "reps": 8}, {"movement": "air-squat", "reps": 24}]
    task = a_task(rungs, score="time", shape="repeat", rounds=3)

    by_hand = 3 * (8 * pace_s("push-up") + 24 * pace_s("air-squat"))

    assert expected_s(task, group=TIRELESS) == pytest.approx(by_hand)
    assert expected_s(task, 1, group=TIRELESS) == pytest.approx(by_hand / 3)


@pytest.mark.parametrize(
    ("rung", "seconds"),
    [
        pytest.param({"movement": "plank", "seconds": 40}, 40, id="a_hold_lasts_its_time"),
        pytest.param(
            {"movement": "side-plank", "seconds": 30, "each_side": True}, 60, id="on_each_side"
        ),
        pytest.param({"movement": "plank", "seconds": 60, "every": 20}, 60, id="worth_three"),
        pytest.param({"movement": "run", "metres": 200}, 200 * pace_s("run"), id="metres"),
        pytest.param(
            {"movement": "run", "metres": 200, "every": 50}, 200 * pace_s("run"), id="worth_four"
        ),
        pytest.param(
            {"movement": "forward-lunge", "reps": 10, "each_side": True},
            20 * pace_s("forward-lunge"),
            id="twice_as_many_lunges",
        ),
        pytest.param({"movement": "march", "calories": 10}, 10 * 2**0.45 * 8**0.55, id="calories"),
    ],
)
def test_every_way_of_counting_has_its_length(rung, seconds):
    task = a_task([rung], **FIXED)

    assert expected_s(task, group=TIRELESS) == pytest.approx(seconds)


@pytest.mark.parametrize(
    ("first", "second", "change_s"),
    [
        pytest.param("push-up", "air-squat", CHANGE_S, id="another_movement"),
        pytest.param("push-up", "goblet-squat", CHANGE_WITH_KIT_S, id="something_to_pick_up"),
        pytest.param("dumbbell-row", "push-up", CHANGE_WITH_KIT_S, id="something_to_put_down"),
        pytest.param("push-up", "push-up", 0, id="the_same_movement"),
    ],
)
def test_changes_take_their_time(first, second, change_s):
    task = a_task([{"movement": first, "reps": 2}, {"movement": second, "reps": 2}], **FIXED)

    work = 2 * pace_s(first) + 2 * pace_s(second)

    assert expected_s(task, group=RESTED) == pytest.approx(work + change_s)


def test_a_set_longer_than_people_last_costs_a_break_for_each_such_length():
    task = a_task([{"movement": "push-up", "reps": 40}], **FIXED)

    work = 40 * pace_s("push-up")
    breaks = work / UNBROKEN_S[Pattern.PUSH] - 1

    assert expected_s(task, group=RESTED) == pytest.approx(work + breaks * BREAK_S)


def test_twice_the_running_distance_takes_2_to_the_power_1_06_as_long():
    """Riegel, American Scientist 1981;69:285-290; for races from 3.5 to 230 minutes."""
    times = [
        expected_s(a_task([{"movement": "run", "metres": metres}], **FIXED))
        for metres in (1250, 2500, 5000, 10_000)
    ]

    for shorter, longer in pairwise(times):
        assert log2(longer / shorter) == pytest.approx(1.06, abs=0.01)


def test_a_walk_does_not_slow_down():
    one, ten = (
        expected_s(a_task([{"movement": "walk", "metres": m}], **FIXED)) for m in (1000, 10_000)
    )

    assert ten == pytest.approx(10 * one)


def test_later_rounds_take_longer_than_the_first():
    task = a_task(
        [{"movement": "push-up", "reps": 10}, {"movement": "air-squat", "reps": 15}],
        score="time",
        shape="repeat",
        rounds=6,
    )
    times = [seconds for _, seconds in expected_parts(task)]

    squats = times[1::2]
    assert squats == sorted(squats)
    assert squats[-1] > 1.05 * squats[0]


@given(
    cut=st.floats(0, 1),
    fatigue=st.floats(0, 3),
    before=st.floats(0, 3000),
    reps=st.integers(2, 99),
)
def test_slowing_down_does_not_depend_on_how_work_is_cut(cut, fatigue, before, reps):
    person = middle_person(Group(fatigue=fatigue, pauses=0))
    work = Work(np.array([2.0]), Pattern.PUSH, tires=True, breaks=True)
    tired = nobody_tired(person).after(Pattern.SQUAT, np.array([before]))
    first = round(cut * reps)

    whole = takes_s(work, reps, tired, person)
    one = takes_s(work, first, tired, person)
    between = tired.after(Pattern.PUSH, first * work.each_s)
    other = takes_s(work, reps - first, between, person)

    assert (one + other)[0] == pytest.approx(whole[0])


@given(before=st.floats(0, 3000), reps=st.integers(0, 200))
def test_one_more_repetition_always_takes_more_time(before, reps):
    person = middle_person()
    work = Work(np.array([1.5]), Pattern.CORE, tires=True, breaks=True)
    tired = nobody_tired(person).after(Pattern.CORE, np.array([before]))

    fewer, more = (takes_s(work, n, tired, person)[0] for n in (reps, reps + 1))

    assert more > fewer


def test_a_rest_takes_fatigue_away():
    person = middle_person()
    tired = nobody_tired(person).after(Pattern.JUMP, np.array([200.0]))

    rested = tired.rested(90)

    assert rested.overall_s[0] == pytest.approx(200 / np.e)
    assert rested.of(Pattern.JUMP)[0] == pytest.approx(200 / np.e)
    assert rested.of(Pattern.PUSH)[0] == 0


def test_a_ladder_without_end_has_no_length():
    rungs = [{"movement": "push-up", "reps": 8}]

    assert expected_s(a_task(rungs)) is None
    assert expected_s(a_task(rungs), 2) is not None
    assert expected_s(a_task([{"movement": "push-up"}], score="hold", shape="open")) is None


def test_a_person_is_as_good_at_a_movement_in_one_division_as_in_another():
    push_up = movement_library()["push-up"]

    assert np.array_equal(draw(many=50).pace_s(push_up), draw(many=50).pace_s(push_up))
    assert not np.array_equal(draw(many=50).pace_s(push_up), draw(many=50, seed=2).pace_s(push_up))
