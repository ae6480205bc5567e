"""How people tell the weather, one YAML file per language; a new language is data alone."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from content.fields import Strict
from content.loading import load_shipped

_FOLDER = Path(__file__).parent / "weather_words"


class WeatherWords(Strict):
    """What one language says. Phrases are lower case; accents may be left out in a message.

    Signs that every language writes alike (°, %, C, F, km/h, m/s, mph, AQI, PM2.5) stand in the
    reader. `joins` may stand between a number and what it counts; `going` are words of somebody
    who asks what to do; with a `past` word it is not today's weather. By a word of `caution` an
    organiser's caution is about the weather.
    """

    degrees: tuple[str, ...]
    celsius: tuple[str, ...]
    fahrenheit: tuple[str, ...]
    minus: tuple[str, ...]
    temperature: tuple[str, ...]
    humidity: tuple[str, ...]
    percent: tuple[str, ...]
    wind: tuple[str, ...]
    kmh: tuple[str, ...]
    ms: tuple[str, ...]
    mph: tuple[str, ...]
    aqi: tuple[str, ...]
    joins: tuple[str, ...]
    going: tuple[str, ...]
    past: tuple[str, ...]
    caution: tuple[str, ...]


_WORDS: TypeAdapter[WeatherWords] = TypeAdapter(WeatherWords)


@cache
def load_weather_words(language: str) -> WeatherWords:
    """Load a language's words for the weather.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_WORDS, _FOLDER / f"{language}.yaml")


def weather_languages() -> tuple[str, ...]:
    """Give the languages there are words for."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))
