"""Ladder arithmetic against its definition, round by round, and against known sums."""

from __future__ import annotations

from itertools import accumulate, islice
from math import isqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from content.ladder import (
    Listed,
    Position,
    Steady,
    done_per_rung,
    extra_room,
    join,
    locate,
    round_size,
    split,
    total_at,
    total_work,
)
from tests.content.builders import LADDERS

every_kind = pytest.mark.parametrize(
    "ladders", [pytest.param(ladders, id=kind) for kind, ladders in LADDERS.items()]
)
quick = settings(max_examples=40)  # of each kind
MANY = 40_000  # repetitions; far more than a day holds


def a_total(data, ladder):
    work = total_work(ladder)
    return data.draw(st.integers(0, MANY if work is None else work), label="total")


def climbing(step, *, rungs=1, rounds=None):
    """A ladder of `step`, twice `step`, three times `step`, ..."""
    return Steady((step,) * rungs, (step,) * rungs, rounds)


def walked(ladder, total):
    """Count `total` repetitions off one by one: the slow way, sure to be right."""
    round_number, rung, done = 1, 0, 0
    for _ in range(total):
        done += 1
        counts = ladder.counts(round_number)
        if done == counts[rung]:
            rung, done = rung + 1, 0
        if rung == len(counts):
            round_number, rung = round_number + 1, 0
    return Position(round_number, rung, done)


@every_kind
@quick
@given(data=st.data())
def test_a_place_and_its_total_lead_to_each_other(ladders, data):
    ladder = data.draw(ladders)
    total = a_total(data, ladder)

    place = locate(ladder, total)

    assert total_at(ladder, place) == total


@every_kind
@quick
@given(data=st.data())
def test_a_place_is_where_counting_one_by_one_arrives(ladders, data):
    ladder = data.draw(ladders)
    total = min(a_total(data, ladder), 500)

    assert locate(ladder, total) == walked(ladder, total)


@every_kind
@quick
@given(data=st.data())
def test_rounds_with_a_rest_and_the_total_lead_to_each_other(ladders, data):
    ladder = data.draw(ladders)
    total = a_total(data, ladder)

    rounds, extra = split(ladder, total)

    assert join(ladder, rounds, extra) == total
    assert 0 <= extra <= extra_room(ladder, rounds)


@every_kind
@quick
@given(data=st.data())
def test_every_possible_rest_is_split_off_again(ladders, data):
    ladder = data.draw(ladders)
    rounds = data.draw(st.integers(0, ladder.rounds or 50))
    extra = data.draw(st.integers(0, extra_room(ladder, rounds)))

    assert split(ladder, join(ladder, rounds, extra)) == (rounds, extra)


@every_kind
@quick
@given(data=st.data())
def test_a_later_total_is_never_an_earlier_place(ladders, data):
    ladder = data.draw(ladders)
    total = a_total(data, ladder)
    if total == total_work(ladder):
        total -= 1

    here, next_ = locate(ladder, total), locate(ladder, total + 1)

    assert (here.round_number, here.rung, here.done) < (
        next_.round_number,
        next_.rung,
        next_.done,
    )


@every_kind
@quick
@given(data=st.data())
def test_through_is_the_sum_of_the_counts(ladders, data):
    ladder = data.draw(ladders)
    rounds = data.draw(st.integers(0, ladder.rounds or 50))

    counted = sum(round_size(ladder, number) for number in range(1, rounds + 1))

    assert ladder.through(rounds) == counted


@every_kind
@quick
@given(data=st.data())
def test_what_each_rung_holds_adds_up_to_the_total(ladders, data):
    ladder = data.draw(ladders)
    total = a_total(data, ladder)

    done = done_per_rung(ladder, total)

    assert sum(done) == total
    assert min(done) >= 0
    assert len(done) == len(ladder.counts(1))


@every_kind
@quick
@given(data=st.data())
def test_whole_rounds_leave_each_rung_its_column(ladders, data):
    ladder = data.draw(ladders)
    rounds = data.draw(st.integers(0, ladder.rounds or 20))
    columns = zip(*(ladder.counts(n) for n in range(1, rounds + 1)), strict=True)

    done = done_per_rung(ladder, ladder.through(rounds))

    assert done == (tuple(sum(c) for c in columns) if rounds else (0,) * len(ladder.counts(1)))


@every_kind
@quick
@given(data=st.data())
def test_totals_and_rests_that_no_ladder_has_are_refused(ladders, data):
    ladder = data.draw(ladders)
    rounds = data.draw(st.integers(0, ladder.rounds or 50))
    work = total_work(ladder)

    with pytest.raises(ValueError, match="got -1"):
        split(ladder, -1)
    with pytest.raises(ValueError, match="got -1"):
        join(ladder, rounds, -1)
    with pytest.raises(ValueError, match="before it is whole"):
        join(ladder, rounds, extra_room(ladder, rounds) + 1)
    if work is not None:
        with pytest.raises(ValueError, match=f"0 to {work}, got {work + 1}"):
            locate(ladder, work + 1)
        with pytest.raises(ValueError, match=f"got {ladder.rounds + 1}"):
            join(ladder, ladder.rounds + 1, 0)


@pytest.mark.parametrize(
    "place",
    [
        pytest.param(Position(0, 0, 0), id="round_zero"),
        pytest.param(Position(4, 0, 1), id="behind_the_end"),
        pytest.param(Position(5, 0, 0), id="a_round_too_many"),
        pytest.param(Position(1, 2, 0), id="no_such_rung"),
        pytest.param(Position(1, -1, 0), id="rung_before_the_first"),
        pytest.param(Position(1, 0, 8), id="a_whole_rung_is_the_next_rung"),
        pytest.param(Position(1, 0, -1), id="less_than_nothing"),
    ],
)
def test_places_that_are_not_on_the_ladder_are_refused(place):
    with pytest.raises(ValueError, match=r"no round|rung"):
        total_at(Steady((8, 20), (0, 0), 3), place)


@pytest.mark.parametrize(
    ("first", "step", "rounds", "match"),
    [
        pytest.param((), (), 3, "one step per rung", id="no_rungs"),
        pytest.param((1, 2), (0,), 3, "one step per rung", id="a_step_is_missing"),
        pytest.param((1,), (0,), 0, "rounds must be", id="no_rounds"),
        pytest.param((0,), (1,), 3, "at least 1", id="empty_first_round"),
        pytest.param((5,), (-2,), 4, "at least 1", id="descends_below_one"),
        pytest.param((50,), (-1,), None, "needs its number", id="descends_without_end"),
    ],
)
def test_ladders_that_cannot_be_climbed_are_refused(first, step, rounds, match):
    with pytest.raises(ValueError, match=match):
        Steady(first, step, rounds)


@pytest.mark.parametrize(
    "each",
    [
        pytest.param((), id="no_rounds"),
        pytest.param(((),), id="no_rungs"),
        pytest.param(((3, 0),), id="an_empty_rung"),
        pytest.param(((3, 2), (3,)), id="a_rung_is_missing"),
    ],
)
def test_schemes_with_holes_are_refused(each):
    with pytest.raises(ValueError, match="same rungs"):
        Listed(each)


# 1, 3, 6, 10, ...: the triangular numbers. Source: OEIS A000217.
TRIANGULAR = (1, 3, 6, 10, 15, 21, 28, 36, 45, 55, 66, 78, 91, 105, 120, 136, 153, 171, 190, 210)


def test_one_two_three_climbs_through_the_triangular_numbers():
    ladder = climbing(1)

    assert tuple(ladder.through(n) for n in range(1, 21)) == TRIANGULAR


@given(step=st.integers(1, 50), rungs=st.integers(1, 5), rounds=st.integers(1, 300))
def test_multiples_add_up_as_an_arithmetic_series(step, rungs, rounds):
    """Source: arithmetic series, step times n(n + 1)/2, for each rung."""
    ladder = climbing(step, rungs=rungs, rounds=rounds)

    assert total_work(ladder) == rungs * step * rounds * (rounds + 1) // 2


@given(first=st.integers(1, 99), step=st.integers(0, 99), rounds=st.integers(1, 300))
def test_any_climb_adds_up_as_n_times_first_plus_last_over_two(first, step, rounds):
    """Source: arithmetic series, n(first + last)/2."""
    ladder = Steady((first,), (step,), rounds)
    [last] = ladder.counts(rounds)

    assert 2 * ladder.through(rounds) == rounds * (first + last)


@given(total=st.integers(0, 10**15))
def test_the_inverse_of_the_triangular_numbers_is_an_integer_square_root(total):
    """Source: n = floor((sqrt(8r + 1) - 1)/2), with the integer square root."""
    rounds = (isqrt(8 * total + 1) - 1) // 2

    assert split(climbing(1), total) == (rounds, total - rounds * (rounds + 1) // 2)


@pytest.mark.parametrize(
    ("total", "expected"),
    [
        # Source: the same identity, worked out.
        pytest.param(54, (9, 9), id="54_is_9_and_9"),
        pytest.param(55, (10, 0), id="55_is_10_whole"),
        pytest.param(56, (10, 1), id="56_is_10_and_1"),
        pytest.param(65, (10, 10), id="65_is_10_and_10"),
        pytest.param(66, (11, 0), id="66_is_11_whole"),
    ],
)
def test_totals_around_a_whole_rung_of_one_two_three(total, expected):
    assert split(climbing(1), total) == expected


@pytest.mark.parametrize(
    ("step", "rungs", "cumulative"),
    [
        # Source: arithmetic, and n(n + 1) for the even numbers.
        pytest.param(3, 1, (3, 9, 18, 30, 45, 63, 84, 108, 135, 165), id="3_6_9"),
        pytest.param(3, 2, (6, 18, 36, 60, 90, 126, 168), id="3_6_9_of_two_movements"),
        pytest.param(2, 1, (2, 6, 12, 20, 30, 42, 56, 72, 90, 110), id="2_4_6"),
    ],
)
def test_sums_of_climbing_ladders(step, rungs, cumulative):
    ladder = climbing(step, rungs=rungs)
    sizes = islice((round_size(ladder, n) for n in range(1, 99)), len(cumulative))

    assert tuple(ladder.through(n + 1) for n in range(len(cumulative))) == cumulative
    assert tuple(accumulate(sizes)) == cumulative


@pytest.mark.parametrize(
    ("scheme", "work"),
    [
        # Source: arithmetic.
        pytest.param((21, 15, 9), 45, id="21_15_9"),
        pytest.param((27, 21, 15, 9), 72, id="27_21_15_9"),
        pytest.param((30, 20, 10), 60, id="30_20_10"),
        pytest.param((50, 40, 30, 20, 10), 150, id="50_to_10"),
        pytest.param(tuple(range(10, 0, -1)), 55, id="10_down_to_1"),
        pytest.param((*range(1, 11), *range(9, 0, -1)), 10**2, id="1_up_to_10_and_down"),
    ],
)
def test_work_of_fixed_schemes_for_each_movement(scheme, work):
    assert total_work(Listed(tuple((count,) for count in scheme))) == work
    assert total_work(Listed(tuple((count, count) for count in scheme))) == 2 * work


@pytest.mark.parametrize(
    ("first", "step", "rounds", "work"),
    [
        pytest.param(21, -6, 3, 45, id="21_15_9"),
        pytest.param(50, -10, 5, 150, id="50_to_10"),
        pytest.param(10, -1, 10, 55, id="10_down_to_1"),
    ],
)
def test_a_descending_ladder_is_the_scheme_written_out(first, step, rounds, work):
    ladder = Steady((first,), (step,), rounds)
    written = Listed(tuple(ladder.counts(n) for n in range(1, rounds + 1)))

    assert total_work(ladder) == total_work(written) == work
    assert [locate(ladder, n) for n in range(work + 1)] == [
        locate(written, n) for n in range(work + 1)
    ]


@pytest.mark.parametrize(("minutes", "work"), [(10, 55), (12, 78), (15, 120), (20, 210)])
def test_as_many_repetitions_as_the_minute_has_a_number(minutes, work):
    """Source: OEIS A000217."""
    assert total_work(climbing(1, rounds=minutes)) == work


def test_three_rounds_and_45_of_a_round_of_60():
    """Source: arithmetic, divmod(225, 60) = (3, 45)."""
    ladder = Steady((8, 20, 12, 18, 2), (0,) * 5)

    assert join(ladder, 3, 45) == 225
    assert split(ladder, 225) == divmod(225, 60) == (3, 45)
    assert locate(ladder, 225) == Position(4, 3, 5)


def test_three_rounds_and_45_is_impossible_when_a_round_holds_30():
    """Source: arithmetic; it would be four rounds and 15."""
    ladder = Steady((10, 20), (0, 0))

    with pytest.raises(ValueError, match="round 4 takes 0 to 29 before it is whole, got 45"):
        join(ladder, 3, 45)
    assert split(ladder, 3 * 30 + 45) == (4, 15)


def test_the_end_of_a_ladder_is_a_place_of_its_own():
    ladder = Steady((21, 21), (-6, -6), 3)

    assert locate(ladder, 90) == Position(4, 0, 0)
    assert locate(ladder, 89) == Position(3, 1, 8)
    assert extra_room(ladder, 3) == 0
