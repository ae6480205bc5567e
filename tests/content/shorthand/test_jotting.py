"""What is asked, what is refused and where, and what is filled in and said."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pint
import pytest

from content.challenge import RestDay, WarmUp
from content.movement import CountUnit, Pattern
from content.shorthand.jotting import jot
from content.shorthand.measures import KG_PER_POOD, grams_from_pood
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY, jottings


def read(text, **changed: object):
    return jot(text, **({"library": LIBRARY, "divisions": DIVISIONS} | changed))


# Doubts --------------------------------------------------------------------------------------


def test_an_unknown_movement_is_asked_about_at_its_place_with_the_nearest_first():
    jotted = read("AMRAP 10\n5 burpees\n12 front raises")

    [doubt] = jotted.doubts
    assert (doubt.place.line, doubt.place.column, doubt.word) == (3, 4, "front raises")
    assert doubt.nearest[0] == "prone-arm-raise"
    assert jotted.left_out == (doubt,)
    for part in ("pattern", "option", "counts"):
        assert part in doubt.question


def test_a_word_that_fits_several_movements_is_taken_for_one_and_asked_about():
    jotted = read("3 rounds: 20 lunges, 10 push-ups")

    [doubt] = jotted.doubts
    assert doubt.taken == doubt.nearest[0] == "forward-lunge"
    assert "reverse-lunge" in doubt.nearest
    assert jotted.day.workout.divisions["full"].rungs[0].movement == "forward-lunge"


@pytest.mark.parametrize(
    "said",
    ["pistol squats", "sumo squats", "burpee box jumps", "single-arm swings", "bar rows"],
)
def test_a_word_in_front_may_make_another_movement_so_it_is_asked(said):
    jotted = read(f"AMRAP 10: 5 {said}, 10 push-ups")

    assert [doubt.word for doubt in jotted.left_out] == [said]
    assert movements(jotted) == ["push-up"]


def test_a_day_is_made_of_what_was_understood_and_the_rest_is_asked():
    jotted = read("4 rounds for time\n10 push-ups\n12 grobblers\n200 m run")

    assert movements(jotted) == ["push-up", "run"]
    assert [doubt.word for doubt in jotted.left_out] == ["grobblers"]
    assert "left out for now" in jotted.doubts[0].question


def test_of_nothing_that_was_understood_no_day_is_made():
    jotted = read("AMRAP 10: 5 grobblers")

    assert jotted.day is None
    assert [doubt.word for doubt in jotted.left_out] == ["grobblers"]


@pytest.mark.parametrize(
    ("text", "asked", "taken"),
    [
        pytest.param("5 or 6 rounds for time: 10 burpees", "5 or 6", "5", id="one_or_the_other"),
        pytest.param("AMRAP 9: 8-10 push-ups, 5 burpees", "8-10", "8", id="a_range"),
        pytest.param("AMRAP 9: 20 to 30 sec plank, 5 burpees", "20 to 30", "20", id="of_seconds"),
        pytest.param("AMRAP 9: 20 push-ups??", "??", "as written", id="question_marks"),
        pytest.param("AMRAP 9: 20 push-ups tbc", "tbc", "as written", id="to_be_confirmed"),
        pytest.param(
            "5 rounds for time\n10 burpees\n(so 4 rounds in total)",
            "4 rounds",
            "5 rounds for time",
            id="other_rounds_in_brackets",
        ),
        pytest.param(
            "AMRAP 12 min in 20 minutes: 5 burpees",
            "in 20 minutes",
            "AMRAP 12 min",
            id="another_time_beside",
        ),
        pytest.param(
            "4 rounds (actually 5) for time: 9 burpees", "actually 5", "a note", id="aside"
        ),
        pytest.param("10 min walk or run", "walk or run", "walk", id="two_movements"),
        pytest.param("AMRAP 9: 10 push-ups 5", "5", "left out", id="a_number_left_over"),
        pytest.param(
            "AMRAP 9: 12 swings 24 kg (women 16 kg)", "women 16 kg", "a note", id="whose_load"
        ),
        pytest.param(
            "100 lunge jumps for time, every time you stop do 3 burpees",
            "every time you stop do 3 burpees",
            "a note",
            id="a_movement_under_a_condition",
        ),
        pytest.param(
            "AMRAP 9: 8 burpees\nif it hurts, stop and do 5 squats",
            "do 5 squats",
            "a note",
            id="a_condition_that_goes_on",
        ),
        pytest.param(
            "AMRAP 9: 8 burpees\nlighter: halve everything",
            "halve everything",
            "the same as Full",
            id="a_division_in_words",
        ),
    ],
)
def test_what_can_be_read_in_two_ways_is_asked_and_the_day_made_with_one(text, asked, taken):
    jotted = read(text)

    assert jotted.day is not None
    assert [(doubt.word, doubt.taken) for doubt in jotted.doubts] == [(asked, taken)]


@pytest.mark.parametrize(
    ("text", "note"),
    [
        pytest.param("AMRAP 9: 5 burpees, see you at 6pm", "see you at 6pm", id="with_a_number"),
        pytest.param("5 burpees for time. Yes, really!", "Yes, really", id="across_a_comma"),
        pytest.param(
            "max plank!! write down the time you held",
            "write down the time you held",
            id="an_order",
        ),
        pytest.param(
            "AMRAP 9: 5 burpees\nCool down: stretch 5 min",
            "Cool down: stretch 5 min",
            id="a_cool_down",
        ),
    ],
)
def test_words_to_the_people_are_kept_as_the_message_and_stop_nothing(text, note):
    jotted = read(text)

    assert (jotted.day.message, jotted.doubts) == (note, ())


@pytest.mark.parametrize(
    ("text", "expect"),
    [
        pytest.param("4 rnds 4 time: 5 burpees", {"score": "time", "rounds": 4}, id="rnds_4_time"),
        pytest.param("5 rounds f.t.\n5 burpees", {"score": "time", "rounds": 5}, id="f_t"),
        pytest.param("3 rds nft: 5 burpees", {"score": "done", "rounds": 3}, id="not_for_time"),
        pytest.param(
            "as many rounds as poss in 9 min: 5 burpees, 9 squats",
            {"score": "rounds_and_reps", "window_s": 540},
            id="as_poss",
        ),
        pytest.param(
            "15 squats, 9 burpees, 30 min max", {"score": "time", "cap_s": 1800}, id="max"
        ),
        pytest.param("21 15 9 burpees for time", {"scheme": (21, 15, 9)}, id="a_scheme_in_blanks"),
        pytest.param(
            "how many push-ups in 90 s?", {"score": "total_reps", "window_s": 90}, id="?"
        ),
        pytest.param("plank, 3 attempts, best counts", {"score": "hold"}, id="best_counts"),
        pytest.param(
            "superset 4x: 8 burpees, 12 push-ups, not timed",
            {"score": "done", "rounds": 4},
            id="superset",
        ),
        pytest.param(
            "5 rounds for time: 5 burpees. Water break after round 3!",
            {"score": "time", "rounds": 5},
            id="the_third_round_is_no_count_of_rounds",
        ),
        pytest.param(
            "todays workout - 5 rounds: 9 burpees, 9 squats",
            {"shape": "repeat", "rounds": 5},
            id="a_dash_is_no_minus",
        ),
    ],
)
def test_short_ways_to_say_the_whole(text, expect):
    jotted = read(text)

    assert jotted.doubts == ()
    assert {key: getattr(jotted.day.workout, key) for key in expect} == expect


def test_a_load_named_by_the_kit_alone_and_two_of_one_are_loads():
    jotted = read("AMRAP 9: 10 swings (KB 16), 9 thrusters 2x10")

    loads = [rung.load for rung in jotted.day.workout.divisions["full"].rungs]
    assert [(load.grams, load.pieces) for load in loads] == [(16_000, 1), (10_000, 2)]


def test_numbers_glued_to_names_and_a_count_for_all_are_read():
    jotted = read("amrap12 6pushups 9situps\nlighter: 5 of each")

    counts = [[rung.reps for rung in own.rungs] for own in jotted.day.workout.divisions.values()]
    assert counts == [[6, 9], [5, 5], [6, 9]]


def test_a_cap_in_front_of_a_list_is_not_the_count_behind_it():
    assert read("for time, 20 min cap: 15 air squats, 9 burpees").day.workout.cap_s == 1200
    assert read("15 air squats, 9 burpees 4 time cap 12").day.workout.cap_s == 720


def test_letters_with_numbers_in_front_of_movements_count_the_pieces_of_a_superset():
    jotted = read("superset: A1 10 dips A2 12 push-ups, 4 sets")

    assert movements(jotted) == ["chair-dip", "push-up"]
    assert jotted.doubts == ()


def test_numbers_in_brackets_behind_numbers_count_the_lines():
    jotted = read("EMOM 9: 1) 10 burpees 2) 15 sit-ups 3) 20 squats")

    counts = [rung.reps for rung in jotted.day.workout.divisions["full"].rungs]
    assert counts == [10, 15, 20]


def movements(jotted):
    return [rung.movement for rung in jotted.day.workout.divisions["full"].rungs]


def test_a_note_in_quotes_is_a_note_whatever_it_says():
    jotted = read('3 rounds for time\n10 burpees ("5 rounds? maybe 7")')

    [rung] = jotted.day.workout.divisions["full"].rungs
    assert (rung.note, jotted.doubts) == ("5 rounds? maybe 7", ())


def test_a_short_name_of_two_movements_is_the_one_without_kit_and_said():
    jotted = read("50 pu for time")

    assert movements(jotted) == ["push-up"]
    assert "“pu” is taken as push-ups." in jotted.assumed


def test_a_slip_is_read_and_said():
    jotted = read("AMRAP 10: 10 pusups")

    assert jotted.day.workout.divisions["full"].rungs[0].movement == "push-up"
    assert "“pusups” is read as push-ups." in jotted.assumed


# Problems ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "line", "column", "slice_", "said"),
    [
        pytest.param("AMRAP: 10 push-ups", 1, 1, "AMRAP", "how long?", id="no_time"),
        pytest.param("5 rounds:\npush-ups", 2, 1, "push-ups", "how many? Write", id="no_count"),
        pytest.param(
            "AMRAP 9\n10 push-ups each side",
            2,
            1,
            "10 push-ups each side",
            "one side at a time",
            id="each_side_of_what_has_none",
        ),
        pytest.param(
            "AMRAP 9: 5 burpees\nEMOM 5: 3 burpees",
            2,
            1,
            "EMOM 5",
            "a day has one workout",
            id="two_workouts",
        ),
        pytest.param(
            "AMRAP 9: 5 burpees, cap 12", 1, 21, "cap 12", "leave out the cap", id="amrap_cap"
        ),
        pytest.param(
            "AMRAP 9: 5 swings 900 kg", 1, 19, "900 kg", "at most 400 kg", id="too_heavy"
        ),
        pytest.param(
            "AMRAP 9: 5 swings 32/24/16/8 kg",
            1,
            10,
            "5 swings 32/24/16/8 kg",
            "4 numbers for 3 divisions",
            id="too_many_loads",
        ),
        pytest.param(
            "AMRAP 9: 5 burpees\nlighter: 8 kg",
            2,
            10,
            "8 kg",
            "nothing here is done with a load",
            id="a_load_for_nothing",
        ),
        pytest.param(
            "AMRAP 9: 5 burpees, 9 sit-ups, 10 dips\nlighter: 3 pull-ups",
            2,
            10,
            "3 pull-ups",
            "take the place of",
            id="in_place_of_what",
        ),
        pytest.param(
            "200 m run, 15 burpees x3", 1, 12, "15 burpees x3", "3 rounds", id="times_one_only"
        ),
        pytest.param("AMRAP 9: 0 burpees", 1, 10, "0", "from 1 to 10000", id="none_of_it"),
        pytest.param(
            "rest day: sleep\nAMRAP 9: 5 burpees",
            2,
            1,
            "AMRAP 9: 5 burpees",
            "a rest day has no workout",
            id="rest_and_work",
        ),
        pytest.param(
            "8 x 20 s on / 10 s off: squats\nwarm-up:",
            2,
            1,
            "warm-up:",
            "which movements?",
            id="an_empty_warm_up",
        ),
        pytest.param(
            "for time: 5 burpees\nlighter: 9-6-3",
            2,
            10,
            "9-6-3",
            "no scheme",
            id="a_scheme_for_one_division",
        ),
    ],
)
def test_a_mistake_is_told_with_its_place_and_what_would_be_right(
    text, line, column, slice_, said
):
    jotted = read(text)

    assert jotted.day is None
    [problem] = jotted.problems
    assert (problem.place.line, problem.place.column, problem.place.slice) == (
        line,
        column,
        slice_,
    )
    assert said in problem.message


def test_all_mistakes_and_doubts_are_told_in_one_go_in_order():
    jotted = read("AMRAP 9\n0 burpees\n5 front raises\n7 swings 900 kg\nmovement: x; pattern: y")

    places = [(problem.place.line, problem.place.slice) for problem in jotted.problems]
    assert places == [(2, "0"), (4, "900 kg"), (5, "x; pattern: y"), (5, "y")]
    assert [doubt.place.line for doubt in jotted.doubts] == [3]


@pytest.mark.parametrize("text", ["", "\n\n", "()", "each side", "12 min", "✨"])
def test_nothing_at_all_is_told(text):
    jotted = read(text)

    assert jotted.day is None
    assert jotted.problems or jotted.doubts


# What is filled in ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "jotting",
    [pytest.param(each, id=each.id) for each in jottings() if "warm_up" not in each.said],
)
def test_a_proposed_warm_up_covers_every_pattern_and_needs_no_kit(jotting):
    jotted = read(jotting.text)
    warm_up = [LIBRARY[name] for name in jotted.day.warm_up.movements]

    loaded = {
        LIBRARY[rung.movement].pattern
        for ladder in jotted.day.workout.divisions.values()
        for rung in ladder.rungs
    }
    covered = {movement.pattern for movement in warm_up}
    # Nothing without kit is a carry: shoulders and walking prepare it.
    assert loaded - covered <= {Pattern.CARRY}
    assert all(not movement.kit and movement.unit is CountUnit.REPS for movement in warm_up)
    assert len(set(warm_up_ids := jotted.day.warm_up.movements)) == len(warm_up_ids) <= 9
    assert any("A warm-up of" in sentence for sentence in jotted.assumed)


def test_cautions_come_from_the_movements_when_there_are_none():
    jotted = read("AMRAP 9: 12 swings 16 kg")

    assert jotted.day.cautions
    assert set(jotted.day.cautions) <= set(LIBRARY["kettlebell-swing"].cautions)
    assert "The cautions are those of the movements." in jotted.assumed


def test_a_title_is_made_of_the_movements():
    assert read("AMRAP 9: 3 burpees, 6 sit-ups").day.title == "Burpees and sit-ups"


def test_a_division_that_is_not_mentioned_is_said_with_its_load():
    jotted = read("AMRAP 9: 12 swings 24/16 kg")

    assert "Bodyweight does the same as Full, with 24 kg." in jotted.assumed


def test_what_is_written_is_not_assumed():
    jotted = read(
        "Title: A day\nwarm-up 45/15: march\ncaution: Mind the step.\nAMRAP 9: 3 burpees\n"
        "lighter & bodyweight: step-back burpees"
    )

    assert jotted.day is not None
    assert jotted.assumed == ()


def test_words_to_the_people_become_the_message():
    jotted = read("AMRAP 9\n3 burpees\nHave fun today and look after each other, all of you!")

    assert jotted.day.message == "Have fun today and look after each other, all of you!"


def test_counts_in_a_warm_up_are_left_out_and_said():
    jotted = read("warm-up 30/10: 10 marches, 5 arm circles\nAMRAP 9: 3 burpees")

    assert jotted.day.warm_up == WarmUp.model_validate(
        {"work": "30 s", "move_on": "10 s", "movements": ["march", "arm-circle"]}
    )
    assert "The warm-up goes by the clock: counts in it are left out." in jotted.assumed


# Rest days -----------------------------------------------------------------------------------


def test_a_rest_day_is_read_with_message_and_caution():
    jotted = read("Slack water\nrest day: Walk, stretch.\nnote: Drink.\ncaution: Go slow.")

    assert jotted.day == RestDay(
        kind="rest", title="Slack water", message="Walk, stretch.\nDrink.", cautions=("Go slow.",)
    )


@pytest.mark.parametrize(
    "text",
    [
        "No workout today, recover",
        "Rest. No burpees, nothing today. Tomorrow: 5 rounds of something.",
        "rest day - easy walk if you like",
        "Nothing today. Rest!",
    ],
)
def test_a_rest_day_can_be_told_in_prose_which_is_kept(text):
    jotted = read(text)

    assert isinstance(jotted.day, RestDay)
    assert jotted.day.message in text
    assert jotted.doubts == ()


@pytest.mark.parametrize("text", ["rest day", "REST DAY\n", "Rest", "day off"])
def test_a_rest_day_without_words_gets_some(text):
    jotted = read(text)

    assert isinstance(jotted.day, RestDay)
    assert len(jotted.assumed) == 2


# Own movements -------------------------------------------------------------------------------

OWN = "movement: crab reach; pattern: core; option: bird dog; counts: hand touches the other foot"


def test_a_movement_can_be_defined_on_the_spot():
    jotted = read(f"{OWN}\nAMRAP 9: 10 crab reaches, 5 burpees")

    [movement] = jotted.movements
    assert movement.id == "crab-reach"
    assert movement.plural == "crab reaches"
    assert movement.pattern is Pattern.CORE
    assert movement.standard == "Hand touches the other foot."
    assert movement.options[0].movement == "bird-dog"
    assert jotted.day.workout.divisions["full"].rungs[0].movement == "crab-reach"


def test_the_pace_of_a_new_movement_is_as_wide_as_that_of_its_like():
    [movement] = read(f"{OWN}\nAMRAP 9: 10 crab reaches").movements

    alike = [m.pace for m in LIBRARY.values() if m.pattern is Pattern.CORE and m.unit == "reps"]
    assert movement.pace == (min(a for a, _ in alike), max(b for _, b in alike))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        pytest.param("movement: crab reach", "also needs: pattern", id="nothing_but_a_name"),
        pytest.param(OWN.replace("core", "corr"), "a pattern is one of", id="pattern"),
        pytest.param(f"{OWN}; kit: trampoline", "kit is one of", id="kit"),
        pytest.param(f"{OWN}; unit: litres", "in reps, metres or seconds", id="unit"),
        pytest.param(OWN.replace("bird dog", "pull-up"), "must need no kit", id="option"),
        pytest.param(OWN.replace("crab reach", "burpee"), "already", id="known"),
        pytest.param(OWN.replace("crab reach", ""), "needs a name", id="no_name"),
    ],
)
def test_a_movement_that_is_not_whole_says_what_is_missing(line, said):
    jotted = read(f"{line}\nAMRAP 9: 5 burpees")

    assert jotted.day is None
    assert any(said in problem.message for problem in jotted.problems)


# Loads ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("poods", "kilograms"),
    [("0.5", 8), ("1", 16), ("1.25", 20), ("1.5", 24), ("2", 32), ("2.5", 40), ("3", 48)],
)
def test_poods_are_the_bells_that_are_sold_by_that_name(poods, kilograms):
    """The sizes in which kettlebells are sold; common practice, no source."""
    assert grams_from_pood(Decimal(poods)) == kilograms * 1000
    assert abs(float(Decimal(poods) * KG_PER_POOD) - kilograms) < 2


@pytest.mark.parametrize(
    ("said", "quantity"),
    [("1 mile", "1 mile"), ("2 miles", "2 mile"), ("½ mile", "0.5 mile"), ("1½ miles", "1.5 mile"),
     ("100 yards", "100 yard"), ("5 km", "5 km"), ("2.5k", "2.5 km"), ("1,500 m", "1500 m")],
)  # fmt: skip
def test_lengths_agree_with_a_units_library(said, quantity):
    """Source: pint's definitions of the international yard and mile."""
    jotted = read(f"for time: {said} run")

    metres = pint.UnitRegistry()(quantity).to("m").magnitude
    assert jotted.day.workout.divisions["full"].rungs[0].metres == round(metres)


@pytest.mark.parametrize("said", ["53 lb", "53lbs", "53#", "@ 53 lb", "(53 lb)", "53 pounds"])
def test_pounds_agree_with_a_units_library(said):
    """Source: pint's definition of the avoirdupois pound."""
    jotted = read(f"AMRAP 9: 12 swings {said}")

    load = jotted.day.workout.divisions["full"].rungs[0].load
    assert load.unit == "lb"
    assert load.grams == round(pint.UnitRegistry()("53 lb").to("g").magnitude)


def test_a_load_in_a_divisions_line_goes_on_to_the_next_division_without_a_line():
    jotted = read("AMRAP 9: 12 swings 24 kg\nlighter: 16/12 kg")

    grams = [own.rungs[0].load.grams for own in jotted.day.workout.divisions.values()]
    assert grams == [24_000, 16_000, 12_000]


# The README ----------------------------------------------------------------------------------

_README = Path(__file__).parents[3].joinpath("README.md").read_text(encoding="utf-8")
_SHORTHAND = _README.partition("### In shorthand")[2].partition("\n## ")[0]


def test_the_example_of_the_readme_is_read_without_a_question():
    example, own = re.findall(r"```text\n(.*?)```", _SHORTHAND, flags=re.DOTALL)

    jotted = read(own + example)

    assert (jotted.doubts, jotted.problems) == ((), ())
    assert jotted.day.title == "Round the bollards"
    movements = [
        [rung.movement for rung in own.rungs] for own in jotted.day.workout.divisions.values()
    ]
    assert movements == [
        ["push-up", "kettlebell-swing", "step-up"],
        ["knee-push-up", "kettlebell-swing", "step-up"],
        ["push-up", "hip-hinge", "step-up"],
    ]


@pytest.mark.parametrize(
    "text",
    [
        "AMRAP 12: 10 push-ups, 20 air squats",
        "24-18-12 swings 24/16 kg & burpees, cap 10",
        "EMOM 10: odd 12 swings, even 8 burpees",
        "8 x 20 s on / 10 s off air squats",
        "3 min max push-ups",
        "max plank",
        "heaviest 5 goblet squats",
        "run as far as you can in 12 min",
        "5 km run for time",
        "20 min easy walk, done is done",
        "12 swings 53 lb",
        "rest day: Walk, sleep.",
    ],
)
def test_every_whole_notation_of_the_readme_is_read(text):
    assert f"`{text}`" in _SHORTHAND

    jotted = read(text)

    assert (jotted.doubts, jotted.problems) == ((), ())
