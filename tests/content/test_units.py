"""Units against pint and against published tables."""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.units import (
    clock_text,
    grams_from_kg,
    grams_from_lb,
    kg_rounded_text,
    kg_text,
    lb_from_grams,
    lb_text,
    lb_written,
    load_text,
    metres_from_km,
    metres_from_miles,
    metres_from_yards,
    plain,
)

UNITS = pint.UnitRegistry()
AMOUNTS = st.decimals(min_value=0, max_value=2000, places=2)
# Whole grams and metres: half of one, and what pint's floats lose on the way.
HALF = 0.5 + 1e-6


@pytest.mark.parametrize(
    ("ours", "unit", "smallest"),
    [
        pytest.param(grams_from_kg, "kilogram", "gram", id="kilograms"),
        pytest.param(grams_from_lb, "pound", "gram", id="pounds"),
        pytest.param(metres_from_km, "kilometre", "metre", id="kilometres"),
        pytest.param(metres_from_miles, "mile", "metre", id="miles"),
        pytest.param(metres_from_yards, "yard", "metre", id="yards"),
    ],
)
@given(amount=AMOUNTS)
def test_conversions_agree_with_pint(ours, unit, smallest, amount):
    expected = UNITS.Quantity(float(amount), unit).to(smallest).magnitude

    assert ours(amount) == pytest.approx(expected, abs=HALF)


@given(grams=st.integers(0, 400_000))
def test_pounds_agree_with_pint(grams):
    expected = UNITS.Quantity(grams, "gram").to("pound").magnitude

    assert float(lb_from_grams(grams)) == pytest.approx(expected, abs=1e-9)


# Source: 1 lb = 0.45359237 kg exactly, international yard and pound agreement of 1 July 1959.
@pytest.mark.parametrize(
    ("pounds", "kilograms"),
    [
        (20, "9.072"),
        (35, "15.876"),
        (45, "20.412"),
        (50, "22.680"),
        (53, "24.040"),
        (70, "31.751"),
        (95, "43.091"),
        (135, "61.235"),
    ],
)
def test_pounds_in_kilograms(pounds, kilograms):
    assert grams_from_lb(Decimal(pounds)) == Decimal(kilograms) * 1000


# Source: the same agreement.
@pytest.mark.parametrize(
    ("kilograms", "pounds"),
    [
        (8, "17.637"),
        (12, "26.455"),
        (16, "35.274"),
        (20, "44.092"),
        (24, "52.911"),
        (32, "70.548"),
        (36, "79.366"),
    ],
)
def test_kilograms_in_pounds(kilograms, pounds):
    assert round(lb_from_grams(kilograms * 1000), 3) == Decimal(pounds)


# Source: trade practice, public size charts.
KETTLEBELLS = (
    (4, 9),
    (6, 13),
    (8, 18),
    (12, 26),
    (16, 35),
    (20, 44),
    (24, 53),
    (28, 62),
    (32, 70),
    (36, 80),
    (40, 88),
    (48, 106),
)


@pytest.mark.parametrize(("kilograms", "pounds"), KETTLEBELLS)
def test_kettlebell_sizes_are_shown_as_sold_within_a_pound(kilograms, pounds):
    """Charts round as they like: 70.5 lb are sold as 70, 79.4 as 80."""
    grams = kilograms * 1000
    shown, unit = lb_text(grams).split()

    assert unit == "lb"
    assert abs(lb_from_grams(grams) - pounds) < Decimal("0.65")
    assert abs(int(shown) - pounds) <= 1


@given(grams=st.integers(1, 400_000))
def test_a_load_in_kilograms_loses_nothing_on_the_page(grams):
    number, unit = kg_text(grams).split()

    assert unit == "kg"
    assert grams_from_kg(Decimal(number)) == grams


def test_a_mile_is_1609_metres_and_26_2_of_them_a_marathon():
    """Source: 1 mi = 1609.344 m exactly, NIST SP 811, Appendix B.8."""
    assert metres_from_miles(Decimal(1)) == 1609
    assert metres_from_miles(Decimal("26.2")) == 42165
    assert metres_from_km(Decimal("2.1")) == 2100


@pytest.mark.parametrize(
    ("value", "text"),
    [
        pytest.param("24", "24", id="whole"),
        pytest.param("24.0", "24", id="zero_behind_the_point"),
        pytest.param("22.50", "22.5", id="trailing_zero"),
        pytest.param("100", "100", id="zeros_that_count"),
        pytest.param("1E+2", "100", id="exponent"),
        pytest.param("0.004", "0.004", id="small"),
    ],
)
def test_decimals_are_written_plainly(value, text):
    assert plain(Decimal(value)) == text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0:00"),
        (9, "0:09"),
        (95, "1:35"),
        (581, "9:41"),
        (754, "12:34"),
        (3599, "59:59"),
        (3600, "1:00:00"),
        (3723, "1:02:03"),
    ],
)
def test_clock(seconds, text):
    assert clock_text(seconds) == text


@pytest.mark.parametrize(
    ("grams", "kilograms", "pounds"),
    [(16_000, "16 kg", "35 lb"), (22_500, "22.5 kg", "50 lb"), (24_040, "24.04 kg", "53 lb")],
)
def test_loads_on_the_page(grams, kilograms, pounds):
    assert (kg_text(grams), lb_text(grams)) == (kilograms, pounds)


@given(hundredths=st.integers(1, 99_999))
def test_pounds_are_written_as_they_were_read(hundredths):
    pounds = Decimal(hundredths) / 100

    assert lb_written(grams_from_lb(pounds)) == f"{plain(pounds)} lb"


@given(grams=st.integers(0, 400_000))
def test_a_load_said_in_either_unit_loses_nothing(grams):
    number, unit = load_text(grams).split()

    assert {"kg": grams_from_kg, "lb": grams_from_lb}[unit](Decimal(number)) == grams


@pytest.mark.parametrize(
    ("grams", "text"),
    [
        pytest.param(82_500, "82.5 kg", id="half_a_kilogram"),
        pytest.param(8_250, "8.25 kg", id="quarter_of_a_kilogram"),
        pytest.param(82_300, "82.3 kg", id="a_tenth"),
        pytest.param(82_530, "82.53 kg", id="neither_handy_nor_pounds"),
        pytest.param(81_647, "180 lb", id="pounds"),
        pytest.param(7_938, "17.5 lb", id="half_a_pound"),
    ],
)
def test_loads_are_said_in_the_unit_they_come_from(grams, text):
    assert load_text(grams) == text


@pytest.mark.parametrize(
    ("grams", "text"), [(7_938, "7.9 kg"), (24_040, "24 kg"), (8_165, "8.2 kg")]
)
def test_kilograms_rounded_to_a_tenth(grams, text):
    assert kg_rounded_text(grams) == text
