"""The AQI from fine dust, with the breakpoints in force from 6 May 2024."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.weather.air_quality import HIGHEST_AQI, AirBand, air_band, aqi_of_pm25

# 40 CFR 58, Appendix G (2024): the ends of each row; what lies between is interpolated by hand.
DUST = [
    *[("0", 0), ("9.0", 50), ("9.1", 51), ("12.0", 56), ("20.0", 71), ("35.4", 100)],
    *[("35.5", 101), ("40.9", 114), ("55.4", 150), ("55.5", 151), ("100.0", 182), ("125.4", 200)],
    *[("125.5", 201), ("225.4", 300), ("225.5", 301), ("300", 449), ("325.4", 500)],
]


@pytest.mark.parametrize(("dust", "aqi"), [pytest.param(*row, id=row[0]) for row in DUST])
def test_the_index_is_interpolated_between_the_breakpoints(dust, aqi):
    assert aqi_of_pm25(Decimal(dust)) == aqi


@pytest.mark.parametrize(
    ("dust", "aqi"),
    [
        pytest.param("9.09", 50, id="not_yet_moderate"),
        pytest.param("35.49", 100, id="not_yet_sensitive"),
        pytest.param("55.499", 150, id="not_yet_unhealthy"),
    ],
)
def test_decimals_behind_the_first_are_cut_off(dust, aqi):
    assert aqi_of_pm25(Decimal(dust)) == aqi


def test_the_scale_ends_at_500():
    assert aqi_of_pm25(Decimal("325.5")) == aqi_of_pm25(Decimal(1000)) == HIGHEST_AQI


def test_the_table_before_2024_is_not_used():
    """There 12.0 was an AQI of 50; libraries that still have it give 38 for 9.0."""
    assert aqi_of_pm25(Decimal("12.0")) > 50


@pytest.mark.parametrize(
    ("aqi", "band"),
    [
        pytest.param(0, AirBand.GOOD, id="best"),
        pytest.param(50, AirBand.GOOD, id="good_ends"),
        pytest.param(51, AirBand.MODERATE, id="moderate_begins"),
        pytest.param(100, AirBand.MODERATE, id="moderate_ends"),
        pytest.param(101, AirBand.SENSITIVE, id="sensitive_begins"),
        pytest.param(150, AirBand.SENSITIVE, id="sensitive_ends"),
        pytest.param(151, AirBand.UNHEALTHY, id="unhealthy_begins"),
        pytest.param(200, AirBand.UNHEALTHY, id="unhealthy_ends"),
        pytest.param(201, AirBand.VERY_UNHEALTHY, id="very_unhealthy_begins"),
        pytest.param(300, AirBand.VERY_UNHEALTHY, id="very_unhealthy_ends"),
        pytest.param(301, AirBand.HAZARDOUS, id="hazardous_begins"),
        pytest.param(900, AirBand.HAZARDOUS, id="beyond_the_scale"),
    ],
)
def test_a_category_begins_at_its_edge(aqi, band):
    assert air_band(aqi) is band


@given(tenths=st.integers(0, 4000), more=st.integers(0, 100))
def test_more_dust_is_never_a_better_index(tenths, more):
    def aqi(n):
        return aqi_of_pm25(Decimal(n) / 10)

    assert aqi(tenths) <= aqi(tenths + more)


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="at least 0"):
        aqi_of_pm25(Decimal("-0.1"))
    with pytest.raises(ValueError, match="at least 0"):
        air_band(-1)
