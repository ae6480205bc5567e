"""What was told becomes hazards: which index, how careful to be, and a hard day one step more."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from content.weather.air_quality import AirBand
from content.weather.cold import ColdBand
from content.weather.heat import HeatBand
from content.weather.outlook import Air, Hazard, Kind, Level, hazards, uses_wind
from content.weather.quantities import Scale, Speed, Temperature, Wind


def celsius(amount):
    return Temperature(Decimal(amount), Scale.CELSIUS)


WIND_30 = Wind(Decimal(30), Speed.KMH)


@pytest.mark.parametrize(
    ("air", "expected"),
    [
        pytest.param(
            Air(celsius(34), Decimal(60)),
            Hazard(Kind.HEAT, 108, HeatBand.DANGER, Level.MOVE),
            id="heat",
        ),
        pytest.param(
            Air(celsius(22), Decimal(50)),
            Hazard(Kind.HEAT, 71, HeatBand.NONE, Level.USUAL),
            id="mild",
        ),
        pytest.param(
            Air(celsius(-8), wind=WIND_30),
            Hazard(Kind.COLD, 2, ColdBand.VERY_COLD, Level.EASE),
            id="cold",
        ),
        pytest.param(
            Air(celsius(10), wind=WIND_30),
            Hazard(Kind.COLD, 44, ColdBand.NONE, Level.USUAL),
            id="cool",
        ),
        pytest.param(Air(aqi=160), Hazard(Kind.AIR, 160, AirBand.UNHEALTHY, Level.MOVE), id="air"),
        pytest.param(
            Air(pm25=Decimal(48)), Hazard(Kind.AIR, 132, AirBand.SENSITIVE, Level.EASE), id="dust"
        ),
        pytest.param(
            Air(pm25=Decimal(48), aqi=160),
            Hazard(Kind.AIR, 160, AirBand.UNHEALTHY, Level.MOVE),
            id="the_worse_of_index_and_dust",
        ),
        pytest.param(
            Air(celsius(34)),
            Hazard(Kind.HEAT, 93, HeatBand.EXTREME_CAUTION, Level.EASE, lacks=True),
            id="humidity_not_told",
        ),
        pytest.param(
            Air(celsius(-8)),
            Hazard(Kind.COLD, 18, ColdBand.COLD, Level.CARE, lacks=True),
            id="wind_not_told",
        ),
    ],
)
def test_each_hazard_has_its_index_its_category_and_its_care(air, expected):
    assert hazards(air) == (expected,)


def test_the_gravest_comes_first():
    found = hazards(Air(celsius(29), Decimal(50), aqi=210))

    assert [(each.kind, each.level) for each in found] == [
        (Kind.AIR, Level.STOP),
        (Kind.HEAT, Level.CARE),
    ]


@pytest.mark.parametrize(
    ("aqi", "effort", "level"),
    [
        pytest.param(40, 9, Level.USUAL, id="nothing_is_not_raised"),
        pytest.param(80, 8, Level.EASE, id="care_is"),
        pytest.param(120, 8, Level.MOVE, id="ease_is"),
        pytest.param(180, 10, Level.MOVE, id="moving_is_enough"),
        pytest.param(80, 7, Level.CARE, id="not_on_a_lighter_day"),
        pytest.param(80, None, Level.CARE, id="not_on_a_rest_day"),
    ],
)
def test_a_hard_day_asks_for_one_step_more(aqi, effort, level):
    [found] = hazards(Air(aqi=aqi), effort=effort)

    assert found.level is level
    assert found.is_raised is (level > hazards(Air(aqi=aqi))[0].level)


def test_nothing_told_is_no_hazard():
    assert hazards(Air()) == ()


def test_wind_counts_only_where_the_table_has_it():
    assert uses_wind(Air(celsius(-8), wind=WIND_30))
    assert not uses_wind(Air(celsius(20), wind=WIND_30))
    assert not uses_wind(Air(celsius(-8), wind=Wind(Decimal(4), Speed.KMH)))  # 2.5 mph


@given(
    tenths=st.integers(270, 450),
    more=st.integers(0, 100),
    humidity=st.integers(20, 85),
    effort=st.none() | st.integers(1, 10),
)
def test_hotter_never_asks_for_less_care(tenths, more, humidity, effort):
    def level(n):
        air = Air(celsius(Decimal(n) / 10), Decimal(humidity))
        return hazards(air, effort=effort)[0].level

    assert level(tenths) <= level(tenths + more)
