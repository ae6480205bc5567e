"""Wind chill against the chart of the NWS and MetPy."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from metpy.calc import windchill
from metpy.units import units

from content.weather.cold import ColdBand, cold_band, has_wind_chill, wind_chill_f
from content.weather.quantities import whole

# NWS wind chill chart, in F and mph.
CHART = [
    *[(40, 5, 36), (30, 10, 21), (20, 20, 4), (10, 30, -12), (0, 15, -19)],
    *[(-10, 20, -35), (-20, 40, -57)],
]


def chill(t, v):
    return wind_chill_f(Fraction(t), Fraction(v))


@pytest.mark.parametrize(
    ("t", "v", "cell"), [pytest.param(*c, id=f"{c[0]}_{c[1]}") for c in CHART]
)
def test_rounded_it_is_the_cell_of_the_chart(t, v, cell):
    assert whole(chill(t, v)) == cell


def test_it_is_the_formula_to_the_thousandth():
    assert chill(0, 15) == pytest.approx(-19.398, abs=0.0005)


def test_it_is_metpys_to_a_tenth_of_a_degree():
    """MetPy works from the metric coefficients, which are rounded otherwise."""
    rows = [(t, v) for t in range(-45, 45, 5) for v in range(5, 65, 5)]

    theirs = windchill(
        units.Quantity([t for t, _ in rows], "degF"), units.Quantity([v for _, v in rows], "mph")
    )

    assert [chill(t, v) for t, v in rows] == pytest.approx(
        list(theirs.to("degF").magnitude), abs=0.1
    )


@pytest.mark.parametrize(
    ("t", "v", "defined"),
    [
        pytest.param(50, 4, True, id="warmest"),
        pytest.param("50.1", 4, False, id="too_warm"),
        pytest.param(20, 3, False, id="calm"),
        pytest.param(20, "3.1", True, id="hardly_calm"),
    ],
)
def test_it_is_defined_up_to_50_f_and_above_3_mph(t, v, defined):
    t, v = Fraction(t), Fraction(v)

    assert has_wind_chill(t, v) is defined
    assert (wind_chill_f(t, v) == float(t)) is not defined


@given(t=st.integers(-80, 30), v=st.integers(4, 100))
def test_wind_makes_it_colder_and_more_wind_more_so(t, v):
    assert chill(t, v + 1) < chill(t, v) < t


@pytest.mark.parametrize(
    ("value", "band"),
    [
        pytest.param(33, ColdBand.NONE, id="above_freezing"),
        pytest.param(32, ColdBand.COLD, id="cold_begins"),
        pytest.param(15, ColdBand.COLD, id="cold_ends"),
        pytest.param(14, ColdBand.VERY_COLD, id="very_cold_begins"),
        pytest.param(-17, ColdBand.VERY_COLD, id="very_cold_ends"),
        pytest.param(-18, ColdBand.FREEZING_SKIN, id="freezing_skin_begins"),
        # NWS: at 0 F with 15 mph skin can freeze in 30 minutes.
        pytest.param(whole(chill(0, 15)), ColdBand.FREEZING_SKIN, id="thirty_minutes"),
        pytest.param(-39, ColdBand.FREEZING_SKIN, id="freezing_skin_ends"),
        pytest.param(-40, ColdBand.EXTREME, id="extreme_begins"),
    ],
)
def test_a_category_begins_at_its_edge(value, band):
    assert cold_band(value) is band
