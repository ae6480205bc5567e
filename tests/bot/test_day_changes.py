"""What differs between two versions of a day, in the words that the group reads."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.day_changes import day_changes
from bot.wording import Wording
from content.challenge import RestDay, WorkoutDay
from content.loading import DEMO, load_challenge, movement_library
from content.shorthand.jotting import jot

CONTENT = load_challenge(DEMO)
TEXT = """Title: Bollards
Note: slowly
warm-up 45/15: march, arm circles
AMRAP 12: 10 push-ups, 12 swings 16 kg
lighter: 8 kg swings
caution: wet"""


def a_day(text: str = TEXT) -> WorkoutDay | RestDay:
    day = jot(text, library=movement_library(), divisions=CONTENT.head.divisions[:2]).day
    assert day is not None
    return day


def told(old: WorkoutDay | RestDay, new: WorkoutDay | RestDay) -> list[str]:
    found = day_changes(
        Wording(), old, new, divisions=CONTENT.head.divisions, movements=movement_library()
    )
    return [str(each) for each in found]


@pytest.mark.parametrize(
    ("this", "that", "words"),
    [
        pytest.param("Bollards", "Piers", ["the title is “Piers”"], id="title"),
        pytest.param("slowly", "fast", ["the words about it"], id="words"),
        pytest.param("march, arm", "hip hinges, arm", ["the warm-up"], id="warm_up"),
        pytest.param("wet", "dry", ["the cautions"], id="cautions"),
        pytest.param("AMRAP 12", "AMRAP 14", ["the clock or the rounds"], id="clock"),
        pytest.param("AMRAP 12", "5 rounds for time", ["how it is scored"], id="rule"),
        pytest.param(
            "10 push-ups",
            "8 push-ups",
            [
                "Full: 8 push-ups instead of 10 push-ups",
                "Lighter: 8 push-ups instead of 10 push-ups",
            ],
            id="count",
        ),
        pytest.param(
            "lighter: 8 kg",
            "lighter: 12 kg",
            [
                (
                    "Lighter: 12 kettlebell swings · 12 kg (26 lb) instead of "
                    "12 kettlebell swings · 8 kg (18 lb)"
                )
            ],
            id="load",
        ),
        pytest.param(
            "10 push-ups, ",
            "10 push-ups, 5 burpees, ",
            ["Full: other work", "Lighter: other work"],
            id="another_rung",
        ),
        pytest.param("wet", "wet", [], id="nothing"),
    ],
)
def test_each_difference_is_told_once(this, that, words):
    assert told(a_day(), a_day(TEXT.replace(this, that))) == words


def test_a_workout_that_becomes_a_rest_day_and_back():
    rest = a_day("Title: Bollards\nrest day: slowly\ncaution: wet")

    assert told(a_day(), rest) == ["it is a rest day now"]
    assert told(rest, a_day()) == ["it is a workout day now"]


def test_many_differences_end_with_how_many_more():
    old, new = CONTENT.days[0], CONTENT.days[1]
    found = told(old, new)

    assert len(found) <= 8
    assert told(new, old) != []


@given(pair=st.tuples(*[st.sampled_from(CONTENT.days)] * 2))
def test_days_that_differ_have_something_told_and_equal_ones_nothing(pair):
    old, new = pair

    assert bool(told(old, new)) == (old != new)
