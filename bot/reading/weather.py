"""Read what a message tells of the weather. Strict: every number in it must belong to that.

"34 degrees and 60% humidity", "-8 with 30 km/h wind", "AQI 160", "PM2.5 is 48", in any language
there are words for. Two numbers without a unit are weather behind the command only.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import cache

from bot.reading.normalise import normalise
from content.weather.cold import WIND_CHILL_UP_TO_F
from content.weather.outlook import Air
from content.weather.quantities import Scale, Speed, Temperature, Wind
from content.weather_words import WeatherWords, load_weather_words, weather_languages

_LONGEST = 400  # characters; a longer message is about more than the weather
_SIGNS = re.compile(
    r"(?P<u>\bpm ?2[.,]?5\b)|(?P<g>[u\u03bc]g ?/ ?m\^?3)|(?P<q>\baqi\b)"
    r"|(?P<k>(?:km ?/ ?h|kmh|kph)\b)|(?P<m>m ?/ ?s\b)|(?P<l>mph\b)"
    r"|(?P<n>(?:(?<![\w.,:/%°+-])[+-])?\d{1,5}(?:[.,]\d{1,2}(?!\d))?)"
    r"|(?P<d>[°º])|(?P<p>%)|(?P<word>[^\W\d_]+)|(?P<j>[:=~])|(?P<comma>[,;.!()\n-])|(?P<ask>\?)"
    r"|(?P<x>\S)"
)
_MAY_TELL = re.compile(r"[°º%]|pm ?2|km|kph|m ?/ ?s|mph|aqi|\d ?[cf]\b")
_UNITS = {"k": Speed.KMH, "m": Speed.MS, "l": Speed.MPH}
# A letter for each token: n number, s minus, d degrees, c f scales, t temperature, h humidity,
# p percent, w wind, k m l its units, q AQI, u PM2.5, g its unit, j a word between, x any other.
_LETTERS = {
    "degrees": "d",
    "celsius": "c",
    "fahrenheit": "f",
    "minus": "s",
    "temperature": "t",
    "humidity": "h",
    "percent": "p",
    "wind": "w",
    "kmh": "k",
    "ms": "m",
    "mph": "l",
    "aqi": "q",
    "joins": "j",
}
_TOLD = {
    "dust": re.compile("uj{0,3}ng?|ng?j?u"),
    "aqi": re.compile("qj{0,3}n|nj?q"),
    "wind": re.compile("(?:wj{0,3})?n[kml](?:j{0,2}w)?"),
    "humidity": re.compile("hj{0,3}np?(?![dcfkmlg])|npj{0,2}h|nh"),
    "temperature": re.compile("(?:tj{0,3})?n(?:d[cf]?|[cf])|tj{0,3}n(?![pkmlg])"),
}
_PERCENT = re.compile("np")
_BESIDE = re.compile("(?:^|(?<=[j,]))n(?=[j,]{0,3}_)|(?<=_)[j,]{1,3}n(?=$|[?,])")
_TWO_NUMBERS = re.compile("nd?[cf]?[j,]?np?")
_WARMEST_C, _COLDEST_C = 60, -90  # nothing outside has been measured on earth
_MOST_KMH, _MOST_AQI, _MOST_DUST = 400, 2000, 2000
_ALL = 100  # percent
_CELSIUS_UP_TO = 50  # without a scale; above it no weather is in Celsius, below it few heat talks


class Fault(StrEnum):
    """Why numbers that are meant as weather cannot be taken so."""

    TEMPERATURE = "temperature"  # hotter or colder than anywhere on earth
    HUMIDITY = "humidity"  # not 0 to 100
    WIND = "wind"
    AIR = "air"
    UNIT = "unit"  # a second number that may be humidity or wind
    SCALE = "scale"  # Celsius or Fahrenheit makes all the difference


@dataclass(frozen=True, slots=True)
class Told:
    """What a message tells of the weather, or why that cannot be.

    `asks`: it is a question about what to do now. `is_past`: it speaks of another day.
    """

    air: Air | Fault
    asks: bool
    is_past: bool = False


def read_weather(text: str, language: str = "en", *, is_command: bool = False) -> Told | None:
    """Read a message; None when it is not about the weather alone.

    Args:
        text: As written.
        language: Tried first; then every other one.
        is_command: It was said to be the weather: "5 20 km/h" is no pace of somebody's run.
    """
    plain = normalise(text[: _LONGEST + 1]).text
    if len(text) > _LONGEST or not may_tell_weather(plain):
        return None
    for name in _order(language):
        words = _vocabulary(name)
        tokens = _tokens(plain, words)
        air = _air(tokens, is_command=is_command)
        if air is not None:
            asks = any(each.letter == "?" for each in tokens) and words.has_going(tokens)
            is_past = words.has_past(tokens)
            return Told(air, asks=asks and not is_past, is_past=is_past)
    return None


def read_command(text: str, language: str = "en") -> Air | Fault | None:
    """Read what stands behind the command: as in a message, or "34 60", or one temperature."""
    told = read_weather(text, language, is_command=True)
    if told is not None:
        return told.air
    tokens = _tokens(normalise(text[:_LONGEST]).text, _vocabulary(_order(language)[0]))
    code = "".join(each.letter for each in tokens)
    numbers = [each.value for each in tokens if each.letter == "n"]
    if _TWO_NUMBERS.fullmatch(code):
        temperature = _temperature(numbers[0], code)
        if temperature.fahrenheit <= WIND_CHILL_UP_TO_F and not code.endswith("p"):
            return Fault.UNIT  # humidity or wind? In the cold it is the wind that matters
        return _checked(Air(temperature, humidity=numbers[1]))
    if re.fullmatch("nd?[cf]?", code):
        return _checked(Air(_temperature(numbers[0], code)))
    return None


def is_about_weather(caution: str) -> bool:
    """Say whether a caution of the organiser's speaks of the weather, in any language."""
    return not _cautioning().isdisjoint(_split(caution))


@dataclass(frozen=True, slots=True)
class _Token:
    letter: str
    value: Decimal = Decimal(0)
    word: str = ""


@dataclass(frozen=True)
class _Vocabulary:
    """One language's phrases by their words, the longest tried first."""

    letters: Mapping[tuple[str, ...], str]
    longest: int
    going: frozenset[tuple[str, ...]]
    past: frozenset[tuple[str, ...]]

    def has_going(self, tokens: Sequence[_Token]) -> bool:
        """Say whether the words are those of somebody who asks what to do."""
        return _has(tokens, self.going)

    def has_past(self, tokens: Sequence[_Token]) -> bool:
        """Say whether the words speak of another day."""
        return _has(tokens, self.past)


def _has(tokens: Sequence[_Token], phrases: Iterable[tuple[str, ...]]) -> bool:
    words = [part for each in tokens for part in each.word.split()]
    return any(
        tuple(words[at : at + len(phrase)]) == phrase
        for phrase in phrases
        for at in range(len(words) - len(phrase) + 1)
    )


def _split(phrase: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[^\W\d_]+", normalise(phrase).text))


@cache
def _vocabulary(language: str) -> _Vocabulary:
    words: WeatherWords = load_weather_words(language)
    letters: dict[tuple[str, ...], str] = {("c",): "c", ("f",): "f"}
    for name, letter in _LETTERS.items():
        for phrase in getattr(words, name):
            letters.setdefault(_split(phrase), letter)
    return _Vocabulary(
        letters,
        max(map(len, letters)),
        going=frozenset(map(_split, words.going)),
        past=frozenset(map(_split, words.past)),
    )


@cache
def _order(language: str) -> tuple[str, ...]:
    known = weather_languages()
    return tuple(dict.fromkeys([*([language] if language in known else []), "en", *known]))


@cache
def _telling() -> frozenset[str]:
    named = ("degrees", "celsius", "fahrenheit", "temperature", "humidity", "aqi")
    return frozenset(
        word
        for language in weather_languages()
        for name in named
        for phrase in getattr(load_weather_words(language), name)
        for word in _split(phrase)
        if len(word) > 2  # noqa: PLR2004 - "de" and "of" tell nothing
    )


@cache
def _cautioning() -> frozenset[str]:
    known = map(load_weather_words, weather_languages())
    return frozenset(word for words in known for each in words.caution for word in _split(each))


def may_tell_weather(plain: str) -> bool:
    """Say cheaply whether a text can tell any weather."""
    if not any(sign.isdigit() for sign in plain):
        return False
    if _MAY_TELL.search(plain) is not None:
        return True
    return not _telling().isdisjoint(re.findall(r"[^\W\d_]+", plain))


def _tokens(plain: str, words: _Vocabulary) -> list[_Token]:
    found: list[_Token] = []
    waiting: list[str] = []  # words in a row; phrases are found in them
    for match in _SIGNS.finditer(plain):
        name, sign = str(match.lastgroup), match[0]
        if name == "word":
            waiting.append(sign)
            continue
        if sign == "." and plain[match.end() : match.end() + 1].isalnum():
            name = "x"  # no end of a sentence
        if waiting and name == "x" and sign == "'":
            continue  # inside a word
        found.extend(_phrases(waiting, words))
        waiting.clear()
        found.append(_sign(name, sign))
    found.extend(_phrases(waiting, words))
    return list(_with_minus(found))


def _sign(name: str, sign: str) -> _Token:
    match name:
        case "n":
            return _Token("n", Decimal(sign.replace(",", ".")))
        case "comma":
            return _Token(",")
        case "ask":
            return _Token("?")
        case _:
            return _Token(name)


def _phrases(row: Sequence[str], words: _Vocabulary) -> Iterator[_Token]:
    at = 0
    while at < len(row):
        sizes = range(min(words.longest, len(row) - at), 0, -1)
        size = next((s for s in sizes if tuple(row[at : at + s]) in words.letters), 0)
        phrase = tuple(row[at : at + max(size, 1)])
        yield _Token(words.letters.get(phrase, "x"), word=" ".join(phrase))
        at += max(size, 1)


def _with_minus(tokens: Sequence[_Token]) -> Iterator[_Token]:
    """Join "minus 8" to one number."""
    negative = False
    for token in tokens:
        if token.letter == "s":
            negative = True
            continue
        yield replace(token, value=-token.value) if negative and token.letter == "n" else token
        negative = False


def _air(tokens: Sequence[_Token], *, is_command: bool) -> Air | Fault | None:
    """Put together what was told, or None when it is not all, or not only, the weather."""
    code = "".join(each.letter for each in tokens)
    found: dict[str, tuple[Decimal, str]] = {}
    for what, pattern in _TOLD.items():
        code = _take(code, what, pattern, tokens, found)
    if "temperature" in found and "humidity" not in found:
        code = _take(code, "humidity", _PERCENT, tokens, found)
    if "temperature" not in found and {"humidity", "wind"} & found.keys():
        code = _take(code, "temperature", _BESIDE, tokens, found)
        if not is_command and _may_be_a_pace(found):
            return None
    if "n" in code or not _is_enough(found):
        return None
    return _checked(_told(found))


def _may_be_a_pace(found: Mapping[str, tuple[Decimal, str]]) -> bool:
    """Say whether a bare number beside a speed may be anything: "20 at 12 km/h"."""
    if "temperature" not in found or "humidity" in found or "wind" not in found:
        return False
    return found["temperature"][0] >= 0 and "w" not in found["wind"][1]


def _take(
    code: str,
    what: str,
    pattern: re.Pattern[str],
    tokens: Sequence[_Token],
    found: dict[str, tuple[Decimal, str]],
) -> str:
    """Take the one place a pattern fits out of the code; where it fits twice, nothing is taken."""
    matches = list(pattern.finditer(code))
    if len(matches) != 1:
        return code
    [match] = matches
    found[what] = tokens[match.start() + match[0].index("n")].value, match[0]
    return f"{code[: match.start()]}{'_' * len(match[0])}{code[match.end() :]}"


def _is_enough(found: Mapping[str, tuple[Decimal, str]]) -> bool:
    """Say whether it is weather beyond doubt: "90 degrees" alone may be an elbow."""
    if {"aqi", "dust"} & found.keys():
        return True
    if "temperature" not in found:
        return False
    if {"humidity", "wind"} & found.keys():
        return True
    written = found["temperature"][1]
    return "t" in written or "dc" in written or "df" in written


def _told(found: Mapping[str, tuple[Decimal, str]]) -> Air | Fault:
    amounts = {what: amount for what, (amount, _) in found.items()}
    wind = None
    if "wind" in found:
        unit = next(_UNITS[letter] for letter in found["wind"][1] if letter in _UNITS)
        wind = Wind(amounts["wind"], unit)
    temperature = None
    if "temperature" in found:
        temperature = _temperature(*found["temperature"])
        is_open = temperature.is_assumed and temperature.scale is Scale.CELSIUS
        if is_open and wind is not None and wind.unit is Speed.MPH:
            return Fault.SCALE  # miles are written beside either
    aqi = amounts.get("aqi")
    if aqi is not None and aqi != int(aqi):
        return Fault.AIR
    return Air(
        temperature,
        amounts.get("humidity"),
        wind,
        None if aqi is None else int(aqi),
        amounts.get("dust"),
    )


def _temperature(amount: Decimal, written: str | None) -> Temperature:
    """Give a temperature; without a scale it is Celsius as far as that can be."""
    for letter, scale in (("c", Scale.CELSIUS), ("f", Scale.FAHRENHEIT)):
        if written is not None and letter in written:
            return Temperature(amount, scale)
    scale = Scale.CELSIUS if amount <= _CELSIUS_UP_TO else Scale.FAHRENHEIT
    return Temperature(amount, scale, is_assumed=True)


def _checked(air: Air | Fault) -> Air | Fault:
    if isinstance(air, Fault):
        return air
    if air.temperature and not _COLDEST_C <= air.temperature.celsius <= _WARMEST_C:
        return Fault.TEMPERATURE
    if air.humidity is not None and not 0 <= air.humidity <= _ALL:
        return Fault.HUMIDITY
    if air.wind is not None and not 0 <= air.wind.kmh <= _MOST_KMH:
        return Fault.WIND
    is_air = 0 <= (air.aqi or 0) <= _MOST_AQI and 0 <= (air.pm25 or 0) <= _MOST_DUST
    return air if is_air else Fault.AIR
