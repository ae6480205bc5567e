"""How cold windy air feels: the wind chill index of 2001 of the US National Weather Service."""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction

# Above it, or with no more wind than this, there is no wind chill: NWS 2001.
WIND_CHILL_UP_TO_F = 50
_CALM_MPH = 3


class ColdBand(StrEnum):
    """How cold it feels, by whole degrees F of the index.

    FREEZING_SKIN begins where the NWS says that bare skin can freeze in 30 minutes: 0 F in a wind
    of 15 mph, an index of -19 F; we begin a degree earlier. The other edges (32 F and 14 F, which
    are 0 C and -10 C, and -40, the same on both scales) are common practice, no source.
    """

    NONE = "not_cold"
    COLD = "cold"
    VERY_COLD = "very_cold"
    FREEZING_SKIN = "freezing_skin"
    EXTREME = "extreme"


_BANDS = (
    (-40, ColdBand.EXTREME),
    (-18, ColdBand.FREEZING_SKIN),
    (14, ColdBand.VERY_COLD),
    (32, ColdBand.COLD),
)


def has_wind_chill(temperature_f: Fraction, wind_mph: Fraction) -> bool:
    """Say whether the index is defined: at most 50 F, and more than 3 mph of wind."""
    return temperature_f <= WIND_CHILL_UP_TO_F and wind_mph > _CALM_MPH


def wind_chill_f(temperature_f: Fraction, wind_mph: Fraction) -> float:
    """Give the wind chill; where it is not defined, the temperature itself.

    Args:
        temperature_f: Of the air, in degrees F.
        wind_mph: Miles per hour.

    Source: NWS wind chill index, 2001.
    """
    t = float(temperature_f)
    if not has_wind_chill(temperature_f, wind_mph):
        return t
    v = math.pow(wind_mph, 0.16)
    return 35.74 + 0.6215 * t - 35.75 * v + 0.4275 * t * v


def cold_band(index_f: int) -> ColdBand:
    """Give how cold an index feels, rounded to whole degrees F."""
    return next((band for edge, band in _BANDS if index_f <= edge), ColdBand.NONE)
