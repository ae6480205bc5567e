"""What the review finds and what it leaves alone: a fault in a harmless day, and out of it."""

from __future__ import annotations

from typing import Any

import pytest

from content.challenge import RestDay, WorkoutDay
from content.loading import movement_library
from content.review import caution_rules, kit_rules, pattern_rules, time_rules, week_rules
from content.review.finding import Finding, Severity, in_order, listed
from tests.content.builders import a_rest_day
from tests.content.review.builders import SAFE, a_day, a_plan, an_outlook, rung

PUSH_AND_SQUAT = [rung("push-up", 8), rung("air-squat", 12)]
EVERY_MINUTE = {"rounds": 6, "work": "40 s", "rest": "20 s"}
HOLD = {"score": "hold", "shape": "open"}
ONCE = {"score": "time", "shape": "once"}


def found(rule, *days: WorkoutDay | RestDay, **plan: Any):
    """What a rule finds: {id: finding}, each once."""
    findings = list(rule(an_outlook(*days, **plan)))
    by_id = {finding.id: finding for finding in findings}
    assert len(by_id) == len(findings)
    return by_id


def a_run(metres):
    return a_day([rung("run", metres=metres)], **ONCE)


# The clock


@pytest.mark.parametrize(
    ("reps", "severity"),
    [
        pytest.param(60, None, id="some_rounds"),
        pytest.param(260, Severity.LOOK_AT, id="most_do_not_finish_one"),
        pytest.param(900, Severity.MUST_FIX, id="nobody_does"),
    ],
)
def test_a_window_too_short_for_a_round_is_found(reps, severity):
    day = a_day(
        [rung("air-squat", reps)], score="rounds_and_reps", shape="repeat", window="10 min"
    )

    finding = found(time_rules.clock_fits_the_work, day).get("no-whole-round")

    assert (finding and finding.severity) == severity


def test_rounds_that_nobody_can_count_are_noted():
    day = a_day([rung("air-squat", 5)], score="rounds_and_reps", shape="repeat", window="20 min")

    assert found(time_rules.clock_fits_the_work, day).keys() == {"many-rounds-to-count"}


@pytest.mark.parametrize(
    ("cap", "finding", "severity"),
    [
        pytest.param("5 min", "most-are-capped", Severity.MUST_FIX, id="nobody_finishes"),
        pytest.param("9 min", "most-are-capped", Severity.LOOK_AT, id="most_are_stopped"),
        pytest.param("16 min", None, None, id="a_cap_that_fits"),
        pytest.param("60 min", "cap-far-away", Severity.NOTE, id="stops_nobody"),
    ],
)
def test_a_cap_is_held_against_the_time_people_need(cap, finding, severity):
    work = [rung("push-up", 60), rung("air-squat", 100), rung("sit-up", 60)]
    day = a_day(work, score="time", shape="once", cap=cap)

    findings = found(time_rules.clock_fits_the_work, day)

    assert list(findings) == ([finding] if finding else [])
    assert [each.severity for each in findings.values()] == ([severity] if severity else [])


def test_the_cap_that_is_proposed_lets_three_of_four_finish():
    work = [rung("push-up", 60), rung("air-squat", 100), rung("sit-up", 60)]
    first = found(
        time_rules.clock_fits_the_work, a_day(work, score="time", shape="once", cap="9 min")
    )
    enough_s = first["most-are-capped"].numbers["enough_for_three_of_four_s"]

    day = a_day(work, score="time", shape="once", cap=f"{enough_s} s")
    outlook = an_outlook(day)

    assert outlook.expected[1, "full"].scores.capped_share <= 0.25


def test_a_slip_of_the_keyboard_is_found_and_not_simulated():
    day = a_day([rung("push-up", 10)], score="time", shape="repeat", rounds=5000)

    assert found(time_rules.clock_fits_the_work, day)["too-much-work"].severity == "must fix"


@pytest.mark.parametrize(
    ("metres", "ids"),
    [pytest.param(3000, [], id="short_run"), pytest.param(9000, ["day-too-long"], id="long_run")],
)
def test_a_day_longer_than_people_have_is_found(metres, ids):
    assert list(found(time_rules.fits_the_time, a_run(metres))) == ids


@pytest.mark.parametrize(
    ("lighter", "ids"),
    [
        pytest.param(20, [], id="alike"),
        pytest.param(18, [], id="a_tenth_less"),
        pytest.param(14, ["divisions-differ-in-time"], id="nearly_a_third_less"),
        pytest.param(28, ["divisions-differ-in-time"], id="much_more"),
    ],
)
@pytest.mark.parametrize(
    "workout",
    [
        pytest.param({}, id="rounds"),
        pytest.param({"score": "time", "shape": "once"}, id="time"),
        pytest.param({"score": "done", "shape": "repeat", "rounds": 3}, id="done"),
    ],
)
def test_divisions_take_the_same_time_within_15_per_cent(lighter, ids, workout):
    day = a_day([rung("air-squat", 20)], [rung("air-squat", lighter)], **workout)

    assert list(found(time_rules.same_for_every_division, day)) == ids


def test_a_short_warm_up_before_hard_work_is_found():
    short = a_day(PUSH_AND_SQUAT, warm_up=["march", "air-squat", "arm-circle"])
    easy = a_day([rung("march")], warm_up=["march"], score="done", shape="open")

    assert list(found(time_rules.warm_up_long_enough, short)) == ["short-warm-up"]
    assert found(time_rules.warm_up_long_enough, easy) == {}


# What is loaded


@pytest.mark.parametrize(
    ("work", "warm_up", "missing"),
    [
        pytest.param("dumbbell-row", ["march", "arm-circle", "air-squat"], "pull", id="rows"),
        pytest.param("dumbbell-row", ["march", "arm-swing"], None, id="rows_after_swings"),
        pytest.param("push-up", ["march", "inchworm"], None, id="pushed_in_an_inchworm"),
        pytest.param("push-up", ["march", "air-squat"], "push", id="push_ups"),
        pytest.param("jump-squat", ["march", "air-squat"], None, id="jumps_after_squats"),
        pytest.param("jump-squat", ["march", "arm-swing"], "jump", id="jumps_after_nothing"),
        pytest.param("step-up", ["march", "air-squat"], None, id="steps_after_squats"),
        pytest.param("hip-hinge", ["march", "air-squat"], "hinge", id="hinges"),
    ],
)
def test_the_warm_up_covers_what_the_workout_loads(work, warm_up, missing):
    day = a_day([rung(work, 20)], warm_up=warm_up)

    finding = found(pattern_rules.warm_up_covers, day).get("not-warmed-up")

    assert (finding and finding.numbers["pattern"]) == missing


def test_a_handful_of_repetitions_asks_for_no_warm_up():
    day = a_day([rung("push-up", 2), rung("air-squat", 60)], warm_up=["air-squat"], **ONCE)

    assert found(pattern_rules.warm_up_covers, day) == {}


def test_the_same_pattern_hard_on_two_days_running_is_found():
    hard = a_day([rung("forward-lunge", 100)], **ONCE)
    other = a_day([rung("push-up", 100)], **ONCE)
    rule = pattern_rules.hard_two_days_running

    assert found(rule, hard, hard)["hard-two-days-running"].day == 2
    assert found(rule, hard, other, hard) == {}
    assert found(rule, hard, a_rest_day(), hard) == {}


@pytest.mark.parametrize(
    ("push", "pull", "severity"),
    [
        pytest.param(100, 0, Severity.LOOK_AT, id="no_pulling"),
        pytest.param(100, 10, Severity.NOTE, id="little_pulling"),
        pytest.param(100, 60, None, id="balanced"),
        pytest.param(20, 0, None, id="too_little_to_say"),
    ],
)
def test_a_week_that_pushes_and_does_not_pull_is_found(push, pull, severity):
    rungs = [rung("push-up", push), *([rung("prone-arm-raise", pull)] if pull else [])]
    days = [a_day(rungs, **ONCE), a_rest_day()] * 3 + [a_rest_day()]

    finding = found(pattern_rules.balanced_week, *days).get("one-sided-week")

    assert (finding and finding.severity) == severity


# The week


@pytest.mark.parametrize(
    ("days", "ids"),
    [
        pytest.param("wwwwww", [], id="six_days"),
        pytest.param("wwwwwww", ["no-easy-day"], id="seven_days"),
        pytest.param("wwwrwww", [], id="a_rest_day"),
        pytest.param("wwwdwww", [], id="an_easy_day"),
        pytest.param("wwwwwwrwwwwwww", ["no-easy-day"], id="the_second_week"),
        pytest.param("wwwwwwrwwwwww", [], id="six_and_six"),
    ],
)
def test_seven_days_on_end_have_an_easy_one(days, ids):
    kinds = {
        "w": a_day(PUSH_AND_SQUAT),
        "r": a_rest_day(),
        "d": a_day([rung("march")], score="done", shape="open"),
    }

    assert list(found(week_rules.rest_in_seven, *(kinds[day] for day in days))) == ids


def test_an_effort_that_is_written_counts_instead_of_an_assumed_one():
    hard, easy = a_day(PUSH_AND_SQUAT), a_day(PUSH_AND_SQUAT, effort=4)

    assert found(week_rules.rest_in_seven, *[hard] * 6, easy) == {}
    assert an_outlook(easy).expected[1, "full"].effort == 4


def test_a_day_far_beyond_all_before_is_found():
    day, rest = a_day(PUSH_AND_SQUAT), a_rest_day()
    rule = week_rules.big_jumps

    assert found(rule, day, rest, day, a_run(10_000))["big-jump"].day == 4
    assert found(rule, day, rest, day, a_run(3000)) == {}
    assert found(rule, day, a_run(10_000)) == {}  # one day before says too little


def test_a_long_walk_is_no_jump():
    walk = a_day([rung("walk", metres=5000)], **ONCE)

    assert found(week_rules.big_jumps, *[a_day(PUSH_AND_SQUAT)] * 2, walk) == {}


def test_a_week_far_beyond_the_week_before_is_found():
    hold, work = a_day([rung("plank")], **HOLD), a_day(PUSH_AND_SQUAT)
    easy, full = [hold, a_rest_day()] * 3 + [hold], [work] * 6 + [a_rest_day()]

    assert "big-jump-of-a-week" in found(week_rules.big_jumps, *easy[:2], work, *easy[3:], *full)
    assert found(week_rules.big_jumps, *full, *full) == {}


@pytest.mark.parametrize(
    ("days", "ids"),
    [
        pytest.param("wwwwwww", ["every-day-the-same"], id="seven_equal_days"),
        pytest.param("wwwwwwr", ["days-much-alike"], id="six_equal_days_and_a_rest_day"),
        pytest.param("whwrhwr", [], id="hard_and_easy"),
        pytest.param("rrrrrrr", [], id="nothing_but_rest"),
    ],
)
def test_weeks_of_days_alike_are_found(days, ids):
    kinds = {"w": a_day(PUSH_AND_SQUAT), "r": a_rest_day(), "h": a_day([rung("plank")], **HOLD)}

    assert list(found(week_rules.varied_week, *(kinds[day] for day in days))) == ids


# Cautions


@pytest.mark.parametrize(
    ("work", "workout", "caution"),
    [
        pytest.param(rung("jump-squat", 20), {}, "Land softly.", id="jumps"),
        pytest.param(rung("run", metres=3000), ONCE, "In heat go early.", id="outdoors"),
        pytest.param(
            rung("dumbbell-push-press", 10, load="10 kg"), {}, "Look above you.", id="overhead"
        ),
        pytest.param(
            rung("dumbbell-deadlift", 10, load="20 kg"), {}, "Keep a flat back.", id="back"
        ),
        pytest.param(rung("step-up", 20), {}, "Your step must not slide.", id="steps"),
        pytest.param(rung("pull-up", 5), {}, "Test the bar first.", id="bar"),
    ],
)
def test_a_day_asks_for_its_caution_until_it_is_there(work, workout, caution):
    rule = caution_rules.asked_for_by_the_day

    assert list(found(rule, a_day([work], **workout))) == ["caution-missing"]
    assert found(rule, a_day([work], cautions=[caution], **workout)) == {}
    assert found(rule, a_day([work], **workout), cautions=[*SAFE, caution]) == {}


def test_what_the_day_says_in_its_own_words_counts_as_said():
    day = a_day([rung("dumbbell-deadlift", 10, load="20 kg")])
    told = day.model_copy(update={"message": "Stop when your back rounds."})

    assert found(caution_rules.asked_for_by_the_day, told) == {}


def test_words_that_only_look_alike_do_not_count():
    """Who is back from illness is told nothing about a back under load."""
    lifts = a_day([rung("dumbbell-deadlift", 10, load="20 kg")])

    assert any("back" in text for text in SAFE)
    assert list(found(caution_rules.asked_for_by_the_day, lifts)) == ["caution-missing"]


def test_a_swing_asks_for_room_and_for_the_back_in_one_finding():
    swings = [rung("kettlebell-swing", 20, load="16 kg")]

    finding = found(caution_rules.asked_for_by_the_day, a_day(swings))["caution-missing"]

    assert finding.numbers == {"missing": 2}
    assert "kettlebell swings" in finding.sentence


@pytest.mark.parametrize(
    "work",
    [
        pytest.param([rung("push-up", 10)], id="push_ups"),
        pytest.param([rung("burpee", 1), rung("push-up", 40)], id="a_burpee_now_and_then"),
        pytest.param([rung("run", metres=200), rung("push-up", 40)], id="a_short_run"),
    ],
)
def test_harmless_work_asks_for_nothing(work):
    assert found(caution_rules.asked_for_by_the_day, a_day(work, **ONCE)) == {}


@pytest.mark.parametrize(
    ("cautions", "ids"),
    [
        pytest.param(SAFE, [], id="both_said"),
        pytest.param(SAFE[:1], ["who-asks-first-missing"], id="only_when_to_stop"),
        pytest.param(SAFE[1:], ["when-to-stop-missing"], id="only_who_asks"),
        pytest.param(["Stop the clock yourself.", SAFE[1]], ["when-to-stop-missing"], id="clock"),
    ],
)
def test_every_challenge_says_when_to_stop_and_who_asks_first(cautions, ids):
    rule = caution_rules.asked_for_by_every_challenge

    assert list(found(rule, a_day(PUSH_AND_SQUAT), cautions=cautions)) == ids


def test_much_lowering_in_the_first_days_asks_for_a_word_to_newcomers():
    """The first weeks are when muscle breakdown happens: NCAA 2018; CSCCa/NSCA 2019."""
    rule, careful = caution_rules.newcomers_lower_themselves_often, [SAFE[0]]
    many = a_day([rung("push-up", 200)], **ONCE)
    few = a_day([rung("push-up", 100)], **ONCE)

    finding = found(rule, many, cautions=careful)["much-for-newcomers"]

    assert finding.numbers["reps"] == 200
    assert found(rule, few, cautions=careful) == {}
    assert found(rule, many, cautions=SAFE) == {}  # "New to this ..."
    assert found(rule, a_rest_day(), a_rest_day(), a_rest_day(), many, cautions=careful) == {}


def test_leaning_on_a_wall_is_no_lowering():
    day = a_day([rung("wall-push-up", 200)], **ONCE)

    assert found(caution_rules.newcomers_lower_themselves_often, day, cautions=[SAFE[0]]) == {}


# Kit


def test_weights_have_loads_and_loads_have_weights():
    rule = kit_rules.loads_are_said

    assert list(found(rule, a_day([rung("goblet-squat", 10)]))) == ["load-missing"]
    assert list(found(rule, a_day([rung("air-squat", 9, load="8 kg")]))) == ["load-on-nothing"]
    assert found(rule, a_day([rung("goblet-squat", 10, load="8 kg")])) == {}
    assert found(rule, a_day([rung("dumbbell-deadlift")], score="load", shape="open")) == {}


def test_kit_that_nothing_replaces_must_be_fixed():
    pull_up = movement_library()["pull-up"]
    hangs = [option for option in pull_up.options if option.movement == "inverted-row"]
    stuck = pull_up.model_copy(update={"substitutes": {}, "options": tuple(hangs)})
    day = a_day([rung("pull-up", 5)])
    rule = kit_rules.kit_can_be_replaced

    assert found(rule, day) == {}
    finding = found(rule, day, movements={"pull-up": stuck})["kit-without-another-way"]
    assert finding.severity is Severity.MUST_FIX


def test_kit_for_one_day_only_is_noted():
    one = a_day([rung("goblet-squat", 10, load="8 kg")])
    two = a_day([rung("two-dumbbell-press", 10, load="2 x 8 kg")])
    rope = a_day([rung("rope-skip", 50)])
    rule = kit_rules.same_kit_all_week

    assert found(rule, one, one, two)["kit-for-one-day"].day == 3
    assert found(rule, one, one, rope)["kit-for-one-day"].numbers == {"kit": "a rope"}
    assert found(rule, one, two, one, two) == {}
    assert found(rule, a_day(PUSH_AND_SQUAT), one) == {}


@pytest.mark.parametrize(
    ("summary", "work", "ids"),
    [
        pytest.param("No kit at all.", rung("goblet-squat", 9), ["promise-not-kept"], id="kit"),
        pytest.param("No kit at all.", rung("step-up", 9), [], id="a_step_is_everywhere"),
        pytest.param("No jumps.", rung("burpee", 9), ["promise-not-kept"], id="jumps"),
        pytest.param("As written.", rung("burpee", 9), [], id="nothing_promised"),
    ],
)
def test_a_division_keeps_what_its_summary_promises(summary, work, ids):
    assert list(found(kit_rules.promises_are_kept, a_day([work]), summary=summary)) == ids


@pytest.mark.parametrize(
    ("work", "workout", "ids"),
    [
        pytest.param(rung("forward-lunge", 15), {}, ["uneven-sides"], id="odd"),
        pytest.param(rung("forward-lunge", 16), {}, [], id="even"),
        pytest.param(rung("forward-lunge", 15, each_side=True), {}, [], id="on_each_side"),
        pytest.param(rung("push-up", 15), {}, [], id="both_at_once"),
        pytest.param(
            rung("forward-lunge"),
            {"score": "time", "shape": "scheme", "scheme": [20, 15, 10]},
            ["uneven-sides"],
            id="odd_in_a_scheme",
        ),
        pytest.param(
            rung("forward-lunge", 2),
            {"score": "rounds_and_reps", "shape": "climb", "step": 1, "window": "9 min"},
            ["uneven-sides"],
            id="odd_later_on",
        ),
    ],
)
def test_both_sides_get_the_same(work, workout, ids):
    assert list(found(kit_rules.both_sides_alike, a_day([work], **workout))) == ids


# The order


def test_the_gravest_come_first_then_day_by_day():
    def a_finding(severity, day):
        return Finding("some-thing", severity, "So it is.", "Do this.", day=day)

    note, week, late, early, grave = (
        a_finding(severity, day)
        for severity, day in [
            (Severity.NOTE, 1),
            (Severity.LOOK_AT, None),
            (Severity.LOOK_AT, 6),
            (Severity.LOOK_AT, 2),
            (Severity.MUST_FIX, 7),
        ]
    )

    assert in_order([note, week, late, early, grave]) == (grave, early, late, week, note)


def test_words_are_listed_as_in_a_sentence():
    assert [listed(list(words)) for words in ("a", "ab", "abc")] == ["a", "a and b", "a, b and c"]


def test_every_division_is_said_when_all_are_meant():
    outlook = an_outlook(a_day(PUSH_AND_SQUAT, PUSH_AND_SQUAT))

    assert outlook.who(["full", "lighter"]) == "every division"
    assert outlook.who(["lighter"]) == "Lighter"
    assert a_plan(a_rest_day()).head.divisions[0].name == "Full"
