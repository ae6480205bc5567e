"""What counts as weather in a message, and what must not."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.reading.reader import Reader, Scene
from bot.reading.values import About, Chatter, Question, ScoreRead, reading_to_json
from bot.reading.weather import Fault, read_command, read_weather
from content.loading import DEMO, load_challenge
from content.score import RoundsAndReps
from content.weather.outlook import Air
from content.weather.quantities import Scale, Speed, Temperature, Wind

CONTENT = load_challenge(DEMO)
DAYS = dict(enumerate(CONTENT.days, start=1))
READER = Reader(movements=CONTENT.movements, divisions=CONTENT.head.divisions)


def degrees(amount, scale=Scale.CELSIUS, *, is_assumed=False):
    return Temperature(Decimal(amount), scale, is_assumed)


def read(text: str, day: int = 1, **known: Any):
    return READER.read(text, Scene(day, DAYS, "full", **known))


HOT = Air(degrees(34, is_assumed=True), Decimal(60))

TOLD = [
    pytest.param("34 degrees and 60% humidity", HOT, id="words"),
    pytest.param("it's 33C, humidity 55", Air(degrees(33), Decimal(55)), id="scale_and_humidity"),
    pytest.param("33℃ 60% rh", Air(degrees(33), Decimal(60)), id="one_sign"),
    pytest.param("95F 40%", Air(degrees(95, Scale.FAHRENHEIT), Decimal(40)), id="fahrenheit"),
    pytest.param(
        "95 degrees, 40 percent",
        Air(degrees(95, Scale.FAHRENHEIT, is_assumed=True), Decimal(40)),
        id="no_celsius_so_hot",
    ),
    pytest.param(
        "-8 with 30 km/h wind",
        Air(degrees(-8, is_assumed=True), wind=Wind(Decimal(30), Speed.KMH)),
        id="bare_temperature_beside_wind",
    ),
    pytest.param(
        "20F with 30 mph wind",
        Air(degrees(20, Scale.FAHRENHEIT), wind=Wind(Decimal(30), Speed.MPH)),
        id="miles_per_hour",
    ),
    pytest.param(
        "wind 9 m/s, −4,5°C",  # a true minus and a decimal comma
        Air(degrees("-4.5"), wind=Wind(Decimal(9), Speed.MS)),
        id="metres_per_second",
    ),
    pytest.param("AQI 160 today", Air(aqi=160), id="index"),
    pytest.param("air quality index is 160", Air(aqi=160), id="index_in_words"),
    pytest.param("PM2.5 is 48", Air(pm25=Decimal(48)), id="dust"),
    pytest.param("pm 2,5: 48,3 µg/m³", Air(pm25=Decimal("48.3")), id="dust_with_unit"),
    pytest.param(
        "Temperature 31, humidity 70, wind 10 km/h, AQI 80",
        Air(degrees(31, is_assumed=True), Decimal(70), Wind(Decimal(10), Speed.KMH), 80),
        id="all_of_it",
    ),
    pytest.param("34 Grad und 60% Luftfeuchtigkeit", HOT, id="german"),
    pytest.param("34 grados y 60% de humedad", HOT, id="spanish"),
    pytest.param("34 degrés avec 60 % d'humidité", HOT, id="french"),
    pytest.param("34 graus e 60% de umidade", HOT, id="portuguese"),
    pytest.param("33°C, 160% humidity", Fault.HUMIDITY, id="no_such_humidity"),
    pytest.param("93°C, 60% humidity", Fault.TEMPERATURE, id="no_such_temperature"),
    pytest.param("-8°C, 900 km/h wind", Fault.WIND, id="no_such_wind"),
    pytest.param("AQI 99999", Fault.AIR, id="no_such_index"),
    pytest.param("20 with 30 mph wind", Fault.SCALE, id="either_scale"),
]


@pytest.mark.parametrize(("text", "air"), TOLD)
def test_the_weather_is_read(text, air):
    assert read_weather(text).air == air


@pytest.mark.parametrize(("text", "air"), TOLD)
@pytest.mark.parametrize("day", [1, 2, 3, 5, 6, 7])
def test_the_weather_is_no_score_on_any_day(text, air, day):
    assert isinstance(read(text, day), Chatter)
    assert read(text, day, to_us=True) == Question(About.SAFETY, weather=air)


NOT_WEATHER = [
    pytest.param("34 60", id="two_bare_numbers"),
    pytest.param("3+45", id="a_score"),
    pytest.param("3 rounds + 45, 34 degrees and 60% humidity", id="a_score_beside"),
    pytest.param("9:41 at 34°C and 60% humidity", id="a_time_beside"),
    pytest.param("should my elbow be at 90 degrees?", id="an_angle"),
    pytest.param("turn 180° in the air?", id="a_turn"),
    pytest.param("did it at 60%", id="effort"),
    pytest.param("2.1 km at 10 km/h", id="a_speed"),
    pytest.param("ran 12 km/h", id="a_speed_alone"),
    pytest.param("20 at 12 km/h", id="a_pace"),
    pytest.param("30-34 C and 60%", id="a_range"),
    pytest.param("33°C or 34°C, 60%", id="two_temperatures"),
    pytest.param("12 c", id="calories"),
    pytest.param("humidity is killing me", id="no_number"),
    pytest.param("", id="nothing"),
]


@pytest.mark.parametrize("text", NOT_WEATHER)
def test_what_is_not_the_weather_alone_is_left_to_others(text):
    assert read_weather(text) is None


def test_a_score_beside_the_weather_is_a_score():
    three_45 = RoundsAndReps(3, 45, 225)

    for text in ("3 rounds + 45, 34 degrees and 60% humidity", "3+45 in 33C"):
        found = read(text)
        assert isinstance(found, ScoreRead)
        assert found.score == three_45


def test_a_score_in_words_beside_the_weather_is_a_score():
    found = read("three rounds plus forty-five, 34 degrees and 60% humidity")

    assert isinstance(found, ScoreRead)
    assert found.score == RoundsAndReps(3, 45, 225)


def test_two_bare_numbers_are_no_weather_on_a_day_of_rounds():
    assert read("34 60", to_us=True) == read("34 60")
    assert not isinstance(read("34 60"), Question)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("34 degrees and 60% humidity, do we go?", id="en"),
        pytest.param("34 Grad und 60 % Luftfeuchte, laufen wir?", id="de"),
        pytest.param("34 grados y 60% de humedad, ¿salimos?", id="es"),
        pytest.param("34 degrés avec 60 % d'humidité, on y va ?", id="fr"),
        pytest.param("34 graus e 60% de humidade, vamos?", id="pt"),
    ],
)
def test_a_question_what_to_do_is_for_us(text):
    assert read(text) == Question(About.SAFETY, weather=HOT)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("it's 34 degrees and 60% humidity", id="told"),
        pytest.param("34 degrees and 60% humidity, who can believe it?", id="wondered"),
        pytest.param("it was 34 degrees and 60% humidity yesterday, did you run?", id="yesterday"),
    ],
)
def test_what_is_told_to_others_gets_no_answer(text):
    assert read(text) == Chatter()


def test_the_weather_of_another_day_gets_no_answer_even_said_to_us():
    assert read("it was 34 degrees and 60% humidity yesterday", to_us=True) == Chatter()


def test_a_sign_of_an_emergency_comes_before_the_weather():
    assert (
        reading_to_json(read("34°C and 60% humidity, I fainted, do we go?"))["kind"] == "caution"
    )


def test_as_json_the_weather_is_metric():
    assert reading_to_json(read("95F and 40% humidity, is it safe?"))["weather"] == {
        "temperature_c": 35.0,
        "humidity": 40.0,
    }
    assert reading_to_json(read("20 with 30 mph wind", to_us=True))["weather"] == {
        "fault": "scale"
    }


@pytest.mark.parametrize(
    ("text", "air"),
    [
        pytest.param("34 60", HOT, id="two_numbers"),
        pytest.param("34, 60 %", HOT, id="with_a_comma"),
        pytest.param("34C 60", Air(degrees(34), Decimal(60)), id="one_unit"),
        pytest.param(
            "93 60",
            Air(degrees(93, Scale.FAHRENHEIT, is_assumed=True), Decimal(60)),
            id="above_50_is_fahrenheit",
        ),
        pytest.param("50 10", Air(degrees(50, is_assumed=True), Decimal(10)), id="50_is_celsius"),
        pytest.param(
            "5 20 km/h",
            Air(degrees(5, is_assumed=True), wind=Wind(Decimal(20), Speed.KMH)),
            id="bare_beside_wind",
        ),
        pytest.param("38", Air(degrees(38, is_assumed=True)), id="temperature_alone"),
        pytest.param("38 f", Air(degrees(38, Scale.FAHRENHEIT)), id="with_a_scale"),
        pytest.param("aqi 160", Air(aqi=160), id="as_in_a_message"),
        pytest.param("-8 30", Fault.UNIT, id="humidity_or_wind"),
        pytest.param("-8 30%", Air(degrees(-8, is_assumed=True), Decimal(30)), id="humidity"),
        pytest.param("34 160", Fault.HUMIDITY, id="too_humid"),
        pytest.param("34 60 12", None, id="three_numbers"),
        pytest.param("hello", None, id="words"),
        pytest.param("", None, id="nothing"),
    ],
)
def test_behind_the_command_bare_numbers_are_weather(text, air):
    assert read_command(text) == air


@settings(max_examples=300, deadline=None)
@given(text=st.text() | st.text(alphabet="0123456789 °%cf-+.,:?/kmhaqidegrs"))
def test_any_text_is_read_without_an_error(text):
    told = read_weather(text)
    command = read_command(text)

    assert told is None or command == told.air


@given(
    tenths=st.integers(-400, 500),
    humidity=st.integers(0, 100),
    scale=st.sampled_from(Scale),
)
def test_every_temperature_is_read_as_written(tenths, humidity, scale):
    amount = Decimal(tenths) / 10

    told = read_weather(f"{amount}°{scale}, {humidity}% humidity")

    assert told.air == Air(Temperature(amount, scale), Decimal(humidity))
