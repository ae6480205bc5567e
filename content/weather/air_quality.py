"""The air quality index of the US Environmental Protection Agency, from fine dust (PM2.5)."""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal
from enum import StrEnum
from fractions import Fraction

from content.weather.quantities import whole

HIGHEST_AQI = 500  # the scale ends here; what lies above is "more than"


class AirBand(StrEnum):
    """The categories of the AQI."""

    GOOD = "good"
    MODERATE = "moderate"
    SENSITIVE = "sensitive"
    UNHEALTHY = "unhealthy"
    VERY_UNHEALTHY = "very_unhealthy"
    HAZARDOUS = "hazardous"


# (lowest AQI, highest AQI, lowest and highest PM2.5 in ug/m3 as a mean of 24 hours, category).
# Source: 40 CFR 58, Appendix G, as in force from 6 May 2024. Many copies are older: there 12.0
# and not 9.0 was an AQI of 50.
_BREAKPOINTS = (
    (0, 50, Decimal("0.0"), Decimal("9.0"), AirBand.GOOD),
    (51, 100, Decimal("9.1"), Decimal("35.4"), AirBand.MODERATE),
    (101, 150, Decimal("35.5"), Decimal("55.4"), AirBand.SENSITIVE),
    (151, 200, Decimal("55.5"), Decimal("125.4"), AirBand.UNHEALTHY),
    (201, 300, Decimal("125.5"), Decimal("225.4"), AirBand.VERY_UNHEALTHY),
    (301, HIGHEST_AQI, Decimal("225.5"), Decimal("325.4"), AirBand.HAZARDOUS),
)


def aqi_of_pm25(pm25: Decimal) -> int:
    """Give the AQI of a mean of PM2.5 over 24 hours; at most 500, where the scale ends.

    Args:
        pm25: Micrograms per cubic metre, not negative. Decimals behind the first are cut off, not
            rounded; then the value is interpolated in its row, exactly, and rounded to whole
            numbers, halves up.

    Raises:
        ValueError: `pm25` is negative.

    Source: US EPA, Technical Assistance Document for the Reporting of Daily Air Quality,
    EPA-454/B-24-002 (May 2024).
    """
    if pm25 < 0:
        raise ValueError(f"PM2.5 is at least 0, got {pm25}")
    cut = pm25.quantize(Decimal("0.1"), rounding=ROUND_DOWN)
    for low, high, from_pm, to_pm, _ in _BREAKPOINTS:
        if cut <= to_pm:
            return whole(low + Fraction(cut - from_pm) * (high - low) / Fraction(to_pm - from_pm))
    return HIGHEST_AQI


def air_band(aqi: int) -> AirBand:
    """Give the category of an AQI; above 500 it stays hazardous.

    Raises:
        ValueError: `aqi` is negative.
    """
    if aqi < 0:
        raise ValueError(f"an AQI is at least 0, got {aqi}")
    return next((band for _, high, *_, band in _BREAKPOINTS if aqi <= high), AirBand.HAZARDOUS)
