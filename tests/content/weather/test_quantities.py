"""Temperatures and speeds, exact, against pint; one rule to round."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.weather.quantities import Scale, Speed, Temperature, Wind, celsius, whole

UNITS = pint.UnitRegistry()


@given(tenths=st.integers(-900, 1500))
def test_temperatures_are_those_of_pint(tenths):
    amount = Decimal(tenths) / 10

    c = Temperature(amount, Scale.CELSIUS)
    f = Temperature(amount, Scale.FAHRENHEIT)

    assert float(c.fahrenheit) == pytest.approx(
        UNITS.Quantity(float(amount), "degC").to("degF").magnitude, abs=1e-9
    )
    assert float(f.celsius) == pytest.approx(
        UNITS.Quantity(float(amount), "degF").to("degC").magnitude, abs=1e-9
    )
    assert (c.celsius, f.fahrenheit) == (Fraction(amount), Fraction(amount))


@given(tenths=st.integers(0, 4000), unit=st.sampled_from(Speed))
def test_speeds_are_those_of_pint(tenths, unit):
    amount = Decimal(tenths) / 10
    theirs = UNITS.Quantity(float(amount), {"km/h": "km/hour"}.get(unit, str(unit)))

    assert float(Wind(amount, unit).mph) == pytest.approx(theirs.to("mph").magnitude, rel=1e-9)
    assert float(Wind(amount, unit).kmh) == pytest.approx(theirs.to("km/hour").magnitude, rel=1e-9)


@given(tenths=st.integers(-900, 600))
def test_a_felt_temperature_shown_in_both_scales_is_the_same_one(tenths):
    """Shown from whole degrees F, the degrees C are those of the exact value, or one beside."""
    felt = Temperature(Decimal(tenths) / 10, Scale.CELSIUS)

    assert abs(whole(celsius(whole(felt.fahrenheit))) - whole(felt.celsius)) <= 1


@pytest.mark.parametrize(
    ("amount", "rounded"),
    [
        (89.5, 90),
        (89.49, 89),
        (-18.5, -18),
        (-18.51, -19),
        (Decimal("0.5"), 1),
        (Fraction(7, 2), 4),
    ],
)
def test_halves_go_up(amount, rounded):
    assert whole(amount) == rounded
