"""After the days: actual scores against expected ones, and where people stopped."""

from __future__ import annotations

import pytest

from content.review.after import (
    Actual,
    Outcome,
    Staying,
    Turned,
    look_back,
    outcomes,
    staying,
)
from content.review.finding import Severity
from content.score import Amount, Finished, RoundsAndReps, Unit, rank_key
from tests.content.builders import a_rest_day
from tests.content.review.builders import a_day, an_outlook, rung

WORK = [rung("push-up", 8), rung("air-squat", 12)]
ROUNDS = an_outlook(a_day(WORK))
EXPECTED = ROUNDS.expected[1, "full"].scores


def scores_of(shares, day=1, division="full"):
    """Scores of people who stand at these shares of what was expected."""
    return [
        Actual(f"person {place}", day, division, EXPECTED.at(share))
        for place, share in enumerate(shares)
    ]


def came(*days_of_each: list[int]):
    """One score a day for people who came on these days."""
    done = RoundsAndReps(4, 0, 80)
    return [
        Actual(person, day, "full", done)
        for person, days in enumerate(days_of_each)
        for day in days
    ]


@pytest.mark.parametrize(
    ("shares", "turned"),
    [
        pytest.param([0.1, 0.3, 0.5, 0.7, 0.9], Turned.AS_EXPECTED, id="as_expected"),
        pytest.param([0.02, 0.05, 0.1, 0.2, 0.6], Turned.HARDER, id="nearly_all_below"),
        pytest.param([0.4, 0.8, 0.9, 0.95, 1.0], Turned.EASIER, id="nearly_all_above"),
    ],
)
def test_the_middle_of_the_scores_is_held_against_what_was_expected(shares, turned):
    [outcome] = outcomes(ROUNDS, scores_of(shares))

    middle = EXPECTED.at(shares[2])
    assert outcome == Outcome(
        day=1,
        division="full",
        count=5,
        worse=EXPECTED.at(shares[1]),
        middle=middle,
        better=EXPECTED.at(shares[3]),
        place=EXPECTED.share_below(rank_key(middle)),
        turned=turned,
    )
    assert outcome.place == pytest.approx(shares[2], abs=0.02)


def test_a_time_is_better_when_it_is_shorter():
    outlook = an_outlook(a_day(WORK, score="time", shape="repeat", rounds=5))
    expected = outlook.expected[1, "full"].scores
    fast = expected.at(0.97).time_s

    [outcome] = outcomes(outlook, [Actual(n, 1, "full", Finished(fast + n)) for n in range(5)])

    assert outcome.turned is Turned.EASIER
    assert (outcome.worse, outcome.better) == (Finished(fast + 3), Finished(fast + 1))


@pytest.mark.parametrize(
    "day",
    [
        pytest.param(a_day([rung("plank")], score="hold", shape="open"), id="nothing_expected"),
        pytest.param(a_rest_day(), id="a_rest_day"),
    ],
)
def test_days_without_an_expectation_are_left_out(day):
    outlook = an_outlook(day, a_day(WORK))
    scores = [Actual(n, 1, "full", Amount(60, Unit.SECONDS)) for n in range(9)]

    assert list(outcomes(outlook, scores)) == []


def test_four_scores_are_too_few_to_judge_a_day():
    assert list(outcomes(ROUNDS, scores_of([0.01] * 4))) == []


def test_who_was_there_and_who_was_seen_last():
    outlook = an_outlook(a_day(WORK), a_day(WORK), a_rest_day(), a_day(WORK))
    scores = came([1, 2, 4], [1, 4], [1, 2], [2], [4])

    assert staying(outlook, scores) == [
        Staying(day=1, there=3, did_it=3, last_seen=0),
        Staying(day=2, there=4, did_it=3, last_seen=2),
        Staying(day=4, there=3, did_it=3, last_seen=0),
    ]


def test_a_day_after_which_many_stayed_away_is_worth_a_look():
    outlook = an_outlook(*[a_day(WORK)] * 3)
    stopped, stayed = [[1, 2]] * 3, [[1, 2, 3]] * 7

    [finding] = [f for f in look_back(outlook, came(*stopped, *stayed)) if "away" in f.id]

    assert (finding.day, finding.severity) == (2, Severity.LOOK_AT)
    assert finding.numbers == {"last_seen": 3, "there": 10}
    assert "3 of the 10 people" in finding.sentence


@pytest.mark.parametrize(
    ("stopped", "stayed"),
    [pytest.param(2, 3, id="two_of_five"), pytest.param(3, 20, id="three_of_many")],
)
def test_a_few_who_stay_away_are_no_finding(stopped, stayed):
    outlook = an_outlook(*[a_day(WORK)] * 3)
    scores = came(*[[1, 2]] * stopped, *[[1, 2, 3]] * stayed)

    assert [f for f in look_back(outlook, scores) if "away" in f.id] == []


def test_looking_back_says_which_days_were_harder_and_which_easier():
    hard, easy = scores_of([0.02] * 6), scores_of([0.98] * 6)

    [harder] = look_back(ROUNDS, hard)
    [easier] = look_back(ROUNDS, easy)

    assert harder.sentence.startswith("Full: the day was harder than expected; the middle of 6")
    assert easier.sentence.startswith("Full: the day was easier than expected; the middle of 6")
    assert look_back(ROUNDS, scores_of([0.5] * 6)) == []


def test_nobody_at_all_is_no_trouble():
    assert look_back(ROUNDS, []) == []
