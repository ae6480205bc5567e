"""The words for the weather: every language alike, and a sixth is data alone."""

from __future__ import annotations

import pytest

from bot.reading.weather import Told, is_about_weather, read_weather
from content.errors import ContentInvalid
from content.weather.quantities import Scale, Speed
from content.weather_words import load_weather_words, weather_languages
from content.words import languages

LANGUAGES = weather_languages()


def test_every_language_of_the_reader_has_them():
    assert languages() == LANGUAGES


def test_a_language_without_a_file_is_refused():
    with pytest.raises(ContentInvalid, match="no such file"):
        load_weather_words("xx")


def every(name):
    return [
        pytest.param(language, phrase, id=f"{language}-{phrase}".replace(" ", "_"))
        for language in LANGUAGES
        for phrase in getattr(load_weather_words(language), name)
    ]


def air(text, language):
    told = read_weather(text, language)
    assert isinstance(told, Told), text
    return told.air


@pytest.mark.parametrize(("language", "phrase"), every("degrees"))
def test_every_word_for_degrees_is_read(language, phrase):
    assert air(f"33 {phrase} c", language).temperature.scale is Scale.CELSIUS


@pytest.mark.parametrize("name", ["celsius", "fahrenheit"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_scale_is_read(language, name):
    for phrase in getattr(load_weather_words(language), name):
        assert air(f"41° {phrase}", language).temperature.scale.name == name.upper()


@pytest.mark.parametrize(("language", "phrase"), every("humidity"))
def test_every_word_for_humidity_is_read_before_and_behind(language, phrase):
    assert air(f"33°C, 61% {phrase}", language) == air(f"{phrase}: 61, 33°C", language)
    assert air(f"33°C, 61% {phrase}", language).humidity == 61


@pytest.mark.parametrize(("language", "phrase"), every("temperature"))
def test_every_word_for_temperature_is_read(language, phrase):
    assert air(f"{phrase} 31", language).temperature.amount == 31


@pytest.mark.parametrize(("language", "phrase"), every("percent"))
def test_every_word_for_percent_is_read(language, phrase):
    assert air(f"33°C, 61 {phrase}", language).humidity == 61


@pytest.mark.parametrize(("language", "phrase"), every("wind"))
def test_every_word_for_wind_is_read(language, phrase):
    assert air(f"-8°C, {phrase} 30 km/h", language).wind.amount == 30


@pytest.mark.parametrize(("language", "phrase"), every("minus"))
def test_every_minus_is_read(language, phrase):
    assert air(f"{phrase} 8°C, 30 km/h", language).temperature.amount == -8


@pytest.mark.parametrize("name", ["kmh", "ms", "mph"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_unit_of_wind_is_read(language, name):
    for phrase in getattr(load_weather_words(language), name):
        assert air(f"-8°C, 9 {phrase}", language).wind.unit is Speed[name.upper()]


@pytest.mark.parametrize(("language", "phrase"), every("aqi"))
def test_every_word_for_the_index_is_read(language, phrase):
    assert air(f"{phrase} 160", language).aqi == 160


@pytest.mark.parametrize(("language", "phrase"), every("joins"))
def test_every_joining_word_may_stand_between(language, phrase):
    assert air(f"-33 {phrase} 30 km/h", language).temperature.amount == -33


@pytest.mark.parametrize(("language", "phrase"), every("going"))
def test_every_word_of_going_makes_it_a_question_to_us(language, phrase):
    assert read_weather(f"33°C 60%, {phrase}?", language).asks
    assert not read_weather(f"33°C 60%, {phrase}", language).asks


@pytest.mark.parametrize(("language", "phrase"), every("past"))
def test_the_weather_of_another_day_is_no_question(language, phrase):
    going = load_weather_words(language).going[0]

    assert not read_weather(f"33°C 60% {phrase}, {going}?", language).asks


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_of_caution_is_found(language):
    for phrase in load_weather_words(language).caution:
        assert is_about_weather(f"{phrase.title()}: 1, 2")
    assert not is_about_weather("Wet stone is slippery.")
