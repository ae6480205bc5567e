"""Say what heat, cold and air usually ask for, on one screen. Never that anything is safe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from bot.reading.weather import Fault, is_about_weather
from bot.running import Running
from bot.wording import Wording, lines
from content.challenge import RestDay, WorkoutDay
from content.review.effort import assumed_effort
from content.score import ScoreKind
from content.timing import intervals_s
from content.units import plain
from content.weather.air_quality import HIGHEST_AQI
from content.weather.heat import CHART_ENDS_F
from content.weather.outlook import Air, Hazard, Kind, Level, hazards, uses_wind
from content.weather.quantities import Scale, Temperature, celsius, whole
from content.workout import Workout
from store.values import Day

# A workout without a clock: long enough to be hard work, so that it counts as hard. Common
# practice, no source.
_WITHOUT_CLOCK_S = 12 * 60


@dataclass(frozen=True, slots=True)
class Today:
    """The day that the weather is asked for, and the challenge's own cautions, one at least."""

    number: int
    written: WorkoutDay | RestDay
    cautions: tuple[str, ...]


def today_of(running: Running, day: Day) -> Today:
    """Give what the weather is asked for on a day."""
    return Today(day.number, running.written[day.number], running.content.head.cautions)


def weather_text(say: Wording, told: Air | Fault, today: Today | None) -> Markup:
    """Answer somebody who told the weather.

    Args:
        say: The texts.
        told: What was told.
        today: The day that is on, or None where no challenge runs.
    """
    if isinstance(told, Fault):
        return say(f"weather_fault_{told}")
    found = hazards(told, effort=_effort(today))
    parts = [lines(_facts(say, told, found))]
    if today is not None:
        parts.append(_day(say, today, found))
    parts.append(lines([say("weather_measures"), *_measures(say, found)]))
    parts.append(lines(say(f"weather_signs_{each.kind}") for each in _graver(found)))
    if today is not None:
        parts.append(say("weather_caution", caution=_caution(today)))
    parts.append(say("weather_close"))
    return Markup("\n\n").join(part for part in parts if part)


def _effort(today: Today | None) -> int | None:
    if today is None or isinstance(today.written, RestDay):
        return None
    workout = today.written.workout
    return today.written.effort or assumed_effort(workout.score, _length_s(workout))


def _length_s(workout: Workout) -> int:
    if workout.intervals is not None:
        each = workout.intervals
        return intervals_s(each.rounds, work_s=each.work_s, rest_s=each.rest_s)
    return workout.window_s or workout.cap_s or _WITHOUT_CLOCK_S


def _facts(say: Wording, air: Air, found: Sequence[Hazard]) -> Iterator[Markup]:
    """Say what was told, and each index with its category."""
    yield say("weather_heading", said=", ".join(map(str, _said(say, air))))
    for hazard in found:
        yield _index(say, air, hazard)
        if hazard.lacks:
            yield say(f"weather_lacks_{hazard.kind}")
        elif hazard.kind is Kind.COLD and not uses_wind(air):
            yield say("weather_calm")
        if hazard.kind is Kind.AIR and air.pm25 is not None:
            yield say("weather_from_dust")
        if hazard.kind is Kind.HEAT and hazard.level > Level.USUAL:
            yield say("weather_sun")
    temperature = air.temperature
    if temperature is not None and temperature.is_assumed:
        is_c = temperature.scale is Scale.CELSIUS
        yield say(
            "weather_assumed",
            amount=plain(temperature.amount),
            scale="Celsius" if is_c else "Fahrenheit",
            other="F" if is_c else "C",
        )


def _said(say: Wording, air: Air) -> Iterator[Markup]:
    if air.temperature is not None:
        yield _temperature(say, air.temperature)
    if air.humidity is not None:
        yield say("weather_humidity", humidity=plain(air.humidity))
    if air.wind is not None:
        yield say("weather_wind", wind=f"{plain(air.wind.amount)} {air.wind.unit}")
    if air.aqi is not None:
        yield say("weather_aqi", aqi=air.aqi)
    if air.pm25 is not None:
        yield say("weather_dust", dust=plain(air.pm25))


def _temperature(say: Wording, temperature: Temperature) -> Markup:
    """Write a temperature as it was written, the other scale in whole degrees behind it."""
    own = _degrees(plain(temperature.amount), temperature.scale)
    if temperature.scale is Scale.CELSIUS:
        other = _degrees(whole(temperature.fahrenheit), Scale.FAHRENHEIT)
    else:
        other = _degrees(whole(temperature.celsius), Scale.CELSIUS)
    return say("weather_temperature", own=own, other=other)


def _degrees(amount: int | str, scale: Scale) -> str:
    return f"{amount} °{scale}".replace(
        "-", "\u2212", 1
    )  # a hyphen would be cut off at a line's end


def _index(say: Wording, air: Air, hazard: Hazard) -> Markup:
    band = say(f"weather_band_{hazard.band}")
    if hazard.kind is Kind.AIR:
        is_off = hazard.value > HIGHEST_AQI or (air.aqi is None and hazard.value == HIGHEST_AQI)
        aqi = say("weather_more_than", value=HIGHEST_AQI) if is_off else hazard.value
        return say("weather_air", aqi=aqi, band=band)
    value, beyond = hazard.value, hazard.kind is Kind.HEAT and hazard.value > CHART_ENDS_F
    shown = [
        (_degrees(whole(celsius(min(value, CHART_ENDS_F))), Scale.CELSIUS)),
        (_degrees(min(value, CHART_ENDS_F), Scale.FAHRENHEIT)),
    ]
    if air.temperature is not None and air.temperature.scale is Scale.FAHRENHEIT:
        shown.reverse()
    felt: Markup = say("weather_temperature", own=shown[0], other=shown[1])
    if beyond:
        felt = say("weather_more_than", value=felt)
    return say(f"weather_felt_{hazard.kind}", felt=felt, band=band)


def _day(say: Wording, today: Today, found: Sequence[Hazard]) -> Markup:
    if isinstance(today.written, RestDay):
        return say("weather_day_rest")
    raised = any(each.is_raised for each in found)
    key = "weather_day_hard" if raised else "weather_day"
    parts = [say(key, day=today.number, title=today.written.title)]
    if _is_outdoors(today.written.workout):
        parts.append(say("weather_day_outdoors"))
    return Markup(" ").join(parts)


def _is_outdoors(workout: Workout) -> bool:
    """Say whether a workout covers ground; everything else can be done in a room."""
    rungs = [rung for own in workout.divisions.values() for rung in own.rungs]
    return workout.score is ScoreKind.DISTANCE or any(rung.metres is not None for rung in rungs)


def _measures(say: Wording, found: Sequence[Hazard]) -> Iterator[Markup]:
    for hazard in _graver(found):
        yield say(f"weather_measures_{hazard.measures}")


def _graver(found: Sequence[Hazard]) -> Sequence[Hazard]:
    """Give the hazards that ask for something; without one, all."""
    return [each for each in found if each.level > Level.USUAL] or found


def _caution(today: Today) -> str:
    """Give the organiser's own words: about the weather, else the challenge's first caution."""
    written = (*today.written.cautions, *today.cautions)
    return next((caution for caution in written if is_about_weather(caution)), today.cautions[0])
