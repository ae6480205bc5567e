"""The words behind /plan, and the nearest names of a zone."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.plan_text import tell_bad_words
from bot.plan_values import (
    Move,
    Pause,
    PostNow,
    Resume,
    SetTime,
    SetZone,
    Skip,
    Swap,
    Unskip,
)
from bot.plan_words import BadWords, ChangeDay, Copy, Look, Show, read_plan_words, zones
from bot.wording import Wording

FRIDAY = date(2026, 3, 6)


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        pytest.param("", Show(Look.PLAN), id="nothing"),
        pytest.param("preview 3", Show(Look.PREVIEW, 3), id="preview"),
        pytest.param("Preview day 3", Show(Look.PREVIEW, 3), id="preview_day"),
        pytest.param("day 3", Show(Look.DAY, 3), id="day"),
        pytest.param("now 3", PostNow(3), id="now"),
        pytest.param("change 3", ChangeDay(3), id="change"),
        pytest.param(
            "Change day 3: AMRAP 12:\n  10 push-ups\n",
            ChangeDay(3, "AMRAP 12:\n  10 push-ups"),
            id="change_with_its_lines",
        ),
        pytest.param("skip 3", Skip(3), id="skip"),
        pytest.param("SKIP DAY 12", Skip(12), id="capitals"),
        pytest.param("unskip 3", Unskip(3), id="unskip"),
        pytest.param("swap 3 5", Swap(3, 5), id="swap"),
        pytest.param("swap days 3 and 5", Swap(3, 5), id="swap_in_words"),
        pytest.param("move 4 2026-03-06", Move(4, FRIDAY), id="move"),
        pytest.param("move day 4 to 2026-03-06", Move(4, FRIDAY), id="move_in_words"),
        pytest.param("start 2026-03-06", Move(1, FRIDAY), id="start"),
        pytest.param("pause", Pause(), id="pause"),
        pytest.param("resume", Resume(), id="resume"),
        pytest.param("resume on 2026-03-06", Resume(FRIDAY), id="resume_on"),
        pytest.param("post 06:30", SetTime("post", "06:30"), id="post"),
        pytest.param("post at 6.30", SetTime("post", "06:30"), id="post_with_a_dot"),
        pytest.param("close 21:30", SetTime("close", "21:30"), id="close"),
        pytest.param("reminder 19:00", SetTime("reminder", "19:00"), id="reminder"),
        pytest.param("reminder off", SetTime("reminder", None), id="reminder_off"),
        pytest.param("results 22:00", SetTime("standings", "22:00"), id="results"),
        pytest.param("results at close", SetTime("standings", None), id="results_at_close"),
        pytest.param("zone Europe/Paris", SetZone("Europe/Paris"), id="zone"),
        pytest.param("zone america/new york", SetZone("America/New_York"), id="zone_as_spoken"),
        pytest.param("copy 2026-03-06", Copy(FRIDAY), id="copy"),
        pytest.param("history", Show(Look.HISTORY), id="history"),
        pytest.param("times", Show(Look.TIMES), id="times"),
    ],
)
def test_words_say_a_wish(text, wish):
    assert read_plan_words(text) == wish


@pytest.mark.parametrize(
    ("text", "key"),
    [
        pytest.param("dance", "words", id="unknown"),
        pytest.param("pause please", "words", id="too_many_words"),
        pytest.param("skip", "number", id="which_day"),
        pytest.param("skip three", "number", id="no_number"),
        pytest.param("skip 3 4", "number", id="two_numbers"),
        pytest.param("swap 3", "numbers", id="one_of_two"),
        pytest.param("move 4", "move", id="no_date"),
        pytest.param("move 4 friday", "date", id="date_in_words"),
        pytest.param("move 4 2026-02-30", "date", id="no_such_date"),
        pytest.param("move 4 20260306", "date", id="other_format"),
        pytest.param("post", "time", id="no_time"),
        pytest.param("post 24:00", "time", id="no_such_hour"),
        pytest.param("post 6:60", "time", id="no_such_minute"),
        pytest.param("close off", "time", id="a_close_cannot_be_off"),
        pytest.param("zone", "zone", id="no_zone"),
        pytest.param("zone Pariss", "zone", id="unknown_zone"),
        pytest.param("copy next week", "date", id="copy_without_a_date"),
    ],
)
def test_words_that_say_none_are_told_what_would_be_right(text, key):
    found = read_plan_words(text)

    assert isinstance(found, BadWords)
    assert found.key == key
    assert "/plan" in (told := tell_bad_words(Wording(), found)) or "as in" in told


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("Pariss", "Europe/Paris"),
        ("lisboa", "Europe/Lisbon"),
        ("New York", "America/New_York"),
        ("europe/berln", "Europe/Berlin"),
        ("Katmandu", "Asia/Katmandu"),
    ],
)
def test_an_unknown_zone_gets_the_nearest_names(text, nearest):
    found = read_plan_words(f"zone {text}")

    assert isinstance(found, BadWords)
    assert nearest in found.nearest
    assert all(ZoneInfo(name) for name in found.nearest)


def test_every_zone_can_be_named_in_any_letter_case():
    assert [read_plan_words(f"zone {name.upper()}") for name in zones()] == [
        SetZone(name) for name in zones()
    ]


@given(text=st.text(max_size=80))
def test_no_words_make_the_reader_raise_and_all_get_an_answer(text):
    found = read_plan_words(text)

    if isinstance(found, BadWords):
        assert tell_bad_words(Wording(), found)
