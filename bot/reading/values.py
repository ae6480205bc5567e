"""What the reader makes of a message."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, assert_never

from bot.reading.weather import Fault
from content.score import Score, kilograms, score_to_json
from content.weather.outlook import Air


class Why(StrEnum):
    """Why we ask instead of recording."""

    EXTRA_REPS_EXCEED_ROUND = "extra_reps_exceed_round"
    MORE_THAN_THE_LADDER = "more_than_the_ladder"
    OVER_THE_CAP = "over_the_cap"
    TOO_FAST = "too_fast"
    TWO_SCORES = "two_scores"
    BARE_NUMBER = "bare_number"
    CAP_BOTH_WAYS = "cap_both_ways"
    REPS_AT_THE_CAP = "reps_at_the_cap"
    WHICH_RUNG = "which_rung"
    WHICH_UNIT = "which_unit"
    HALF_A_ROUND = "half_a_round"
    UNSURE = "unsure"


class About(StrEnum):
    """What a question is about."""

    OPTION = "option"
    STANDARD = "standard"
    KIT = "kit"
    LOAD = "load"
    TODAY = "today"
    WARMUP = "warmup"
    TIME = "time"
    SCORE_RULE = "score_rule"
    STANDINGS = "standings"
    MINE = "mine"
    SAFETY = "safety"
    REGISTER = "register"


@dataclass(frozen=True, slots=True)
class DayWord:
    """A day named in the text: so many days from today, or a number. One of them is set."""

    offset: int | None = None
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """What stood beside a score."""

    quote: str  # the slice of the message it rests on
    division: str | None = None
    day: DayWord | None = None
    correction: bool = False
    effort: int | None = None  # 0 to 10
    load_g: int | None = None  # the weight used, in grams, where it is not the score


@dataclass(frozen=True, slots=True)
class ScoreRead:
    """A score, sure."""

    score: Score
    said: Said
    also: tuple[ScoreRead, ...] = ()  # for other days, told in the same message


@dataclass(frozen=True, slots=True)
class Ask:
    """Perhaps a score; each choice is a complete one. No choices: ask for it in words.

    `also` are sure scores of other days beside it in the message.
    """

    why: Why
    choices: tuple[Score, ...]
    said: Said
    also: tuple[ScoreRead, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeBack:
    """The sender wants their score taken out, of the day that is on or of the one named."""

    day: DayWord | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """A question we can answer."""

    about: About
    movement: str | None = None  # id
    among: tuple[str, ...] = ()  # ids, when the name fits several
    weather: Air | Fault | None = None  # what it tells of heat, cold and air; about safety


@dataclass(frozen=True, slots=True)
class Caution:
    """Signs of an emergency; they win over everything else in the message."""

    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chatter:
    """Nothing for us."""


Reading = ScoreRead | Ask | TakeBack | Question | Caution | Chatter


def reading_to_json(reading: Reading) -> dict[str, Any]:
    """Write a reading as one JSON object; keys that do not apply are absent."""
    match reading:
        case ScoreRead():
            body: dict[str, Any] = {"kind": "score", "result": score_to_json(reading.score)}
            return body | _said_to_json(reading.said) | _also_to_json(reading.also)
        case Ask():
            choices = [score_to_json(choice) for choice in reading.choices]
            body = {"kind": "ask", "why": reading.why.value, "choices": choices}
            return body | _said_to_json(reading.said) | _also_to_json(reading.also)
        case TakeBack():
            return {"kind": "take_back"} | ({"day": day} if (day := _day(reading.day)) else {})
        case Question():
            body = {"kind": "question", "about": reading.about.value}
            named = {"movement": reading.movement} if reading.movement else {}
            body |= named | ({"among": list(reading.among)} if reading.among else {})
            return body | ({"weather": _weather(reading.weather)} if reading.weather else {})
        case Caution():
            return {"kind": "caution", "signs": list(reading.signs)}
        case Chatter():
            return {"kind": "chatter"}
        case _:
            assert_never(reading)


def _weather(told: Air | Fault) -> dict[str, Any]:
    if isinstance(told, Fault):
        return {"fault": told.value}
    temperature, wind = told.temperature, told.wind
    beside: dict[str, Any] = {
        "temperature_c": None if temperature is None else round(float(temperature.celsius), 1),
        "humidity": None if told.humidity is None else float(told.humidity),
        "wind_kmh": None if wind is None else round(float(wind.kmh), 1),
        "aqi": told.aqi,
        "pm25": None if told.pm25 is None else float(told.pm25),
    }
    return {key: value for key, value in beside.items() if value is not None}


def _also_to_json(also: Sequence[ScoreRead]) -> dict[str, Any]:
    return {"also": [reading_to_json(each) for each in also]} if also else {}


def _said_to_json(said: Said) -> dict[str, Any]:
    beside: dict[str, Any] = {
        "division": said.division,
        "day": _day(said.day),
        "correction": said.correction or None,
        "effort": said.effort,
        "load_kg": None if said.load_g is None else kilograms(said.load_g),
        "quote": said.quote or None,
    }
    return {key: value for key, value in beside.items() if value is not None}


def _day(day: DayWord | None) -> dict[str, int] | None:
    if day is None:
        return None
    named = {"offset": day.offset, "number": day.number}
    return {key: value for key, value in named.items() if value is not None}
