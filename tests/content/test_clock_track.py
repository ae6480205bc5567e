"""The cues of a day: each where it belongs, one at a time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.challenge import WorkoutDay
from content.clock_track import LEAD_IN_S, TAIL_S, Cue, Mark, day_track, even_pace
from content.loading import DEMO, load_challenge, movement_library
from content.task import task_of
from content.timing import warm_up_s
from tests.content.builders import a_task, a_workout_day

PUSH_UPS = [{"movement": "push-up", "reps": 10}]
OPEN = [{"movement": "push-up"}]
WORKOUT_AT = 70  # ten seconds, and one movement of 45 s with 15 s to move on
TO_START = [
    *[(7, "tick"), (8, "tick"), (9, "tick"), (10, "begin"), (55, "change")],
    *[(67, "tick"), (68, "tick"), (69, "tick"), (70, "start")],
]


def cues(day, *, pace_s=()):
    return [(mark.at_s, str(mark.cue)) for mark in day_track(day, pace_s=pace_s).marks]


def ticks(end):
    return [(end - left, "tick") for left in (3, 2, 1)]


@pytest.mark.parametrize(
    ("workout", "rungs", "expected"),
    [
        pytest.param(
            {"score": "rounds_and_reps", "shape": "repeat", "window": "10 min"},
            PUSH_UPS,
            [(370, "half"), (610, "last_minute"), *ticks(670), (670, "end")],
            id="window",
        ),
        pytest.param(
            {"score": "time", "shape": "once", "cap": "3 min"},
            PUSH_UPS,
            [(160, "half"), (190, "last_minute"), *ticks(250), (250, "end")],
            id="cap",
        ),
        pytest.param(
            {"score": "time", "shape": "once", "cap": "2 min"},
            PUSH_UPS,
            [(130, "last_minute"), *ticks(190), (190, "end")],
            id="last_minute_is_halfway",
        ),
        pytest.param(
            {"score": "total_reps", "shape": "open", "window": "1 min"},
            OPEN,
            [*ticks(130), (130, "end")],
            id="a_minute_has_no_last_one",
        ),
        pytest.param(
            {"score": "time", "shape": "once"}, PUSH_UPS, [], id="no_clock_just_the_start"
        ),
        pytest.param(
            {
                "score": "lowest_round",
                "shape": "open",
                "intervals": {"rounds": 3, "work": "40 s", "rest": "20 s"},
            },
            OPEN,
            [
                *[(110, "change"), *ticks(130), (130, "start")],
                *[(170, "change"), *ticks(190), (190, "start")],
                *[*ticks(230), (230, "end")],
            ],
            id="intervals",
        ),
        pytest.param(
            {
                "score": "lowest_round",
                "shape": "open",
                "intervals": {"rounds": 3, "work": "1 min", "rest": "0 s"},
            },
            OPEN,
            [
                *[*ticks(130), (130, "start"), *ticks(190), (190, "start")],
                *[*ticks(250), (250, "end")],
            ],
            id="intervals_without_rest",
        ),
        pytest.param(
            {
                "score": "lowest_round",
                "shape": "open",
                "intervals": {"rounds": 2, "work": "20 s", "rest": "4 s"},
            },
            OPEN,
            [(90, "change"), (94, "start"), *ticks(114), (114, "end")],
            id="a_short_rest_has_no_room_for_ticks",
        ),
    ],
)
def test_the_workout_is_cued_by_its_clock(workout, rungs, expected):
    day = a_workout_day(rungs, **workout)

    assert cues(day) == TO_START + expected


def test_each_warm_up_movement_begins_and_is_left():
    day = load_challenge(DEMO).days[0]

    marks = day_track(day).marks

    begins = [mark.at_s for mark in marks if mark.cue is Cue.BEGIN]
    changes = [mark.at_s for mark in marks if mark.cue is Cue.CHANGE]
    assert begins == [10 + 60 * n for n in range(8)]
    assert changes == [55 + 60 * n for n in range(8)]


@pytest.mark.parametrize("number", [1, 2, 3, 5, 6, 7])
def test_the_workout_starts_when_the_warm_up_of_the_day_is_over(number):
    """The length is that of `timing.warm_up_s`, which the day's post shows too."""
    day = load_challenge(DEMO).days[number - 1]
    assert isinstance(day, WorkoutDay)
    timed = day.warm_up
    length = warm_up_s(len(timed.movements), work_s=timed.work_s, move_on_s=timed.move_on_s)

    track = day_track(day)

    assert track.starts_at_s == LEAD_IN_S + length
    assert Mark(track.starts_at_s, Cue.START) in track.marks
    assert track.length_s == track.marks[-1].at_s + TAIL_S


def test_a_pace_is_even_in_rounds_of_the_same_size():
    task = a_task(PUSH_UPS)  # 14 minutes

    assert even_pace(task, 4) == (210, 420, 630)


def test_a_pace_follows_the_size_of_the_rounds():
    task = a_task(
        [{"movement": "push-up"}], score="time", shape="scheme", scheme=[20, 10, 10], cap="4 min"
    )

    assert even_pace(task, 3) == (120, 180)


@pytest.mark.parametrize(
    ("rungs", "workout", "rounds"),
    [
        pytest.param(PUSH_UPS, {}, 1, id="one_round"),
        pytest.param(PUSH_UPS, {}, 61, id="too_many"),
        pytest.param(
            [{"movement": "push-up"}],
            {"score": "time", "shape": "scheme", "scheme": [20, 10], "cap": "4 min"},
            3,
            id="more_than_the_ladder_has",
        ),
        pytest.param(
            PUSH_UPS, {"score": "time", "shape": "repeat", "rounds": 5}, 5, id="no_clock"
        ),
        pytest.param(OPEN, {"score": "hold", "shape": "open"}, 3, id="no_ladder"),
    ],
)
def test_without_rounds_and_clock_there_is_no_pace(rungs, workout, rounds):
    assert even_pace(a_task(rungs, **workout), rounds) == ()


def test_divisions_share_a_track_unless_their_pace_differs():
    """Day 2 of the demo: 22-16-10 in full, 18-14-8 in lighter."""
    day = load_challenge(DEMO).days[1]
    assert isinstance(day, WorkoutDay)
    full, lighter = (
        even_pace(task_of(day, division, movement_library()), 3)
        for division in ("full", "lighter")
    )

    assert full != lighter
    assert day_track(day, pace_s=full) != day_track(day, pace_s=lighter)


def test_a_pace_cue_gives_way_to_what_matters_more():
    day = a_workout_day(PUSH_UPS)

    marks = day_track(day, pace_s=(420, 421, 840, 900)).marks

    assert Mark(WORKOUT_AT + 420, Cue.HALF) in marks
    assert [mark.at_s for mark in marks if mark.cue is Cue.PACE] == [WORKOUT_AT + 421]


@given(
    work=st.integers(1, 90),
    rest=st.integers(0, 90),
    rounds=st.integers(1, 20),
    pace=st.lists(st.integers(-5, 5000), max_size=20),
)
def test_cues_come_in_order_one_in_a_second_and_the_end_is_last(work, rest, rounds, pace):
    day = a_workout_day(
        OPEN,
        score="lowest_round",
        shape="open",
        intervals={"rounds": rounds, "work": f"{work} s", "rest": f"{rest} s"},
    )

    track = day_track(day, pace_s=pace)

    seconds = [mark.at_s for mark in track.marks]
    assert seconds == sorted(set(seconds))
    assert seconds[0] > 0
    assert [mark.at_s for mark in track.marks if mark.cue is Cue.END] == [seconds[-1]]
    assert sum(mark.cue is Cue.START for mark in track.marks) == rounds
