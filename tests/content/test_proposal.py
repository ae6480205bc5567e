"""Divisions proposed from the one that is written: as long, lighter, without kit."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from content.challenge import Division, WorkoutDay
from content.day_file import day_yaml
from content.errors import DivisionUnclear
from content.fields import Load
from content.loading import DEMO, load_challenge, load_day, movement_library
from content.movement import CountUnit, Kit, Pattern
from content.proposal.counts import Grid, is_regular, scaled
from content.proposal.draft import WITHIN
from content.proposal.proposal import propose
from content.proposal.weights import DUMBBELLS, KETTLEBELLS, WEIGHTS, lighter_load, sold
from content.proposal.wishes import Wishes, wishes_of
from content.review.kit_rules import AT_HAND
from content.review.pace import expected_s
from content.task import task_of
from content.units import grams_from_lb
from content.workout import Shape, steps
from tests.content.builders import a_workout_day

LIBRARY = movement_library()
MILL = Path(__file__).parents[1] / "reading" / "mill"

FULL = Division(id="full", name="Full", summary="as written")
LIGHTER = Division(id="lighter", name="Lighter", summary="a light weight")
BARE = Division(id="bare", name="Bare hands", summary="No kit at all.")
CALM = Division(id="calm", name="Calm", summary="No kit, no jumps, gentle.")
ALL = (FULL, LIGHTER, BARE, CALM)


def rung(movement: str, reps: int | None = None, **said: Any) -> dict[str, Any]:
    return {"movement": movement, **({} if reps is None else {"reps": reps}), **said}


def proposed(day, division, wishes=None):
    """Propose one division; gives it as proposed."""
    [found] = propose(day, (FULL, division), LIBRARY, wishes=wishes).proposed
    return found


def short(ladder):
    """Write rungs as people would say them: "14 air-squat", "12 goblet-squat 2 x 8 kg"."""
    return [
        " ".join(
            str(part)
            for part in (
                each.count,
                {CountUnit.METRES: "m", CountUnit.SECONDS: "s"}.get(each.unit),
                "each side" if each.each_side else None,
                each.movement,
                str(each.load).partition(" (")[0] if each.load else None,
            )
            if part is not None
        )
        for each in ladder.rungs
    ]


def only_first(folder: Path, number: int):
    """A day of a challenge with its first division alone, and the challenge's divisions."""
    content = load_challenge(folder)
    day = content.days[number - 1]
    first = content.head.divisions[0].id
    own = {first: day.workout.divisions[first]}
    workout = day.workout.model_copy(update={"divisions": own})
    return day.model_copy(update={"workout": workout}), content.head.divisions


# Read aloud: a coach would write much the same by hand.
WEEKS = [
    pytest.param(
        DEMO,
        1,
        {
            "lighter": [
                "8 knee-push-up",
                "20 reverse-lunge",
                "12 dumbbell-row 8 kg",
                "18 goblet-squat 8 kg",
                "1 step-back-burpee",
            ],
            "bodyweight": [
                "8 push-up",
                "20 forward-lunge",
                "14 prone-arm-raise",
                "24 air-squat",
                "2 burpee",
            ],
        },
        id="demo_rounds",
    ),
    pytest.param(
        DEMO,
        2,
        {
            "lighter": ["kettlebell-swing 8 kg", "reverse-lunge", "crunch"],
            "bodyweight": ["hip-hinge", "step-up", "sit-up"],
        },
        id="demo_scheme",
    ),
    pytest.param(
        DEMO, 3, {"lighter": ["air-squat"], "bodyweight": ["jump-squat"]}, id="demo_intervals"
    ),
    pytest.param(DEMO, 5, {"lighter": ["plank"], "bodyweight": ["plank"]}, id="demo_hold"),
    pytest.param(DEMO, 6, {"lighter": ["run"], "bodyweight": ["run"]}, id="demo_distance"),
    pytest.param(
        DEMO,
        7,
        {
            "lighter": [
                "2 dumbbell-push-press 2 x 6 kg",
                "2 goblet-lunge 6 kg",
                "2 mountain-climber",
            ],
            "bodyweight": ["4 pike-push-up", "2 reverse-lunge", "2 mountain-climber"],
        },
        id="demo_climb",
    ),
    pytest.param(
        MILL,
        1,
        {
            "birch": [
                "6 knee-push-up",
                "9 chair-squat",
                "8 knee-push-up",
                "15 crunch",
                "10 knee-push-up",
            ],
            "reed": [
                "6 knee-push-up",
                "9 chair-squat",
                "8 knee-push-up",
                "15 crunch",
                "10 knee-push-up",
            ],
        },
        id="mill_one_movement_thrice",
    ),
    pytest.param(
        MILL,
        2,
        {
            "birch": [
                "48 step-jack",
                "38 chair-squat",
                "50 crunch",
                "30 split-squat",
                "14 step-back-burpee",
            ],
            "reed": [
                "48 step-jack",
                "38 chair-squat",
                "50 crunch",
                "30 split-squat",
                "14 step-back-burpee",
            ],
        },
        id="mill_one_long_round",
    ),
    pytest.param(
        MILL, 3, {"birch": ["dumbbell-deadlift"], "reed": ["hip-hinge"]}, id="mill_heaviest"
    ),
    pytest.param(
        MILL,
        4,
        {"birch": ["step-back-burpee"], "reed": ["step-back-burpee"]},
        id="mill_in_a_window",
    ),
    pytest.param(MILL, 5, {"birch": ["10000 m run"], "reed": ["10000 m run"]}, id="mill_run"),
    pytest.param(MILL, 6, {"birch": ["hip-hinge"], "reed": ["hip-hinge"]}, id="mill_easy_day"),
    pytest.param(
        MILL,
        7,
        {
            "birch": ["dumbbell-deadlift 2 x 10 kg", "knee-push-up"],
            "reed": ["hip-hinge", "knee-push-up"],
        },
        id="mill_scheme_down_and_up",
    ),
]


@pytest.mark.parametrize(("folder", "number", "expected"), WEEKS)
def test_whole_weeks_are_proposed_as_a_coach_would(folder, number, expected):
    day, divisions = only_first(folder, number)

    found = propose(day, divisions, LIBRARY)

    assert {each.division.id: short(each.ladder) for each in found.proposed} == expected


def test_a_reason_says_what_instead_of_what_and_why():
    day, divisions = only_first(DEMO, 1)

    lighter, bodyweight = propose(day, divisions, LIBRARY).proposed

    as_long, about_as_long = "so that a round takes as long", "so that a round takes about as long"
    assert lighter.reasons == (
        "Knee push-ups instead of push-ups: easier; still 8.",
        "Reverse lunges instead of forward lunges: easier; still 20.",
        "Dumbbell rows with 8 kg instead of 16 kg: lighter; still 12.",
        "Goblet squats with 8 kg instead of 16 kg: lighter; still 18.",
        f"Step-back burpees instead of burpees: easier; 1 instead of 2, {about_as_long}.",
    )
    assert bodyweight.reasons == (
        f"Prone arm raises instead of dumbbell rows: no kit; 14 instead of 12, {as_long}.",
        f"Air squats instead of goblet squats: no kit; 24 instead of 18, {as_long}.",
    )
    assert (lighter.fits, bodyweight.fits) == (True, True)


def test_the_time_of_a_round_is_that_of_the_review():
    """Checked by hand: 4 whole rounds fit the window of 14 minutes at about 3 minutes each."""
    day, divisions = only_first(DEMO, 1)

    found = propose(day, divisions, LIBRARY)

    whole = task_of(found.day, "bodyweight", LIBRARY)
    assert found.proposed[1].round_s == pytest.approx((expected_s(whole, 4) or 0) / 4)
    assert expected_s(task_of(day, "full", LIBRARY), 4) < 14 * 60
    assert expected_s(task_of(day, "full", LIBRARY), 5) > 14 * 60


@pytest.mark.parametrize(
    ("rungs", "workout", "division", "remark"),
    [
        pytest.param(
            [rung("dumbbell-clean-and-press", 4), rung("goblet-squat", 4)],
            {"score": "time", "shape": "climb", "step": 4, "rounds": 3},
            BARE,
            "A round takes 20 % less time than Full's: the ladder keeps its step, "
            "and there is no kit to pick up and put down.",
            id="a_climb_keeps_its_step",
        ),
        pytest.param(
            [rung("burpee", 1)],
            {},
            LIGHTER,
            "A round takes 49 % more time than Full's: the step-back burpees are at the "
            "smallest count.",
            id="the_smallest_count",
        ),
        pytest.param(
            [rung("dumbbell-deadlift")],
            {"score": "load", "shape": "open"},
            BARE,
            "The day's score is a load, and this division has none: choose something to lift, "
            "such as a loaded backpack, or say what counts instead.",
            id="a_load_without_a_weight",
        ),
        pytest.param(
            [rung("dumbbell-deadlift")],
            {"score": "load", "shape": "open"},
            LIGHTER,
            "The same as Full: everybody chooses their own load.",
            id="own_load",
        ),
        pytest.param(
            [rung("push-up", 8)], {}, BARE, "The same as Full: it needs no kit.", id="as_it_is"
        ),
        pytest.param(
            [rung("step-up", 8)],
            {},
            BARE,
            "It takes a sturdy step: found wherever people train, so it counts as no kit.",
            id="at_hand",
        ),
        pytest.param(
            [rung("plank", seconds=30)],
            {},
            LIGHTER,
            "“knee plank” is a note: what counts is still read from the standard of the plank.",
            id="a_way_in_words",
        ),
    ],
)
def test_what_an_organiser_should_know_is_said(rungs, workout, division, remark):
    found = proposed(a_workout_day(rungs, **workout), division)

    assert remark in found.remarks


@pytest.mark.parametrize(
    ("rungs", "workout", "division", "expected"),
    [
        pytest.param(
            [rung("goblet-squat", 18, load="53 lb")],
            {},
            LIGHTER,
            ["18 goblet-squat 35 lb"],
            id="lb",
        ),
        pytest.param(
            [rung("dumbbell-row", 6, each_side=True, load="10 kg")],
            {},
            BARE,
            ["14 prone-arm-raise"],
            id="each_side_becomes_all",
        ),
        pytest.param(
            [rung("reverse-lunge", 6, each_side=True)],
            {},
            LIGHTER,
            ["6 each side split-squat"],
            id="each_side_stays",
        ),
        pytest.param(
            [rung("kettlebell-deadlift", 10, load="4 kg")],
            {},
            LIGHTER,
            ["12 hip-hinge"],
            id="nothing_lighter_is_sold",
        ),
        pytest.param(
            [rung("step-up", 20, load="10 kg")], {}, BARE, ["20 step-up"], id="load_put_down"
        ),
        pytest.param(
            [rung("farmer-carry", metres=40, load="2 x 16 kg")],
            {},
            BARE,
            ["60 m walk"],
            id="metres_of_another_movement",
        ),
        pytest.param(
            [rung("bar-hang", seconds=30)],
            {},
            BARE,
            ["30 s prone-arm-raise"],
            id="seconds_stay_seconds",
        ),
        pytest.param(
            [rung("bar-hang")], {"score": "hold", "shape": "open"}, BARE, ["high-plank"], id="hold"
        ),
        pytest.param(
            [rung("dumbbell-squat-to-press", 10, load="10 kg"), rung("sit-up", 10)],
            {},
            BARE,
            ["14 pike-push-up", "10 sit-up"],
            id="no_option_of_the_library",
        ),
        pytest.param(
            [rung("kettlebell-swing", 10, load="16 kg"), rung("kettlebell-deadlift", 10)],
            {},
            BARE,
            ["12 hip-hinge", "14 glute-bridge"],
            id="not_twice_the_same",
        ),
        pytest.param(
            [rung("jumping-jack", 3), rung("rope-skip", 3)],
            {"score": "time", "shape": "climb", "step": 3, "rounds": 4},
            CALM,
            ["3 each side step-jack", "3 each side march"],
            id="an_odd_step_on_each_side",
        ),
        pytest.param(
            [rung("crunch", 3)],
            {"score": "time", "shape": "descend", "step": 1, "rounds": 3},
            LIGHTER,
            ["3 crunch"],
            id="no_sides_on_an_odd_step_where_it_can_be_helped",
        ),
        pytest.param(
            [rung("squat-thrust", 10)], {}, CALM, ["36 march"], id="no_jump_in_the_place_of_one"
        ),
    ],
)
def test_single_rungs(rungs, workout, division, expected):
    assert short(proposed(a_workout_day(rungs, **workout), division).ladder) == expected


def test_a_division_that_is_written_stays_as_it_is():
    day, head, library = load_day(DEMO / "day-1.yaml")

    found = propose(day, head.divisions, library)

    assert (found.day, found.proposed) == (day, ())


def test_divisions_stand_in_the_order_of_the_challenge():
    day = a_workout_day([rung("push-up", 8)])

    found = propose(day, (LIGHTER, FULL, BARE), LIBRARY)

    assert list(found.day.workout.divisions) == ["lighter", "full", "bare"]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        pytest.param({"id": "lighter"}, Wishes(lighter=True), id="id"),
        pytest.param({"name": "Body-weight"}, Wishes(no_kit=True), id="hyphen"),
        pytest.param({"nicknames": ("scaled",)}, Wishes(lighter=True), id="nickname"),
        pytest.param({"summary": "No equipment, easy."}, Wishes(True, True), id="both"),
        pytest.param(
            {"summary": "Without jumps."}, Wishes(no_jumps=True), id="no_jumps_is_a_kind_too"
        ),
    ],
)
def test_what_a_division_is_like_is_read_from_its_words(words, expected):
    said = {"id": "x", "name": "X", "summary": "x"} | words

    assert wishes_of(Division(**said)) == expected


@pytest.mark.parametrize(
    "summary",
    [
        pytest.param("The day as written.", id="as_written"),
        pytest.param("Delightful, with a kit of your own.", id="parts_of_words"),
    ],
)
def test_a_division_whose_words_do_not_tell_is_asked_for(summary):
    day, river = a_workout_day([rung("burpee", 9)]), Division(id="r", name="R", summary=summary)

    with pytest.raises(DivisionUnclear) as info:
        propose(day, (FULL, river), LIBRARY)

    assert info.value.division == "r"
    assert proposed(day, river, wishes={"r": Wishes(lighter=True)}).ladder.rungs[0].movement == (
        "step-back-burpee"
    )


def test_kettlebells_are_those_of_the_trade():
    """Source: public size charts: kg and lb name the same bells, within 0.65 lb."""
    pairs = zip(KETTLEBELLS["kg"].split(), KETTLEBELLS["lb"].split(), strict=True)

    assert [(kg, lb) for kg, lb in pairs if abs(float(kg) / 0.45359237 - float(lb)) > 0.65] == []
    assert KETTLEBELLS["kg"] == "4 6 8 12 16 20 24 28 32 36 40 48"


def test_the_usual_pairs_of_dumbbells_can_be_bought():
    """Source: trade practice: 10, 15 and 22.5 kg; 35 and 50 lb."""
    assert {"10", "15", "22.5"} <= set(DUMBBELLS["kg"].split())
    assert {"35", "50"} <= set(DUMBBELLS["lb"].split())


@pytest.mark.parametrize(
    ("load", "kits", "expected"),
    [
        pytest.param("16 kg", [Kit.KETTLEBELL], "8 kg", id="kettlebell"),
        pytest.param("24 kg", [Kit.KETTLEBELL], "16 kg", id="kettlebell_24"),
        pytest.param("53 lb", [Kit.KETTLEBELL], "35 lb", id="pounds"),
        pytest.param("2 x 15 kg", [Kit.DUMBBELL], "2 x 10 kg", id="pieces_stay"),
        pytest.param("22.5 kg", [Kit.DUMBBELL], "12.5 kg", id="dumbbell"),
        pytest.param("16 kg", [Kit.DUMBBELL], "10 kg", id="dumbbell_16"),
        pytest.param("16 kg", [Kit.DUMBBELL, Kit.KETTLEBELL], "8 kg", id="one_weight_for_both"),
        pytest.param("11 kg", [Kit.BACKPACK], "7 kg", id="backpack"),
        pytest.param("10 kg", [], "6 kg", id="on_what_holds_nothing"),
    ],
)
def test_a_lighter_load_is_about_three_fifths_and_can_be_bought(load, kits, expected):
    assert lighter_load(Load.model_validate(load), kits) == Load.model_validate(expected)


@pytest.mark.parametrize(("load", "kit"), [("4 kg", Kit.KETTLEBELL), ("1 kg", Kit.DUMBBELL)])
def test_below_the_smallest_weight_there_is_none(load, kit):
    assert lighter_load(Load.model_validate(load), [kit]) is None


@pytest.mark.parametrize(
    ("unit", "multiple", "wanted", "expected"),
    [
        pytest.param(CountUnit.REPS, 1, 7.2, 7, id="any_up_to_ten"),
        pytest.param(CountUnit.REPS, 1, 12.9, 12, id="even"),
        pytest.param(CountUnit.REPS, 1, 14.7, 15, id="five"),
        pytest.param(CountUnit.REPS, 2, 14.7, 14, id="even_for_sides"),
        pytest.param(CountUnit.REPS, 2, 0.3, 2, id="one_for_each_side_at_least"),
        pytest.param(CountUnit.METRES, 1, 53, 55, id="metres"),
        pytest.param(CountUnit.METRES, 25, 130, 125, id="metres_in_parts"),
        pytest.param(CountUnit.METRES, 1, 4021, 4000, id="kilometres"),
        pytest.param(CountUnit.REPS, 1, 1e9, 10_000, id="no_more_than_a_rung_holds"),
    ],
)
def test_counts_can_be_remembered(unit, multiple, wanted, expected):
    assert Grid(unit, multiple).near(wanted) == expected


@given(wanted=st.floats(10, 9000), unit=st.sampled_from([CountUnit.REPS, CountUnit.METRES]))
def test_a_count_that_can_be_remembered_is_never_far(wanted, unit):
    count = Grid(unit).near(wanted)

    assert abs(count / wanted - 1) <= WITHIN
    assert unit is CountUnit.METRES or count <= 10 or count % 2 == 0 or count % 5 == 0


@pytest.mark.parametrize(
    ("scheme", "factor", "expected"),
    [
        pytest.param((24, 18, 12), 5 / 6, (20, 15, 10), id="down"),
        pytest.param((15, 12, 9, 12, 15), 4 / 3, (20, 16, 12, 16, 20), id="down_and_up"),
        pytest.param((10, 10, 10), 1.2, (12, 12, 12), id="level"),
        pytest.param((3, 2, 1), 0.5, None, id="two_would_be_equal"),
    ],
)
def test_a_scheme_keeps_its_shape(scheme, factor, expected):
    assert scaled(scheme, factor, Grid(CountUnit.REPS)) == expected


def test_a_scheme_is_scaled_by_one_factor_where_the_time_asks_for_it():
    day = a_workout_day(
        [rung("goblet-squat", load="16 kg"), rung("dumbbell-squat-to-press", load="10 kg")],
        score="time",
        shape="scheme",
        scheme=[24, 18, 12],
    )

    found = proposed(day, BARE)

    assert short(found.ladder) == ["air-squat", "pike-push-up"]
    assert is_regular(found.ladder.scheme)
    assert found.reasons[0].startswith(
        "-".join(map(str, found.ladder.scheme)) + " instead of 24-18-12, so that a round takes"
    )
    assert found.fits


# Random days: whatever people may write.


@st.composite
def _a_rung(draw: st.DrawFn, *, counted: bool, lowest: int) -> dict[str, Any]:
    movement = LIBRARY[draw(st.sampled_from(sorted(LIBRARY)))]
    said: dict[str, Any] = {"movement": movement.id}
    if counted:
        kinds = {movement.unit, *([CountUnit.SECONDS] if draw(st.booleans()) else [])}
        unit = draw(st.sampled_from(sorted(kinds)))
        said[unit.value] = lowest + draw(st.integers(1, 60 if unit is CountUnit.REPS else 400))
        if movement.one_sided:
            said["each_side"] = draw(st.booleans())
    elif movement.unit is not CountUnit.REPS:
        said["reps"] = 10
    if set(movement.kit) & WEIGHTS and draw(st.booleans()):
        said["load"] = draw(st.sampled_from(["4 kg", "10 kg", "2 x 15 kg", "24 kg", "53 lb"]))
    return said


@st.composite
def days(draw: st.DrawFn) -> WorkoutDay:
    shape = draw(st.sampled_from(list(Shape)))
    rounds = draw(st.integers(1, 8))
    step = draw(st.integers(1, 4))
    lowest = step * (rounds - 1) if shape is Shape.DESCEND else 0
    counted = shape not in (Shape.SCHEME, Shape.OPEN)
    rungs = draw(st.lists(_a_rung(counted=counted, lowest=lowest), min_size=1, max_size=5))
    workout: dict[str, Any] = {"score": "time", "shape": shape.value}
    match shape:
        case Shape.SCHEME:
            workout["scheme"] = draw(st.lists(st.integers(1, 40), min_size=1, max_size=6))
        case Shape.OPEN:
            workout["score"] = "done"
        case Shape.REPEAT | Shape.CLIMB if draw(st.booleans()):
            workout |= {"score": "rounds_and_reps", "window": "12 min", "step": step}
        case Shape.ONCE:
            pass
        case _:
            workout |= {"rounds": rounds, "step": step}
    return a_workout_day(rungs, **workout)


many_days = settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])


def _all(day):
    return propose(day, ALL, LIBRARY)


@many_days
@given(day=days())
def test_a_round_takes_as_long_or_the_organiser_is_told_why_not(day):
    for each in _all(day).proposed:
        told = [text for text in each.remarks if text.startswith("A round takes")]
        assert each.fits or len(told) == 1
        if steps(day.workout, "full") is None:
            assert each.round_s is None


_COUNTED = sorted(name for name, each in LIBRARY.items() if each.unit is CountUnit.REPS)


@many_days
@given(
    rungs=st.lists(
        st.builds(rung, st.sampled_from(_COUNTED), st.integers(8, 40)), min_size=2, max_size=5
    )
)
def test_rounds_of_the_usual_size_always_take_as_long(rungs):
    for each in propose(a_workout_day(rungs), ALL, LIBRARY).proposed:
        assert each.fits


@many_days
@given(day=days())
def test_promises_are_kept(day):
    for each in _all(day).proposed:
        movements = [LIBRARY[rung.movement] for rung in each.ladder.rungs]
        if each.wishes.no_kit:
            assert all(set(movement.kit) <= AT_HAND for movement in movements)
            assert all(rung.load is None for rung in each.ladder.rungs)
        if each.wishes.no_jumps:
            assert all(movement.pattern is not Pattern.JUMP for movement in movements)


@many_days
@given(day=days())
def test_lighter_loads_can_be_bought_and_are_lighter(day):
    """Source: kettlebells as sold, public size charts; dumbbells, common practice."""
    written = day.workout.ladder("full").rungs
    lighter = _all(day).proposed[0].ladder.rungs
    for before, after in zip(written, lighter, strict=True):
        if after.load != before.load and after.load is not None:
            kits = set(LIBRARY[after.movement].kit) & WEIGHTS
            assert any(after.load.grams in sold(kit, after.load.unit) for kit in kits)
            assert after.load.grams < before.load.grams
            assert after.load.pieces == before.load.pieces


@many_days
@given(day=days())
def test_sides_that_take_turns_do_the_same(day):
    written = day.workout.ladder("full").rungs
    found = _all(day)
    for each in found.proposed:
        ladder = steps(found.day.workout, each.division.id)
        for place, (before, after) in enumerate(zip(written, each.ladder.rungs, strict=True)):
            movement = LIBRARY[after.movement]
            counted = after.unit in (CountUnit.REPS, None)
            step = after.step or day.workout.step or 0
            climbs = day.workout.shape in (Shape.CLIMB, Shape.DESCEND)
            own_odd_step = climbs and step % 2 and LIBRARY[before.movement].one_sided
            if ladder is None or before.movement == after.movement or own_odd_step:
                continue
            if movement.one_sided and counted:
                rounds = range(1, (ladder.rounds or 8) + 1)
                assert [n for n in rounds if ladder.counts(n)[place] % 2] == []


@many_days
@given(day=days())
def test_ladders_keep_their_shape_and_step(day):
    found = _all(day)
    for each in found.proposed:
        assert len(each.ladder.rungs) == len(day.workout.ladder("full").rungs)
        assert (each.ladder.step, each.ladder.rounds) == (None, None)
        if each.ladder.scheme is not None:
            before, after = pairwise(day.workout.scheme), pairwise(each.ladder.scheme)
            assert [(a > b, a < b) for a, b in before] == [(a > b, a < b) for a, b in after]


@many_days
@given(day=days())
def test_what_is_proposed_is_read_back_and_proposed_no_more(day, tmp_path_factory):
    found = _all(day)
    file = tmp_path_factory.mktemp("day") / "day-1.yaml"

    file.write_text(day_yaml(found.day), encoding="utf-8")

    assert load_day(file)[0] == found.day
    assert propose(found.day, ALL, LIBRARY).proposed == ()
    assert found.day.workout.ladder("full") == day.workout.ladder("full")


@many_days
@given(day=days())
def test_there_is_a_sentence_for_every_rung_that_changes(day):
    for each in _all(day).proposed:
        written = day.workout.ladder("full")
        pairs = zip(written.rungs, each.ladder.rungs, strict=True)
        changed = sum(before != after for before, after in pairs)
        assert len(each.reasons) == changed + (each.ladder.scheme != written.scheme)
        for sentence in (*each.reasons, *each.remarks):
            assert sentence[0] == sentence[0].upper()
            assert sentence.endswith(".")
            assert "  " not in sentence


@many_days
@given(day=days())
def test_counts_of_other_movements_can_be_remembered(day):
    assume(day.workout.shape in (Shape.REPEAT, Shape.ONCE))
    for each in _all(day).proposed:
        for before, after in zip(day.workout.ladder("full").rungs, each.ladder.rungs, strict=True):
            if before.movement != after.movement and after.unit is CountUnit.REPS:
                assert after.count <= 10 or after.count % 2 == 0 or after.count % 5 == 0


@given(day=days())
@settings(max_examples=30)
def test_every_proposed_movement_has_an_easier_way_without_kit(day):
    for each in _all(day).proposed:
        for rung_ in each.ladder.rungs:
            last = LIBRARY[rung_.movement].options[-1]
            assert last.movement is None or LIBRARY[last.movement].kit == ()


@pytest.mark.parametrize("name", sorted(LIBRARY))
def test_every_movement_of_the_library_can_be_done_without_kit_and_jumps(name):
    unit = LIBRARY[name].unit.value
    day = a_workout_day([{"movement": name, unit: 20}])

    for division in (BARE, CALM):
        [way] = [LIBRARY[each.movement] for each in proposed(day, division).ladder.rungs]
        assert set(way.kit) <= AT_HAND
        assert division is BARE or way.pattern is not Pattern.JUMP


def test_pounds_on_sale_are_whole_grams_of_pounds():
    assert grams_from_lb(53) in sold(Kit.KETTLEBELL, "lb")
