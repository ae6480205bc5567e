"""Two whole programmes: what is found in them, read aloud and judged one by one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from content.loading import DEMO, load_challenge, movement_library
from content.review.review import review
from tests.content.builders import a_rest_day
from tests.content.review.builders import a_day, a_plan, rung

ROOT = Path(__file__).parents[3]
MILL = ROOT / "tests" / "reading" / "mill"
REVIEWS = {name: review(load_challenge(path)) for name, path in [("demo", DEMO), ("mill", MILL)]}
every_finding = pytest.mark.parametrize(
    "finding",
    [
        pytest.param(finding, id=f"{name}_{finding.id}_{finding.day}")
        for name, found in REVIEWS.items()
        for finding in found.findings
    ],
)


def told(name):
    return [(finding.id, finding.day, finding.divisions) for finding in REVIEWS[name].findings]


def test_the_demo_has_three_findings_and_none_must_be_fixed():
    assert told("demo") == [
        ("divisions-differ-in-time", 2, ("full", "lighter", "bodyweight")),
        ("kit-for-one-day", 7, ("full", "lighter")),
        ("one-sided-week", None, ("full", "lighter", "bodyweight")),
    ]
    assert not REVIEWS["demo"].must_be_fixed


def test_the_mill_has_what_a_coach_would_point_at():
    every, oak_reed = ("oak", "birch", "reed"), ("oak", "reed")
    assert told("mill") == [
        ("caution-missing", 1, ()),  # chair squats: a chair can slide
        ("much-for-newcomers", 1, ("oak", "birch")),  # 24 push-ups in every round
        ("divisions-differ-in-time", 2, every),
        ("caution-missing", 2, ()),  # chairs and steps again
        ("caution-missing", 4, ()),  # three minutes of burpees: landing
        ("day-too-long", 5, oak_reed),  # an hour of running or walking
        ("divisions-differ-in-time", 5, every),  # 10 km against 5 km
        ("big-jump", 5, ("oak",)),
        ("caution-missing", 7, ()),  # deadlifts: the back
        ("one-sided-week", None, every),  # nothing pulls
        ("who-asks-first-missing", None, ()),
        ("promise-not-kept", None, ("reed",)),  # "no kit", with a backpack
        ("promise-not-kept", None, ("reed",)),  # "no jumps", with squat thrusts
        ("kit-for-one-day", 7, ("oak", "birch")),
    ]


KINDS = [
    {"score": "rounds_and_reps", "shape": "repeat", "window": "9 min"},
    {"score": "rounds_and_reps", "shape": "climb", "step": 2, "window": "12:30"},
    {"score": "time", "shape": "repeat", "rounds": 4, "cap": "10 min"},
    {"score": "time", "shape": "once"},
    {"score": "done", "shape": "repeat", "rounds": 2},
    {"score": "done", "shape": "open", "window": "20 min"},
    {"score": "total_reps", "shape": "open", "window": "45 s"},
    {"score": "total_reps", "shape": "open", "intervals": {"rounds": 5, "work": "20 s"}},
    {"score": "lowest_round", "shape": "open", "intervals": {"rounds": 4, "work": "20 s"}},
    {"score": "distance", "shape": "open", "window": "12 min"},
    {"score": "hold", "shape": "open"},
    {"score": "load", "shape": "open"},
]
ONE_RUNG = st.builds(rung, st.sampled_from(sorted(movement_library())))
COUNT = st.one_of(
    *(
        st.fixed_dictionaries({unit: st.integers(1, 400)})
        for unit in ("reps", "metres", "seconds", "calories")
    )
)
RUNGS = st.lists(st.builds(lambda one, many: one | many, ONE_RUNG, COUNT), min_size=1, max_size=4)


@given(
    days=st.lists(
        st.one_of(
            st.just(a_rest_day()),
            st.builds(
                lambda kind, a, b: a_day(a, b, **kind), st.sampled_from(KINDS), RUNGS, RUNGS
            ),
        ),
        min_size=1,
        max_size=9,
    ).filter(lambda days: any(day.kind == "workout" for day in days))
)
@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_anything_that_loads_can_be_reviewed(days):
    found = review(a_plan(*days))

    for finding in found.findings:
        assert finding.day is None or 1 <= finding.day <= len(days)
        assert set(finding.divisions) <= {"full", "lighter"}
        assert finding.sentence.endswith(".")
        assert "nan" not in finding.sentence
    assert found.findings == review(a_plan(*days)).findings


@every_finding
def test_findings_are_whole_sentences(finding):
    for text in (finding.sentence, finding.suggestion):
        assert re.match(r"[A-Z0-9]", text)
        assert text[-1] in ".”"
        assert not re.search(r"  |\b(\w+) \1\b|None|[<>{}]|\d\.\d{3}", text)
        assert len(text) <= 330
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", finding.id)


@every_finding
def test_numbers_name_their_unit_or_what_they_count(finding):
    for name, value in (finding.numbers or {}).items():
        assert re.fullmatch(r"[a-z][a-z0-9_]*", name)
        assert isinstance(value, int | float | str)


def test_every_workout_day_of_every_division_has_an_expectation():
    for found in REVIEWS.values():
        outlook = found.outlook
        numbers = [number for number, _, _ in outlook.workout_days()]
        ids = [division.id for division in outlook.divisions]

        assert list(outlook.expected) == [(number, name) for number in numbers for name in ids]
        for each in outlook.expected.values():
            assert 0 < each.lengths_s[0] <= each.lengths_s[1] <= each.lengths_s[2]
            assert 1 <= each.effort <= 10


def test_a_review_is_the_same_every_time():
    again = review(load_challenge(DEMO))

    assert again.findings == REVIEWS["demo"].findings
