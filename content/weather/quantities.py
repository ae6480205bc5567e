"""Temperatures and wind as people write them, exact: fractions on the way, one rule to round."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

METRES_PER_MILE = Fraction("1609.344")  # exactly: NIST SP 811, Appendix B.8


class Scale(StrEnum):
    """A scale of temperature."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


class Speed(StrEnum):
    """A unit of wind speed."""

    KMH = "km/h"
    MS = "m/s"
    MPH = "mph"


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature as written; `is_assumed`: no scale was written, we chose it."""

    amount: Decimal
    scale: Scale
    is_assumed: bool = False

    @property
    def fahrenheit(self) -> Fraction:
        """The temperature in degrees Fahrenheit, exactly."""
        amount = Fraction(self.amount)
        return amount if self.scale is Scale.FAHRENHEIT else amount * 9 / 5 + 32

    @property
    def celsius(self) -> Fraction:
        """The temperature in degrees Celsius, exactly."""
        amount = Fraction(self.amount)
        return amount if self.scale is Scale.CELSIUS else celsius(amount)


@dataclass(frozen=True, slots=True)
class Wind:
    """A wind as written."""

    amount: Decimal
    unit: Speed

    @property
    def mph(self) -> Fraction:
        """The speed in miles per hour, exactly."""
        amount = Fraction(self.amount)
        match self.unit:
            case Speed.MPH:
                return amount
            case Speed.KMH:
                return amount * 1000 / METRES_PER_MILE
            case Speed.MS:
                return amount * 3600 / METRES_PER_MILE

    @property
    def kmh(self) -> Fraction:
        """The speed in kilometres per hour, exactly."""
        return self.mph * METRES_PER_MILE / 1000


def celsius(fahrenheit: Fraction | int) -> Fraction:
    """Turn degrees Fahrenheit into degrees Celsius, exactly."""
    return (Fraction(fahrenheit) - 32) * 5 / 9


def whole(amount: Fraction | Decimal | float) -> int:
    """Round to a whole number; halves go up, so 89.5 is 90 and -18.5 is -18.

    Categories are looked up by what this gives, never by the number with decimals: what a person
    reads and the category beside it then always agree.
    """
    return math.floor(Fraction(amount) + Fraction(1, 2))
