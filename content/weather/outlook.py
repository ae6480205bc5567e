"""What heat, cold and air ask of a day: each hazard with its category and how careful to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import IntEnum, StrEnum
from fractions import Fraction

from content.weather.air_quality import AirBand, air_band, aqi_of_pm25
from content.weather.cold import (
    WIND_CHILL_UP_TO_F,
    ColdBand,
    cold_band,
    has_wind_chill,
    wind_chill_f,
)
from content.weather.heat import HeatBand, heat_band, heat_index_f
from content.weather.quantities import Temperature, Wind, whole


@dataclass(frozen=True, slots=True)
class Air:
    """What somebody tells of the air outside; None is not told.

    `humidity` in percent, 0 to 100; `pm25` in micrograms per cubic metre; `aqi` the US one.
    """

    temperature: Temperature | None = None
    humidity: Decimal | None = None
    wind: Wind | None = None
    aqi: int | None = None
    pm25: Decimal | None = None


class Kind(StrEnum):
    """What may be a hazard."""

    HEAT = "heat"
    COLD = "cold"
    AIR = "air"


class Level(IntEnum):
    """How careful to be; every step includes the ones before it."""

    USUAL = 0
    CARE = 1
    EASE = 2  # slower and shorter
    MOVE = 3  # another hour, indoors, or another day
    STOP = 4  # indoors or another day, for everybody


@dataclass(frozen=True, slots=True)
class Hazard:
    """One index with its category.

    `value` is the number shown: whole degrees F as felt, or the AQI. `level` is how careful to
    be today; `is_raised` says that a hard workout has made it one step more. `lacks` says that
    humidity (heat) or wind (cold) was not told, so that `value` is the bare temperature.
    """

    kind: Kind
    value: int
    band: HeatBand | ColdBand | AirBand
    level: Level
    is_raised: bool = False
    lacks: bool = False

    @property
    def measures(self) -> str:
        """The name of what is usually done about it, such as "heat_ease"."""
        return f"{self.kind}_{self.level.name.lower()}"


_HEAT = dict(zip(HeatBand, Level, strict=True))
_COLD = dict(zip(ColdBand, Level, strict=True))
_AIR = {
    AirBand.GOOD: Level.USUAL,
    AirBand.MODERATE: Level.CARE,
    AirBand.SENSITIVE: Level.EASE,
    # Source for the upper three: EPA and CDC, air quality and outdoor activity guidance for
    # schools: long and hard activities are moved; from 201 on all of them.
    AirBand.UNHEALTHY: Level.MOVE,
    AirBand.VERY_UNHEALTHY: Level.STOP,
    AirBand.HAZARDOUS: Level.STOP,
}
_HARD_EFFORT = 8  # of 10; from here on a day counts as hard. Common practice, no source.


def hazards(air: Air, *, effort: int | None = None) -> tuple[Hazard, ...]:
    """Look at everything that was told, the gravest first.

    Args:
        air: With a temperature, an AQI or a PM2.5; nothing gives nothing.
        effort: How hard the workout is, to 10. From 8 on, slight care becomes "slower and
            shorter", and that "move it" (common practice, no source). None on a rest day.
    """
    found = [*_felt(air), *_breathed(air)]
    if effort is not None and effort >= _HARD_EFFORT:
        found = [_raised(each) for each in found]
    return tuple(sorted(found, key=lambda each: -each.level))


def _felt(air: Air) -> Iterator[Hazard]:
    if air.temperature is None:
        return
    t = air.temperature.fahrenheit
    if t <= WIND_CHILL_UP_TO_F:  # up to there cold is looked at, above it heat
        calm = air.wind is None
        felt = whole(wind_chill_f(t, air.wind.mph if air.wind is not None else Fraction(0)))
        cold = cold_band(felt)
        yield Hazard(Kind.COLD, felt, cold, _COLD[cold], lacks=calm)
    else:
        dry = air.humidity is None
        felt = whole(t if air.humidity is None else heat_index_f(t, Fraction(air.humidity)))
        hot = heat_band(felt)
        yield Hazard(Kind.HEAT, felt, hot, _HEAT[hot], lacks=dry)


def _breathed(air: Air) -> Iterator[Hazard]:
    told = [aqi for aqi in (air.aqi, _from_dust(air)) if aqi is not None]
    if told:
        aqi = max(told)
        band = air_band(aqi)
        yield Hazard(Kind.AIR, aqi, band, _AIR[band])


def _from_dust(air: Air) -> int | None:
    return None if air.pm25 is None else aqi_of_pm25(air.pm25)


def _raised(hazard: Hazard) -> Hazard:
    if hazard.level not in (Level.CARE, Level.EASE):
        return hazard
    return Hazard(
        hazard.kind,
        hazard.value,
        hazard.band,
        Level(hazard.level + 1),
        is_raised=True,
        lacks=hazard.lacks,
    )


def uses_wind(air: Air) -> bool:
    """Say whether the wind makes it feel colder, so that the index is not the temperature."""
    return (
        air.temperature is not None
        and air.wind is not None
        and has_wind_chill(air.temperature.fahrenheit, air.wind.mph)
    )
