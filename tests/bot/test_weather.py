"""Somebody tells of heat, cold or bad air: one screen of usual measures, when it is for us."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from bot.messages import utf16_length
from bot.reading.weather import Fault, read_command
from bot.rehearsal.start import Rehearsal
from bot.weather_text import today_of, weather_text
from bot.wording import Wording
from content.weather.outlook import Air
from content.weather.quantities import Scale, Speed, Temperature, Wind
from tests.bot import acts
from tests.bot.test_bad_input import go_to
from tests.bot.test_day_text import DEMO_RUNNING

SAY = Wording()
SCREEN = 1300  # characters; about what a phone shows at once
HOT = "34 °C (93 °F), humidity 60 %"


def text_on(day, told):
    return weather_text(SAY, told, today_of(DEMO_RUNNING, DEMO_RUNNING.days[day - 1]))


def a_told(text):
    told = read_command(text)
    assert isinstance(told, Air)
    return told


def test_the_answer_says_index_category_measures_signs_and_who_comes_first():
    said = text_on(1, a_told("34 60")).split("\n\n")

    assert said[0] == (
        f"<b>{HOT}</b>\n"
        "Feels like about <b>42 °C (108 °F)</b> in the shade. Heat index of the US weather"
        " service: danger, the third of four.\n"
        "Full sun can add up to 8 °C (15 °F).\n"
        "I took 34 as Celsius; if not, write the letter: 34 F."
    )
    assert said[1] == "Day 1, Round the bollards."
    assert said[2].startswith("<b>Usual measures</b>\n• Move it")
    assert said[3].startswith("<b>Stop at once</b>")
    assert "your doctor come first" in said[-1]


EVERY = [
    *[f"{t} C {r} %" for t in (15, 27, 31, 36, 42, 50, 60) for r in (5, 50, 100)],
    *[f"{t} C {w} km/h" for t in (9, 0, -8, -20, -35, -60) for w in (0, 20, 80)],
    *[f"AQI {n}" for n in (0, 60, 120, 160, 250, 400, 900)],
    "PM2.5 48",
    "PM2.5 900",
    "38",
    "-8",
    "42 C, 80 %, 20 km/h, AQI 450, PM2.5 300",
]


@pytest.mark.parametrize("written", EVERY)
def test_every_answer_is_one_screen_and_promises_nothing(written):
    told = a_told(written)

    answers = [text_on(day, told) for day in range(1, 8)] + [weather_text(SAY, told, None)]

    for said in answers:
        assert not re.search(r"\b(?:is|are|it's|perfectly) safe\b|no danger|no risk", said)
        assert "<b>Usual measures</b>" in said
        assert said.endswith("your doctor come first.")
    if "AQI 450" not in written:  # heat and smoke at once are two lists
        assert max(utf16_length(said.striptags()) for said in answers) <= SCREEN


def test_what_was_not_told_is_said_to_be_missing():
    assert "Without the humidity" in text_on(1, a_told("38"))
    assert "Without the wind" in text_on(1, a_told("-8"))
    assert "Without" not in text_on(1, a_told("34 60"))


def test_wind_below_the_table_is_said_to_make_no_difference():
    calm = Air(Temperature(Decimal(-8), Scale.CELSIUS), wind=Wind(Decimal(3), Speed.KMH))

    assert "makes no difference" in text_on(1, calm)


def test_beyond_the_tables_there_is_no_number_of_our_own():
    assert "<b>more than 58 °C (136 °F)</b>" in text_on(1, a_told("55 C 90 %"))
    assert "<b>more than 500</b>" in text_on(1, a_told("AQI 900"))
    assert "<b>more than 500</b>" in text_on(1, a_told("PM2.5 900"))
    assert "<b>500</b>" in text_on(1, a_told("AQI 500"))


def test_the_scale_that_was_written_stands_first():
    said = text_on(1, a_told("95 F 50 %"))

    assert said.startswith("<b>95 °F (35 °C), humidity 50 %</b>")
    assert "<b>105 °F (41 °C)</b>" in said
    assert "I took" not in said


@pytest.mark.parametrize(
    ("day", "words"),
    [
        pytest.param(6, "It is meant for outdoors", id="a_run"),
        pytest.param(6, "is a hard one", id="hard_by_its_length"),
        pytest.param(4, "Today is a rest day", id="rest"),
        pytest.param(
            6, "From the organiser: Mind cyclists and the edge. In heat", id="on_weather"
        ),
        pytest.param(1, "From the organiser: Stop at once if you feel", id="else_the_first"),
    ],
)
def test_the_answer_is_for_the_days_workout(day, words):
    assert words in text_on(day, a_told("-8 C 30 km/h"))


def test_without_a_challenge_the_measures_are_given_all_the_same():
    said = weather_text(SAY, a_told("AQI 160"), None)

    assert "<b>160</b>: unhealthy" in said
    assert "Day " not in said


@pytest.mark.parametrize("fault", Fault)
def test_numbers_that_cannot_be_are_answered_with_an_example(fault):
    assert "For example: /weather" in text_on(1, fault) or "for example /weather" in text_on(
        1, fault
    )


async def test_a_question_in_the_group_is_answered(play: Rehearsal):
    [said] = await acts.say(play, "Marlow", "34 degrees and 60% humidity, do we go?")

    assert said.startswith(HOT)


@pytest.mark.parametrize("words", ["it's 33C, humidity 55", "AQI 160 today", "PM2.5 is 48"])
async def test_told_to_the_group_it_is_met_with_silence(play: Rehearsal, words):
    assert await acts.say(play, "Marlow", words) == []
    assert await acts.result(play, "Marlow") is None


async def test_said_to_the_bot_it_is_answered(play: Rehearsal):
    named = f"@{play.room.bot.username} it's 33C, humidity 55"
    [by_name] = await acts.say(play, "Marlow", named)
    post = next(
        m["message_id"]
        for m in play.room.messages(play.group)
        if m["from"]["id"] == play.room.bot.user_id
    )
    [as_reply] = await acts.say(play, "Marlow", "AQI 160 today", reply_to=post)

    assert by_name.startswith("33 °C (91 °F), humidity 55 %")
    assert as_reply.startswith("AQI 160\n")


async def test_a_name_that_only_begins_like_the_bots_is_not_the_bot(play: Rehearsal):
    named = f"@{play.room.bot.username}_two it's 33C, humidity 55"

    assert await acts.say(play, "Marlow", named) == []


async def test_in_private_it_is_answered(play: Rehearsal):
    marlow = play.people["Marlow"]
    marlow.has_started = True

    [said] = await acts.say(play, "Marlow", "-8 with 30 km/h wind", place=marlow)

    assert said.startswith("\u22128 °C (18 °F), wind 30 km/h")


async def test_the_command_answers_with_a_challenge_and_without(play: Rehearsal, eve: Rehearsal):
    [during] = await acts.say(play, "Marlow", "/weather 34 60")
    [before] = await acts.say(eve, "Marlow", "/weather 34 60")

    assert during.startswith(HOT)
    assert "Day 1, Round the bollards" in during
    assert before.startswith(HOT)
    assert "Day " not in before


async def test_an_unreadable_command_says_what_to_write(play: Rehearsal):
    [bare] = await acts.say(play, "Marlow", "/weather")
    [words] = await acts.say(play, "Marlow", "/weather is it hot?")
    [wrong] = await acts.say(play, "Marlow", "/weather 34 160")

    assert "/weather 34 60" in bare
    assert words == bare
    assert wrong.startswith("Humidity goes from 0 to 100")


async def test_the_weather_never_replaces_a_score(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    before = await acts.score(play, "Marlow")
    go_to(play, 1)

    await acts.say(play, "Marlow", "34 degrees and 60% humidity, do we go?")
    await acts.say(play, "Marlow", "34 60")
    await acts.say(play, "Marlow", "/weather 34 60")

    assert before is not None
    assert await acts.score(play, "Marlow") == before
