"""How hot damp air feels: the heat index of the US National Weather Service and its categories.

For shade and light wind; full sun can add up to 15 F (NWS, on its chart pages).
"""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction

# Up to here, in F, the index is the temperature itself. Source: GEMPAK, prheat.f (Unidata, NWS).
_NO_HEAT_F = 40
# From this simple result on the regression holds. The page of the Weather Prediction Center
# averages the simple formula with the temperature, but its printed 0.5 is that average already;
# the operational code (GEMPAK, prheat.f) compares with 80, other libraries with 79.
_HAND_OVER_F = 80
# Rothfusz 1990, SR 90-23: coefficients of T^i R^j by (i, j).
_REGRESSION = {
    (0, 0): Fraction("-42.379"),
    (1, 0): Fraction("2.04901523"),
    (0, 1): Fraction("10.14333127"),
    (1, 1): Fraction("-0.22475541"),
    (2, 0): Fraction("-0.00683783"),
    (0, 2): Fraction("-0.05481717"),
    (2, 1): Fraction("0.00122874"),
    (1, 2): Fraction("0.00085282"),
    (2, 2): Fraction("-0.00000199"),
}
CHART_ENDS_F = 136  # the highest value on the NWS chart we checked against; beyond is "more than"
_DRY_BELOW, _DRY_F = 13, (80, 112)
_HUMID_ABOVE, _HUMID_F = 85, (80, 87)


class HeatBand(StrEnum):
    """The categories of the NWS, by whole degrees F of the index.

    Two tables are in circulation. This is the one with edges 80, 90, 103 and 125 F; the older one
    has 80, 90, 105 and 130 F. The lower edges are the more careful ones.
    """

    NONE = "not_hot"
    CAUTION = "caution"
    EXTREME_CAUTION = "extreme_caution"
    DANGER = "danger"
    EXTREME_DANGER = "extreme_danger"


_BANDS = (
    (125, HeatBand.EXTREME_DANGER),
    (103, HeatBand.DANGER),
    (90, HeatBand.EXTREME_CAUTION),
    (80, HeatBand.CAUTION),
)


def heat_index_f(temperature_f: Fraction, humidity: Fraction) -> float:
    """Give the heat index with both adjustments of the NWS.

    Args:
        temperature_f: Of the air, in degrees F.
        humidity: Relative, in percent, 0 to 100.

    Source: "The Heat Index Equation", NWS Weather Prediction Center; hand-over of the operational
    code (GEMPAK, prheat.f).
    """
    t, r = Fraction(temperature_f), Fraction(humidity)
    if t <= _NO_HEAT_F:
        return float(t)
    simple = (t + 61 + Fraction("1.2") * (t - 68) + Fraction("0.094") * r) / 2
    if simple < _HAND_OVER_F:
        return float(simple)
    full = sum(factor * t**i * r**j for (i, j), factor in _REGRESSION.items())
    return float(full) + _adjustment(t, r)


def _adjustment(t: Fraction, r: Fraction) -> float:
    if r < _DRY_BELOW and _DRY_F[0] <= t <= _DRY_F[1]:
        return -float((13 - r) / 4) * math.sqrt((17 - abs(t - 95)) / 17)
    if r > _HUMID_ABOVE and _HUMID_F[0] <= t <= _HUMID_F[1]:
        return float((r - 85) / 10 * (87 - t) / 5)
    return 0.0


def heat_band(index_f: int) -> HeatBand:
    """Give the category of an index, rounded to whole degrees F."""
    return next((band for edge, band in _BANDS if index_f >= edge), HeatBand.NONE)
