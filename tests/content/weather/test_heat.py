"""The heat index against MetPy, the chart of the NWS, and what it must never do."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from metpy.calc import heat_index
from metpy.units import units

from content.weather.heat import HeatBand, heat_band, heat_index_f
from content.weather.quantities import whole


def simple(t, r):
    return 0.5 * (t + 61 + 1.2 * (t - 68) + 0.094 * r)


def index(t, r):
    return heat_index_f(Fraction(t), Fraction(r))


# MetPy 1.7.1, metpy.calc.heat_index with mask_undefined=False, which has both adjustments of the
# NWS; it hands over at a simple result of 79, so no row lies between 79 and 80.
METPY = [
    pytest.param(75, 50, 74.55, id="simple"),
    pytest.param(70, 50, 69.05, id="simple_cool"),
    pytest.param(60, 90, 59.93, id="simple_as_documented"),
    pytest.param(90, 90, 121.901204, id="as_documented"),
    pytest.param(86, 60, 91.098, id="regression"),
    pytest.param(90, 50, 94.597, id="regression_90_50"),
    pytest.param(90, 70, 105.922, id="regression_90_70"),
    pytest.param(96, 65, 121.032, id="regression_hot"),
    pytest.param(100, 40, 109.256, id="regression_100_40"),
    pytest.param(100, 55, 123.638, id="regression_100_55"),
    pytest.param(95, 10, 89.450, id="dry"),
    pytest.param(100, 10, 94.122, id="dry_100"),
    pytest.param(110, 5, 101.402, id="dry_110"),
    pytest.param(80, 90, 86.342, id="humid"),
    pytest.param(82, 90, 91.992, id="humid_82"),
    pytest.param(84, 100, 103.560, id="humid_84"),
    pytest.param(85, 90, 101.781, id="humid_85"),
]


@pytest.mark.parametrize(("t", "r", "expected"), METPY)
def test_the_index_is_that_of_the_published_algorithm(t, r, expected):
    assert index(t, r) == pytest.approx(expected, abs=0.0006)


def test_the_index_is_metpys_all_over_the_chart():
    """MetPy computes it by itself.

    Left out: the strip between the two hand-overs, and the four points of very dry air where
    MetPy subtracts its adjustment from the simple formula too.
    """
    rows = [
        (t, r)
        for t in range(50, 116)
        for r in range(0, 101, 5)
        if not 79 <= simple(t, r) < 80 and not (simple(t, r) < 79 and t >= 80 and r < 13)
    ]
    assert len(rows) > 1300
    temperatures = units.Quantity([t for t, _ in rows], "degF")
    humidities = units.Quantity([r for _, r in rows], "percent")

    theirs = heat_index(temperatures, humidities, mask_undefined=False).to("degF").magnitude

    assert [index(t, r) for t, r in rows] == pytest.approx(list(theirs), abs=1e-6)


# NWS heat index chart (copy of NWS Tulsa). It follows the plain regression: the nine cells of its
# 135 that the two adjustments change are left out.
CHART = [
    *[(80, 40, 80), (84, 70, 90), (88, 60, 95), (90, 60, 100), (92, 50, 99), (94, 55, 106)],
    *[(96, 65, 121), (98, 50, 113), (100, 40, 109), (104, 40, 119), (110, 40, 136)],
]


@pytest.mark.parametrize(
    ("t", "r", "cell"), [pytest.param(*c, id=f"{c[0]}_{c[1]}") for c in CHART]
)
def test_rounded_it_is_the_cell_of_the_chart(t, r, cell):
    assert whole(index(t, r)) == cell


@pytest.mark.parametrize(
    ("t", "r", "expected"),
    [
        # GEMPAK, prheat.f: the simple formula holds below a result of 80.
        pytest.param(80, 40, 79.58, id="below_80"),
        pytest.param(78, 90, 79.73, id="below_80_humid"),
    ],
)
def test_the_hand_over_is_that_of_the_operational_code(t, r, expected):
    """MetPy gives 79.93 and 80.49 here."""
    assert index(t, r) == pytest.approx(expected, abs=1e-9)


def test_up_to_40_f_it_is_the_temperature():
    assert index(40, 100) == 40
    assert index(-4, 0) == -4


# NWS: 80, 90, 103 and 125 F; not the older set with 105 and 130.
@pytest.mark.parametrize(
    ("value", "band"),
    [
        pytest.param(79, HeatBand.NONE, id="below"),
        pytest.param(80, HeatBand.CAUTION, id="caution_begins"),
        pytest.param(89, HeatBand.CAUTION, id="caution_ends"),
        pytest.param(90, HeatBand.EXTREME_CAUTION, id="extreme_caution_begins"),
        pytest.param(102, HeatBand.EXTREME_CAUTION, id="extreme_caution_ends"),
        pytest.param(103, HeatBand.DANGER, id="danger_begins"),
        pytest.param(124, HeatBand.DANGER, id="danger_ends"),
        pytest.param(125, HeatBand.EXTREME_DANGER, id="extreme_danger_begins"),
    ],
)
def test_a_category_begins_at_its_edge(value, band):
    assert heat_band(value) is band


def test_a_half_degree_counts_as_the_next_one():
    assert heat_band(whole(89.5)) is HeatBand.EXTREME_CAUTION
    assert heat_band(whole(math.nextafter(89.5, 0))) is HeatBand.CAUTION


TENTHS = st.integers(400, 1200).map(lambda tenths: Fraction(tenths, 10))


@given(t=TENTHS, r=st.integers(20, 85), more=st.integers(1, 15))
def test_damper_air_never_feels_cooler(t, r, more):
    assume(r + more <= 85)  # between the adjustments; each of them ends with a small step
    assert index(t, r + more) >= index(t, r)


@given(t=TENTHS, r=st.integers(0, 100))
def test_the_index_is_a_number_within_sight_of_the_temperature(t, r):
    assert -16 <= index(t, r) - float(t) <= 260
