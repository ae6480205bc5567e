"""The common forms, one row each, and the reader's promises about any text."""

from __future__ import annotations

import sys
import time
import unicodedata
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.reading.reader import Scene, day_number
from bot.reading.values import Chatter, DayWord, reading_to_json
from content.score import Amount, RoundsAndReps, Unit
from tests.reading.corpus_check import DATES, SameDay

THREE_45 = {"rounds": 3, "reps": 45, "total_reps": 225}


def read(reader, content, day: int, text: str, division: str = "full", **known: Any) -> dict:
    scene = Scene(day, SameDay(content.days[day - 1]), division, **known)
    found = reading_to_json(reader.read(text, scene))
    found.pop("quote", None)
    return found


FORMS = [
    pytest.param(1, "3 rounds + 45", THREE_45, id="rounds_plus"),
    pytest.param(1, "3+45", THREE_45, id="bare_plus"),
    pytest.param(1, "3r45", THREE_45, id="glued"),
    pytest.param(1, "3 rds 45", THREE_45, id="short"),
    pytest.param(1, "three rounds plus forty-five", THREE_45, id="words"),
    pytest.param(1, "3️⃣➕4️⃣5️⃣", THREE_45, id="keycaps"),
    pytest.param(1, "３＋４５", THREE_45, id="fullwidth"),
    pytest.param(1, "٣+٤٥", THREE_45, id="arabic_digits"),
    pytest.param(1, "225 reps", THREE_45, id="total"),
    pytest.param(1, "round 4, 5 of 18 goblet squats", THREE_45, id="as_we_print_it"),
    pytest.param(1, "5 goblet squats into round 4", THREE_45, id="by_movement"),
    pytest.param(1, "3 full rounds", {"rounds": 3, "reps": 0, "total_reps": 180}, id="full"),
    pytest.param(1, "3½ rounds", {"rounds": 3, "reps": 30, "total_reps": 210}, id="exact_half"),
    pytest.param(
        1, "one rep short of 4 rounds", {"rounds": 3, "reps": 59, "total_reps": 239}, id="short_of"
    ),
    pytest.param(
        1,
        "finished the squats in round 3",
        {"rounds": 2, "reps": 58, "total_reps": 178},
        id="finished_a_rung",
    ),
    pytest.param(2, "9:41", {"time_s": 581}, id="clock"),
    pytest.param(2, "9 min 41 sec", {"time_s": 581}, id="clock_in_units"),
    pytest.param(2, "nine forty-one", {"time_s": 581}, id="clock_in_words"),
    pytest.param(
        2, "capped, 14 reps left", {"capped": True, "total_reps": 130}, id="left_at_the_cap"
    ),
    pytest.param(2, "cap, 76 reps", {"capped": True, "total_reps": 76}, id="reps_at_the_cap"),
    pytest.param(
        2, "DNF, made it to the 16s", {"capped": True, "total_reps": 66}, id="reached_at_the_cap"
    ),
    pytest.param(
        3,
        "12 11 11 10 9 9",
        {"amount": 9, "unit": "reps", "total_reps": 62},
        id="every_round",
    ),
    pytest.param(3, "lowest 9", {"amount": 9, "unit": "reps"}, id="lowest"),
    pytest.param(5, "2:05 hold", {"amount": 125, "unit": "s"}, id="hold"),
    pytest.param(5, "a minute and a half", {"amount": 90, "unit": "s"}, id="hold_in_words"),
    pytest.param(6, "2.1k", {"amount": 2100, "unit": "m"}, id="kilometres"),
    pytest.param(6, "1.3 miles", {"amount": 2092, "unit": "m"}, id="miles"),
    pytest.param(
        7,
        "finished the round of 14",
        {"rounds": 7, "reps": 0, "total_reps": 168},
        id="climbing_round",
    ),
    pytest.param(7, "12s + 9", {"rounds": 6, "reps": 9, "total_reps": 135}, id="climbing_plus"),
]


@pytest.mark.parametrize(("day", "text", "result"), FORMS)
def test_a_common_form_is_read(reader, content, day, text, result):
    assert read(reader, content, day, text) == {"kind": "score", "result": result}


@pytest.mark.parametrize(
    ("text", "beside"),
    [
        pytest.param("yesterday 3+45", {"day": {"offset": -1}}, id="yesterday"),
        pytest.param("day 2: 3+45", {"day": {"number": 2}}, id="day_number"),
        pytest.param("make that 3+45", {"correction": True}, id="correction"),
        pytest.param("3+45, RPE 8", {"effort": 8}, id="effort"),
        pytest.param("3+45 8/10 effort", {"effort": 8}, id="effort_of_ten"),
    ],
)
def test_what_stands_beside_a_score_is_kept(reader, content, text, beside):
    expected = {"kind": "score", "result": THREE_45} | beside

    assert read(reader, content, 1, text) == expected


def test_a_named_division_decides_the_ladder(reader, content):
    found = read(reader, content, 1, "lighter: 3+45")

    assert found["division"] == "lighter"
    assert found["result"] == {"rounds": 3, "reps": 45, "total_reps": 201}


def test_a_rest_is_corrected_by_its_number_alone(reader, content):
    found = read(reader, content, 1, "54 not 45", previous=RoundsAndReps(3, 45, 225))

    assert found["result"] == {"rounds": 3, "reps": 54, "total_reps": 234}


@pytest.mark.parametrize(
    ("day", "text", "why"),
    [
        pytest.param(1, "2 rounds + 400", "extra_reps_exceed_round", id="more_than_a_round"),
        pytest.param(1, "3 + 65", "extra_reps_exceed_round", id="four_and_a_bit"),
        pytest.param(1, "45", "bare_number", id="bare_number"),
        pytest.param(1, "40 rounds", "too_fast", id="faster_than_anyone"),
        pytest.param(1, "about 3 rounds", "unsure", id="vague"),
        pytest.param(1, "3+45 or 3+54", "two_scores", id="one_or_the_other"),
        pytest.param(1, "3+45?", "unsure", id="asked_back"),
        pytest.param(2, "cap + 14", "cap_both_ways", id="cap_plus"),
        pytest.param(2, "DNF", "reps_at_the_cap", id="cap_alone"),
        pytest.param(2, "12:34", "over_the_cap", id="over_the_cap"),
        pytest.param(2, "0:20", "too_fast", id="too_fast_a_time"),
    ],
)
def test_what_is_unsure_or_impossible_is_asked(reader, content, day, text, why):
    found = read(reader, content, day, text)

    assert (found["kind"], found.get("why")) == ("ask", why)


@pytest.mark.parametrize(
    "text",
    [
        "see you at 6:30, bringing my 2 kids",
        "3 rounds in and dying",
        "aiming for 4+",
        "4+10 from you is insane",
        "didn't do 3 rounds",
        "last year I got 4+10",
        "> 3 rounds + 45",
        "my number is 07700 900123",
        "that killed me",
        "",
        "🙂",
    ],
)
def test_what_is_not_for_us_gets_silence(reader, content, text):
    assert read(reader, content, 1, text) == {"kind": "chatter"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param(
            "what's the lighter option for the lunges?",
            {"about": "option", "movement": "forward-lunge"},
            id="option",
        ),
        pytest.param(
            "is there something easier than goblt squats?",
            {"about": "option", "movement": "goblet-squat"},
            id="option_with_a_slip",
        ),
        pytest.param("how is this scored?", {"about": "score_rule"}, id="score_rule"),
        pytest.param("how do I join?", {"about": "register"}, id="register"),
        pytest.param("who's winning?", {"about": "standings"}, id="standings"),
    ],
)
def test_a_question_is_told_by_subject_and_movement(reader, content, text, expected):
    assert read(reader, content, 1, text) == {"kind": "question"} | expected


def test_an_emergency_wins_over_a_score(reader, content):
    found = read(reader, content, 1, "3 rounds + 45 but now chest pain")

    assert found == {"kind": "caution", "signs": ["chest_pain"]}


def test_the_quote_is_a_slice_of_the_message(reader, content):
    text = "Puh! 3️⃣➕4️⃣5️⃣, was für ein Morgen"
    scene = Scene(1, SameDay(content.days[0]), "full")

    assert reader.read(text, scene).said.quote == "3️⃣➕4️⃣5️⃣"


def test_a_score_beside_a_name_of_the_group_is_somebody_elses(reader, content):
    text = "marta 4+10 today"

    assert read(reader, content, 1, text)["kind"] != "chatter"
    assert read(reader, content, 1, text, people=frozenset({"marta"}))["kind"] == "chatter"


def test_two_scores_for_two_days_are_both_read(reader, content):
    days = dict(enumerate(content.days, start=1))
    reading = reader.read("today 2.4 km, and yesterday's plank 2:15", Scene(6, days, "full"))

    assert reading.score == Amount(2400, Unit.METRES)
    assert [(other.score, other.said.day) for other in reading.also] == [
        (Amount(135, Unit.SECONDS), DayWord(offset=-1))
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("please remove my score", {"kind": "take_back"}, id="today"),
        pytest.param(
            "remove my score from day 2", {"kind": "take_back", "day": {"number": 2}}, id="a_day"
        ),
        pytest.param("quita mi puntuación", {"kind": "take_back"}, id="spanish"),
        pytest.param("supprime mon score", {"kind": "take_back"}, id="french"),
        pytest.param("bitte meinen Wert löschen", {"kind": "take_back"}, id="german"),
        pytest.param("apaga o meu resultado", {"kind": "take_back"}, id="portuguese"),
    ],
)
def test_a_score_can_be_taken_back_in_words(reader, content, text, expected):
    assert read(reader, content, 1, text) == expected


def test_a_new_score_beside_it_is_a_correction_and_no_taking_back(reader, content):
    found = read(reader, content, 1, "delete my score, it's 3+44")

    assert found["result"]["total_reps"] == 224


@pytest.mark.parametrize(
    ("day", "text", "number"),
    [
        pytest.param(3, "Tuesday's was 9:41", 2, id="yesterday"),
        pytest.param(6, "lo del lunes: 3 rondas + 45", 1, id="spanish"),
        pytest.param(3, "für Dienstag 9:41", 2, id="german"),
    ],
)
def test_a_weekday_names_the_latest_day_that_fell_on_it(reader, content, day, text, number):
    days = dict(enumerate(content.days, start=1))
    reading = reader.read(text, Scene(day, days, "full", dates=DATES))

    assert reading.said.day == DayWord(number=number)


# Day 3 was moved from Wednesday 3 June to Friday, day 4 along with it; day 5 was called off.
MOVED = {1: date(2026, 6, 1), 2: date(2026, 6, 2), 3: date(2026, 6, 5), 4: date(2026, 6, 6)}


@pytest.mark.parametrize(
    ("said_on", "text", "number"),
    [
        pytest.param(date(2026, 6, 6), "yesterday 3+45", 3, id="yesterday_by_its_date"),
        pytest.param(date(2026, 6, 5), "yesterday 3+45", None, id="no_day_yesterday"),
        pytest.param(date(2026, 6, 6), "Friday's was 3+45", 3, id="weekday_by_its_date"),
        pytest.param(date(2026, 6, 6), "Tuesday's was 3+45", 2, id="weekday_before_the_gap"),
        pytest.param(date(2026, 6, 6), "Wednesday's was 3+45", None, id="no_day_that_weekday"),
        pytest.param(date(2026, 6, 6), "Sunday's was 3+45", 4, id="weekday_before_the_start"),
        pytest.param(date(2026, 6, 6), "3+45", 4, id="without_a_word_the_day_that_is_on"),
        pytest.param(date(2026, 6, 6), "day 3: 3+45", 3, id="by_number"),
    ],
)
def test_days_need_not_be_on_consecutive_dates(reader, content, said_on, text, number):
    days = dict.fromkeys(range(1, 5), content.days[0])
    scene = Scene(4, days, "full", dates=MOVED, said_on=said_on)

    reading = reader.read(text, scene)

    assert reading_to_json(reading)["result"]["total_reps"] == 225
    assert day_number(reading.said.day, scene) == number


def test_the_weight_used_is_kept_beside_a_score(reader, content):
    found = read(reader, content, 1, "3 rounds + 45 with 35 lb, RPE 8")

    assert found["load_kg"] == pytest.approx(35 * 0.45359237, abs=0.001)  # the pound of 1959
    assert found["effort"] == 8


def test_every_decimal_digit_of_every_script_is_read(reader, content):
    """Source: Unicode, General_Category Nd (UAX #44)."""
    scene = Scene(6, SameDay(content.days[5]), "full")
    digits = [c for c in map(chr, range(sys.maxunicode + 1)) if unicodedata.category(c) == "Nd"]
    for digit in digits:
        found = reading_to_json(reader.read(f"2{digit}00 m", scene))
        assert found["result"]["amount"] == 2000 + 100 * int(digit), hex(ord(digit))


PIECES = (
    *("3", "45", "+", "rounds", "reps", "round", "12:34", "capped", "left", "dnf", "not", "you"),
    *("at", "and", "a", "half", "lunges", "goblet", "squats", "yesterday", "day", "2", "or", "?"),
    *("lighter", ".", "\n", ",", "-", "/", "total", "lowest", "km", "m", "s", "min", "kg", "½"),
    *("٣", "three", "forty", "finished", "got to", "into", "the", "4th", "of", '"', "'", "x"),
)
ANY_TEXT = st.text(max_size=4096) | st.lists(st.sampled_from(PIECES), max_size=300).map(" ".join)


@settings(max_examples=300, deadline=None)
@given(text=ANY_TEXT, day=st.integers(1, 7))
def test_the_reader_never_raises(reader, content, text, day):
    reading = reader.read(text, Scene(day, SameDay(content.days[day - 1]), "full"))

    reading_to_json(reading)
    if not text.strip():
        assert reading == Chatter()


HOSTILE = ["3r", "3+", "1.", "1\n", "cap ", "?", "a-", "nine hundred and ", '"a ', "12s + 9 "]


@pytest.mark.parametrize("unit", HOSTILE)
def test_the_time_grows_no_faster_than_the_text(reader, content, unit):
    """Ratios of processor time, the least of several: eight times the text costs eight times more.

    `python -m tests.bench reading` prints milliseconds.
    """
    scene = Scene(2, SameDay(content.days[1]), "full")
    least = dict.fromkeys((512, 4096), float("inf"))

    for _ in range(9):  # in turn, so that a busy moment of the machine meets both
        for length in least:
            text = (unit * length)[:length]
            started = time.process_time()
            reader.read(text, scene)
            least[length] = min(least[length], time.process_time() - started)

    assert least[4096] < 24 * least[512]
