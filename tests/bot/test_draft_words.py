"""What stands behind /write and on its buttons."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.draft_text import tell_bad_draft_words
from bot.draft_wishes import (
    Begin,
    BeginIn,
    DayWish,
    Define,
    Easier,
    Means,
    OfDay,
    Page,
    PutZone,
    SetCautions,
    SetCount,
    SetDivisions,
    SetTitle,
    Show,
    UseChange,
    WriteDay,
)
from bot.draft_words import read_draft_key, read_draft_words, zone_named
from bot.plan_values import SetTime
from bot.plan_words import BadWords
from bot.wording import Wording
from content.movement import Pattern


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        pytest.param("", Show(Page.DRAFT), id="nothing"),
        pytest.param("3", WriteDay(3), id="day"),
        pytest.param("day 3", WriteDay(3), id="day_said"),
        pytest.param(
            "3:\nAMRAP 12:\n 10 push-ups", WriteDay(3, "AMRAP 12:\n 10 push-ups"), id="text"
        ),
        pytest.param("3 24-18-12 burpees", WriteDay(3, "24-18-12 burpees"), id="figures_behind"),
        pytest.param("title  Seven Mornings", SetTitle("Seven Mornings"), id="title"),
        pytest.param("title", Show(Page.TITLE), id="title_asked"),
        pytest.param("zone Lisbon", PutZone("Europe/Lisbon"), id="town"),
        pytest.param("ZONE europe/lisbon", PutZone("Europe/Lisbon"), id="zone"),
        pytest.param("zone", Show(Page.ZONE), id="zone_asked"),
        pytest.param("divisions A, B", SetDivisions("A, B"), id="divisions"),
        pytest.param("cautions\n• one\n- two\n", SetCautions(("one", "two")), id="cautions"),
        pytest.param("days 5", SetCount(5), id="days"),
        pytest.param("post 6:30", SetTime("post", "06:30"), id="post"),
        pytest.param("results close", SetTime("standings", None), id="results"),
        pytest.param("reminder off", SetTime("reminder", None), id="reminder"),
        pytest.param("times", Show(Page.TIMES), id="times"),
        pytest.param("preview 3", DayWish(OfDay.SEE, 3), id="preview"),
        pytest.param("clear 3", DayWish(OfDay.CLEAR, 3), id="clear"),
        pytest.param("picture day 3", DayWish(OfDay.PICTURE, 3), id="picture"),
        pytest.param("review", Show(Page.REVIEW), id="review"),
        pytest.param("file", Show(Page.FILE), id="file"),
        pytest.param("begin", Begin(), id="begin"),
        pytest.param("begin 2026-03-02", Begin(date(2026, 3, 2)), id="begin_on"),
        pytest.param("discard", Show(Page.DISCARD), id="discard"),
        pytest.param("discard sure", Show(Page.DISCARD_SURE), id="discard_sure"),
        pytest.param("help", Show(Page.HELP), id="help"),
    ],
)
def test_words_and_buttons_say_the_same_wish(text, wish):
    assert read_draft_words(text) == wish
    assert read_draft_key(text.split(":")) == wish


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("dance", "words"),
        ("days many", "count"),
        ("days 0", "count"),
        ("days 61", "count"),
        ("preview three", "number"),
        ("begin tomorrow", "date"),
        ("post noon", "time"),
        ("discard it", "words"),
        ("review 3", "words"),
        ("zone Lisboa", "zone"),
    ],
)
def test_other_words_are_told_with_what_would_be_right(text, key):
    found = read_draft_words(text)

    assert isinstance(found, BadWords)
    assert found.key == key
    told = tell_bad_draft_words(Wording(), found)
    assert "/write" in told


@pytest.mark.parametrize(
    ("parts", "wish"),
    [
        ("begin:-1001:739768:5001", BeginIn(-1001, 739768, 5001)),
        ("is:3:0:1a2b3c4d:air-squat", Means(3, 0, "1a2b3c4d", "air-squat")),
        ("new:3:0:1a2b3c4d", Define(3, 0, "1a2b3c4d")),
        ("new:3:0:1a2b3c4d:core", Define(3, 0, "1a2b3c4d", Pattern.CORE)),
        ("easier:bird-dog", Easier("bird-dog")),
        ("use:1a2b3c4d", UseChange("1a2b3c4d")),
    ],
)
def test_what_only_buttons_say(parts, wish):
    assert read_draft_key(parts.split(":")) == wish


@pytest.mark.parametrize(
    "parts",
    [
        "begin:x:1:1",
        "begin:1:2:9999999999999999999",
        "is:a:0:m:x",
        "new:1:0:m:dance",
        "is:1:٣:m:x",
    ],
)
def test_forged_buttons_say_nothing(parts):
    assert isinstance(read_draft_key(parts.split(":")), BadWords)


@given(text=st.text(max_size=80))
def test_no_words_make_the_reader_raise(text):
    for found in (read_draft_words(text), read_draft_key(text.split(":"))):
        if isinstance(found, BadWords):
            assert tell_bad_draft_words(Wording(), found)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Lisbon", "Europe/Lisbon"),
        ("new york", "America/New_York"),
        ("America/Argentina/Ushuaia", "America/Argentina/Ushuaia"),
        ("utc", "UTC"),
    ],
)
def test_a_zone_is_named_by_its_town(text, found):
    assert zone_named(text) == found


def test_a_town_that_is_not_known_gets_the_nearest_names():
    found = zone_named("Lisboa")

    assert isinstance(found, tuple)
    assert "Europe/Lisbon" in found
    assert all(ZoneInfo(name) for name in found)
