"""Every score we write is read back as the same score, on any day it can stand on."""

from __future__ import annotations

from decimal import Decimal
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.reading.plausible import is_possible
from bot.reading.reader import Reader, Scene
from bot.reading.values import ScoreRead
from bot.score_text import example_score, place_text, rung_text, score_text
from content.challenge import WorkoutDay
from content.ladder import locate, split, total_work
from content.loading import DEMO, load_challenge, movement_library
from content.movement import CountUnit
from content.score import Amount, Capped, Done, Finished, RoundsAndReps, ScoreKind, Unit
from content.task import task_of
from content.units import grams_from_lb
from tests.content.builders import DIVISIONS, a_task, a_workout_day

DEMO_CHALLENGE = load_challenge(DEMO)
ON_DEMO = [
    pytest.param(number, division.id, id=f"day_{number}_{division.id}")
    for number, day in enumerate(DEMO_CHALLENGE.days, start=1)
    if isinstance(day, WorkoutDay)
    for division in DEMO_CHALLENGE.head.divisions
]
ON_A_LADDER = [case for case in ON_DEMO if case.values[0] in {1, 2, 7}]
DEMO_READER = Reader(movements=DEMO_CHALLENGE.movements, divisions=DEMO_CHALLENGE.head.divisions)
READER = Reader(movements=movement_library(), divisions=DIVISIONS)


def read_back(text, reader, day, division="full"):
    """Read a text as the reader of a group would."""
    return reader.read(text, Scene(1, {1: day}, division))


def lines_of(score, task):
    """Return what the bot writes of a score: alone, and with its place."""
    place = place_text(score, task)
    alone = score_text(score)
    return [alone, f"{alone} → {place}"] if place else [alone]


def assert_read_back(score, task, reader, day, division="full"):
    for text in lines_of(score, task):
        reading = read_back(text, reader, day, division)
        assert isinstance(reading, ScoreRead), (text, reading)
        assert reading.score == score, text


def scores_of(task):
    """Give a strategy for the scores a person can have had on a task."""
    match task.workout.score:
        case ScoreKind.ROUNDS_AND_REPS:
            most = next(n for n in count(1) if task.fastest_s(n) > task.clock_s) - 1
            scores = st.integers(1, most).map(
                lambda total: RoundsAndReps(*split(task.steps, total), total)
            )
        case ScoreKind.TIME:
            work = total_work(task.steps)
            # On the very second of the cap we ask whether the work was done.
            longest = task.workout.cap_s - 1 if task.workout.cap_s else 4 * 3600
            scores = st.integers(1, longest).map(Finished)
            if task.workout.cap_s and work > 1:
                scores |= st.integers(1, work - 1).map(Capped)
        case ScoreKind.LOWEST_ROUND:
            scores = st.integers(0, 400).flatmap(
                lambda low: st.sampled_from(
                    [Amount(low, Unit.REPS), Amount(low, Unit.REPS, low * 6 + 7)]
                )
            )
        case ScoreKind.TOTAL_REPS:
            scores = st.integers(0, 2000).map(lambda n: Amount(n, Unit.REPS))
        case ScoreKind.HOLD:
            scores = st.integers(1, 3600).map(lambda n: Amount(n, Unit.SECONDS))
        case ScoreKind.DISTANCE:
            scores = st.integers(0, 100_000).map(lambda n: Amount(n, Unit.METRES))
        case ScoreKind.LOAD:
            kilograms = st.integers(1, 400_000).map(lambda n: Amount(n, Unit.KILOGRAMS))
            halves = st.integers(1, 800).map(lambda n: Amount(n * 500, Unit.KILOGRAMS))
            pounds = st.integers(1, 1760).map(
                lambda n: Amount(grams_from_lb(Decimal(n) / 2), Unit.KILOGRAMS)
            )
            scores = kilograms | halves | pounds
        case ScoreKind.DONE:
            scores = st.just(Done())
    return scores.filter(lambda score: is_possible(score, task))


@pytest.mark.parametrize(("number", "division"), ON_DEMO)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_scores_of_the_demo_are_read_back(number, division, data):
    day = DEMO_CHALLENGE.days[number - 1]
    task = task_of(day, division, DEMO_CHALLENGE.movements)
    score = data.draw(scores_of(task))

    assert_read_back(score, task, DEMO_READER, day, division)


@pytest.mark.parametrize(("number", "division"), ON_A_LADDER)
def test_every_place_on_a_ladder_of_the_demo_is_read_back(number, division):
    """Without chance: the first rounds of every ladder, repetition by repetition."""
    day = DEMO_CHALLENGE.days[number - 1]
    task = task_of(day, division, DEMO_CHALLENGE.movements)
    capped = task.workout.score is ScoreKind.TIME
    most = (total_work(task.steps) or 250) - 1

    for total in range(1, most + 1):
        score = Capped(total) if capped else RoundsAndReps(*split(task.steps, total), total)
        if is_possible(score, task):
            assert_read_back(score, task, DEMO_READER, day, division)


BY_UNIT = {
    unit.value: [m.id for m in movement_library().values() if m.unit is unit]
    for unit in (CountUnit.REPS, CountUnit.METRES, CountUnit.SECONDS)
}
ONE_SIDED = {m.id for m in movement_library().values() if m.one_sided}


@st.composite
def a_rung(draw, *, with_count=True):
    if with_count and draw(st.integers(0, 4)) == 0:
        unit = draw(st.sampled_from(["metres", "seconds"]))
        rung = {
            "movement": draw(st.sampled_from(BY_UNIT[unit])),
            unit: draw(st.integers(1, 20)) * 20,
        }
        every = draw(st.sampled_from([None, 5, 20]))
        return rung | ({"every": every} if every else {})
    rung = {"movement": draw(st.sampled_from(BY_UNIT["reps"]))}
    if with_count:
        rung["reps"] = draw(st.integers(1, 40))
    if rung["movement"] in ONE_SIDED and draw(st.booleans()):
        rung["each_side"] = True
    return rung


@st.composite
def a_day_of_any_kind(draw):
    """Give a day of one division, of any shape and kind of score."""
    kind = draw(st.sampled_from(ScoreKind))
    if kind is ScoreKind.ROUNDS_AND_REPS:
        shape = draw(
            st.sampled_from(
                [{"shape": "repeat"}, {"shape": "climb", "step": 2, "window": "20 min"}]
            )
        )
        workout = {"window": "15 min"} | shape
    elif kind is ScoreKind.TIME:
        shape = draw(
            st.sampled_from(
                [
                    {"shape": "repeat", "rounds": 3},
                    {"shape": "once"},
                    {"shape": "scheme", "scheme": [21, 15, 9]},
                    {"shape": "climb", "step": 3, "rounds": 4},
                ]
            )
        )
        workout = shape | draw(st.sampled_from([{"cap": "25 min"}, {}]))
    elif kind is ScoreKind.LOWEST_ROUND:
        workout = {"shape": "open", "intervals": {"rounds": 6, "work": "60 s", "rest": "30 s"}}
    else:
        workout = {"shape": "open"} | draw(st.sampled_from([{"window": "10 min"}, {}]))
    scheme_or_open = workout["shape"] in {"scheme", "open"}
    unit = a_rung(with_count=not scheme_or_open)
    rungs = draw(st.lists(unit, min_size=1, max_size=5))
    if workout["shape"] == "climb":
        rungs = [rung for rung in rungs if "every" not in rung] or [
            {"movement": "burpee", "reps": 3}
        ]
    return a_workout_day(rungs, score=kind, **workout)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_scores_of_any_day_are_read_back(data):
    day = data.draw(a_day_of_any_kind())
    task = task_of(day, "full", movement_library())
    score = data.draw(scores_of(task))

    assert_read_back(score, task, READER, day)


@pytest.mark.parametrize(("number", "division"), ON_DEMO)
def test_the_example_of_a_day_is_a_score_of_that_day(number, division):
    day = DEMO_CHALLENGE.days[number - 1]
    task = task_of(day, division, DEMO_CHALLENGE.movements)

    reading = read_back(example_score(task), DEMO_READER, day, division)

    assert isinstance(reading, ScoreRead), (example_score(task), reading)


@pytest.mark.parametrize(
    "second", [{"movement": "backpack-carry", "metres": 20}, {"movement": "plank", "seconds": 20}]
)
def test_a_rung_that_is_not_done_is_read_back_as_not_done(second):
    rungs = [{"movement": "farmer-carry", "metres": 20}, second]
    kind = ScoreKind.ROUNDS_AND_REPS
    day = a_workout_day(rungs, score=kind, shape="repeat", window="15 min")

    assert_read_back(RoundsAndReps(0, 1, 1), task_of(day, "full", movement_library()), READER, day)


@settings(max_examples=60, deadline=None)
@given(day=a_day_of_any_kind())
def test_the_example_of_any_day_is_a_score_of_that_day(day):
    task = task_of(day, "full", movement_library())

    reading = read_back(example_score(task), READER, day)

    assert isinstance(reading, ScoreRead), (example_score(task), reading)


@pytest.mark.parametrize(
    ("score", "text"),
    [
        pytest.param(RoundsAndReps(3, 45, 225), "3 rounds + 45", id="rounds_and_reps"),
        pytest.param(RoundsAndReps(1, 2, 62), "1 round + 2", id="one_round"),
        pytest.param(RoundsAndReps(4, 0, 240), "4 full rounds", id="whole_rounds"),
        pytest.param(RoundsAndReps(1, 0, 60), "1 full round", id="one_whole_round"),
        pytest.param(RoundsAndReps(0, 17, 17), "0 rounds + 17", id="no_whole_round"),
        pytest.param(Finished(581), "9:41", id="time"),
        pytest.param(Finished(3723), "1:02:03", id="more_than_an_hour"),
        pytest.param(Capped(130), "capped at 130 reps", id="capped"),
        pytest.param(Capped(1), "capped at 1 rep", id="capped_at_one"),
        pytest.param(Amount(85, Unit.REPS), "85 reps", id="reps"),
        pytest.param(Amount(9, Unit.REPS, 62), "lowest 9, total 62", id="lowest_with_total"),
        pytest.param(Amount(95, Unit.SECONDS), "1:35", id="hold"),
        pytest.param(Amount(2100, Unit.METRES), "2100 m", id="distance"),
        pytest.param(Amount(22_500, Unit.KILOGRAMS), "22.5 kg", id="load"),
        pytest.param(Amount(81_647, Unit.KILOGRAMS), "180 lb", id="load_in_pounds"),
        pytest.param(Done(), "done", id="done"),
    ],
)
def test_scores_in_words(score, text):
    assert score_text(score) == text


# Rounds of 60: 8 + 20 + 12 + 18 + 2.
FIVE_RUNGS = a_task(
    [
        {"movement": "push-up", "reps": 8},
        {"movement": "forward-lunge", "reps": 20},
        {"movement": "dumbbell-row", "reps": 12},
        {"movement": "goblet-squat", "reps": 18},
        {"movement": "burpee", "reps": 2},
    ]
)
WITH_A_RUN_RUNGS = [
    {"movement": "run", "metres": 200},
    {"movement": "bear-crawl", "metres": 40, "every": 10},
    {"movement": "split-squat", "reps": 5, "each_side": True},
    {"movement": "side-plank", "seconds": 30, "every": 5},
    {"movement": "burpee", "reps": 1},
]
WITH_A_RUN_CLOCK = {"score": "time", "shape": "repeat", "rounds": 3, "cap": "20 min"}
WITH_A_RUN = a_task(WITH_A_RUN_RUNGS, **WITH_A_RUN_CLOCK)


@pytest.mark.parametrize(
    ("score", "task", "text"),
    [
        pytest.param(
            RoundsAndReps(3, 45, 225),
            FIVE_RUNGS,
            "round 4, 5 of 18 goblet squats; 225 reps",
            id="in_the_middle_of_a_rung",
        ),
        pytest.param(
            RoundsAndReps(3, 8, 188),
            FIVE_RUNGS,
            "round 4, 0 of 20 forward lunges; 188 reps",
            id="between_two_rungs",
        ),
        pytest.param(RoundsAndReps(3, 0, 180), FIVE_RUNGS, "180 reps", id="whole_rounds"),
        pytest.param(
            Capped(1),
            WITH_A_RUN,
            "round 1, bear crawl, metre 0 of 40; 1 rep",
            id="after_the_run",
        ),
        pytest.param(
            Capped(3),
            WITH_A_RUN,
            "round 1, bear crawl, metre 20 of 40; 3 reps",
            id="metres_by_tens",
        ),
        pytest.param(
            Capped(8), WITH_A_RUN, "round 1, 3 of 10 split squats; 8 reps", id="both_sides"
        ),
        pytest.param(
            Capped(17),
            WITH_A_RUN,
            "round 1, side plank, second 10 of 30; 17 reps",
            id="seconds",
        ),
        pytest.param(Capped(21), WITH_A_RUN, "round 1, 0 of 1 burpee; 21 reps", id="one"),
        pytest.param(Capped(22), WITH_A_RUN, "", id="whole_rounds_at_the_cap"),
        pytest.param(Finished(581), WITH_A_RUN, "", id="a_time_says_it_all"),
    ],
)
def test_places_in_words(score, task, text):
    assert place_text(score, task) == text


def test_a_rung_that_counts_as_one_is_either_done_or_not():
    assert rung_text(locate(WITH_A_RUN.steps, 0), WITH_A_RUN) == "on the 200-metre run"


@pytest.mark.parametrize("total", range(1, 66))
def test_every_place_among_metres_and_seconds_is_read_back(total):
    day = a_workout_day(WITH_A_RUN_RUNGS, **WITH_A_RUN_CLOCK)

    assert_read_back(Capped(total), WITH_A_RUN, READER, day)
