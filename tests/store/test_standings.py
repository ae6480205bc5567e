from __future__ import annotations

import random
from datetime import timedelta

import pandas as pd
import pytest
from scipy.stats import rankdata

from store.results import record, set_mark, strike
from store.standings import day_scores, day_standings, entries_on_day, overall, own_day_place
from store.values import DayPlace, DayScore, OverallPlace, ResultState, UserId
from tests.store.builders import (
    CHAT,
    FIRST,
    MIRA,
    START,
    TOMO,
    a_challenge,
    a_day,
    a_participant,
    an_entry,
    people_at_home,
    scores,
    some_days,
)

HERE = {"chat_id": CHAT, "challenge_id": FIRST}


async def _overall(session, day_count, *, division="full", discards=0, limit=None):
    return await overall(
        session,
        **HERE,
        division=division,
        day_numbers=range(1, day_count + 1),
        discards=discards,
        limit=limit,
    )


def _places(standings):
    return {line.user_id: line.place for line in standings}


async def test_a_days_standings_rank_1224_and_list_equals_by_when_they_said_it(database):
    async with database.work() as session:
        await a_challenge(session)
        said = [(1, 42, 30), (2, 44, 40), (3, 39, 10), (4, 42, 20)]
        for user_id, rank_key, minute in said:
            await a_participant(session, UserId(user_id), name=f"P{user_id}")
            entry = an_entry(
                UserId(user_id),
                rank_key=rank_key,
                message_id=user_id,
                said_at=START + timedelta(minutes=minute),
            )
            await record(session, entry, make_up_until=START + timedelta(days=2), now=START, by=1)

        listed = await day_standings(session, **HERE, day_number=1, division="full")

        def line(place, user_id, rank_key):
            return DayPlace(
                place, UserId(user_id), f"P{user_id}", rank_key, f'{{"total_reps":{rank_key}}}'
            )

        assert listed == (line(1, 2, 44), line(2, 4, 42), line(2, 1, 42), line(4, 3, 39))
        assert listed[:2] == await day_standings(
            session, **HERE, day_number=1, division="full", limit=2
        )
        own = await own_day_place(session, **HERE, day_number=1, user_id=UserId(1))
        assert own == (line(2, 1, 42), 4)


async def test_a_days_places_equal_those_of_scipy_and_pandas(database):
    """Random days with many ties; method "min" is standard competition ranking."""
    rng = random.Random(20260302)
    async with database.work() as session:
        await a_challenge(session, days=some_days(220))
        await people_at_home(session, dict.fromkeys(range(1, 13), "full"))
        days = {
            number: {
                user_id: rng.randrange(-3, 6) * 10 ** rng.randrange(12)
                for user_id in rng.sample(range(1, 13), rng.randrange(1, 13))
            }
            for number in range(1, 221)
        }
        await scores(
            session,
            {(u, d): ("full", key) for d, keys in days.items() for u, key in keys.items()},
        )

        for number, keys in days.items():
            found = await day_standings(session, **HERE, day_number=number, division="full")

            by_scipy = rankdata([-key for key in keys.values()], method="min")
            assert _places(found) == dict(zip(keys, by_scipy, strict=True))
            by_pandas = pd.Series(keys).rank(method="min", ascending=False)
            assert _places(found) == by_pandas.to_dict()
            one = rng.choice(list(keys))
            own, entries = await own_day_place(
                session, **HERE, day_number=number, user_id=UserId(one)
            )
            assert (own.place, entries) == (_places(found)[one], len(keys))


@pytest.mark.parametrize(
    "state", [ResultState.LATE, ResultState.NO_REP, ResultState.WITHDRAWN], ids=str
)
async def test_only_counted_results_rank(database, state):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full"})
        await scores(session, {(1, 1): ("full", 50)}, state=state)
        await scores(session, {(2, 1): ("full", 40)})

        listed = await day_standings(session, **HERE, day_number=1, division="full")

        assert _places(listed) == {2: 1}
        assert _places(await _overall(session, 1)) == {2: 1}
        assert await own_day_place(session, **HERE, day_number=1, user_id=UserId(1)) is None
        assert await entries_on_day(session, **HERE, day_number=1) == {"full": 1}


async def test_a_late_result_does_not_rank_and_a_struck_one_gives_its_place_back(database):
    late = a_day(1).make_up_until + timedelta(seconds=1)
    async with database.work() as session:
        await a_challenge(session)
        for user_id, said_at, rank_key in ((MIRA, START, 50), (TOMO, START, 40), (5, late, 60)):
            await a_participant(session, UserId(user_id))
            await record(
                session,
                an_entry(UserId(user_id), rank_key=rank_key, said_at=said_at),
                make_up_until=a_day(1).make_up_until,
                now=late,
                by=user_id,
            )
        before = await day_standings(session, **HERE, day_number=1, division="full")
        await strike(session, **HERE, day_number=1, user_id=MIRA, by=1, why="", now=late)
        after = await day_standings(session, **HERE, day_number=1, division="full")

    assert (_places(before), _places(after)) == ({MIRA: 1, TOMO: 2}, {TOMO: 1})


async def test_entries_count_by_the_division_done(database):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full", 3: "lighter"})
        await scores(
            session, {(1, 1): ("full", 1), (2, 1): ("lighter", 1), (3, 1): ("lighter", 2)}
        )

        assert await entries_on_day(session, **HERE, day_number=1) == {"full": 1, "lighter": 2}


async def _race(session, boats):
    """Let `boats` (name to placing by day) take these places; others take the places between."""
    entries = max(max(placings) for placings in boats.values())
    day_count = len(next(iter(boats.values())))
    people = {name: number for number, name in enumerate(boats, start=1)}
    others = range(101, 101 + entries - len(boats))
    await a_challenge(session, days=some_days(day_count))
    await people_at_home(session, dict.fromkeys([*people.values(), *others], "full"))
    for day in range(day_count):
        taken = {placings[day]: people[name] for name, placings in boats.items()}
        free = [place for place in range(1, entries + 1) if place not in taken]
        order = taken | dict(zip(free, others, strict=True))
        await scores(session, {(who, day + 1): ("full", -place) for place, who in order.items()})
    return people


@pytest.mark.parametrize(
    ("boats", "total", "order"),
    [
        # RRS A8.1 and A8.2 in "Misconduct: a Reference for Race Officials", p. 105, first table
        pytest.param(
            {"A": (3, 4, 1, 6, 2, 7), "B": (4, 3, 2, 1, 6, 6), "C": (1, 2, 7, 3, 3, 14)},
            16,
            "CBA",
            id="S1",
        ),
        # same, second table
        pytest.param(
            {"A": (3, 4, 5, 10), "B": (11, 3, 4, 5), "C": (5, 15, 3, 4), "D": (4, 5, 6, 3)},
            12,
            "DCBA",
            id="S2",
        ),
    ],
)
async def test_published_ties_are_broken_as_published(database, boats, total, order):
    async with database.work() as session:
        people = await _race(session, boats)

        found = await _overall(session, len(boats["A"]), discards=1)

    named = {number: name for name, number in people.items()}
    lines = [line for line in found if line.user_id in named]
    assert "".join(named[line.user_id] for line in lines) == order
    assert {line.points for line in lines} == {total}
    assert len({line.place for line in lines}) == len(lines)


async def test_places_of_three_days_add_up(database):
    """Own numbers: reps 50 50 40 30; seconds 300 290 290 310; reps 20 10 25 25."""
    days = [(50, 50, 40, 30), (-300, -290, -290, -310), (20, 10, 25, 25)]
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, dict.fromkeys((1, 2, 3, 4), "full"))
        for number, keys in enumerate(days, start=1):
            await scores(
                session, {(who, number): ("full", key) for who, key in enumerate(keys, start=1)}
            )

        found = await _overall(session, 3)
        top = await _overall(session, 3, limit=2)

    assert {line.user_id: (line.place, line.points) for line in found} == {
        1: (3, 7),
        2: (2, 6),
        3: (1, 5),
        4: (4, 9),
    }
    assert found[0] == OverallPlace(1, UserId(3), "Person 3", points=5, days_done=3)
    assert top == found[:2]


async def test_a_tie_can_survive_every_step(database):
    """Own numbers: P 1 4 1; Q 2 2 2; R 2 2 2; S 4 1 4."""
    placings = {1: (1, 4, 1), 2: (2, 2, 2), 3: (2, 2, 2), 4: (4, 1, 4)}
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, dict.fromkeys(placings, "full"))
        await scores(
            session,
            {
                (who, number): ("full", -place)
                for who, places in placings.items()
                for number, place in enumerate(places, start=1)
            },
        )

        found = await _overall(session, 3)

    assert _places(found) == {1: 1, 2: 2, 3: 2, 4: 4}
    assert [line.points for line in found] == [6, 6, 6, 9]


async def test_a_day_in_another_division_counts_after_those_who_did_it_and_before_a_miss(
    database,
):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, dict.fromkeys((1, 2, 3, 4, 5), "full"))
        await scores(session, {(who, 1): ("full", -who) for who in (1, 2, 3, 4, 5)})
        await scores(
            session,
            {(1, 2): ("full", 9), (2, 2): ("full", 8), (3, 2): ("lighter", 99)},
        )

        found = {line.user_id: line for line in await _overall(session, 2)}

    assert found[2].points == 2 + 2
    assert (found[3].points, found[3].days_done) == (3 + 3, 2)
    assert (found[4].points, found[4].days_done) == (4 + 6, 1)


async def test_a_visitor_takes_a_place_that_day_and_moves_nobody_at_home(database):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full", 3: "lighter"})
        await scores(session, {(1, 1): ("full", 5), (2, 1): ("full", 3), (3, 1): ("full", 4)})

        day = await day_standings(session, **HERE, day_number=1, division="full")
        full = await _overall(session, 1)
        lighter = await _overall(session, 1, division="lighter")

    assert _places(day) == {1: 1, 3: 2, 2: 3}
    assert {line.user_id: line.points for line in full} == {1: 1, 2: 2}
    assert {line.user_id: line.points for line in lighter} == {3: 1}


async def test_missing_a_day_never_beats_doing_it_behind_many_visitors(database):
    """Two at home, five visitors faster than the one of them who does day 2."""
    visitors = range(11, 16)
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full"} | dict.fromkeys(visitors, "lighter"))
        await scores(session, {(1, 1): ("full", 5), (2, 1): ("full", 5), (1, 2): ("full", 1)})
        await scores(session, {(who, 2): ("full", 9) for who in visitors})

        found = await _overall(session, 2)

    assert [(line.user_id, line.points) for line in found] == [(1, 1 + 1), (2, 1 + 3)]


async def test_who_has_done_nothing_is_not_listed_but_makes_a_miss_dearer(database):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, dict.fromkeys(range(1, 8), "full"))
        await scores(session, {(1, 1): ("full", 5)})

        found = await _overall(session, 2)

    assert found == (OverallPlace(1, UserId(1), "Person 1", points=1 + 8, days_done=1),)


async def test_a_late_joiner_misses_the_days_before(database):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full"})
        await scores(session, {(1, 1): ("full", 5), (1, 2): ("full", 5)})
        alone = await _overall(session, 2)
        await a_participant(session, UserId(2), now=START + timedelta(days=1))
        await scores(session, {(2, 2): ("full", 6)})

        joined = await _overall(session, 2)

    assert [line.points for line in alone] == [2]
    assert {line.user_id: line.points for line in joined} == {1: 1 + 2, 2: 3 + 1}


async def test_only_the_days_given_count(database):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full"})
        await scores(session, {(1, 1): ("full", 5), (2, 2): ("full", 5)})

        assert _places(await _overall(session, 1)) == {1: 1}
        assert await _overall(session, 0) == ()


@pytest.mark.parametrize("discards", [1, 2, 9])
async def test_discards_never_take_the_last_day(database, discards):
    async with database.work() as session:
        await a_challenge(session)
        await people_at_home(session, {1: "full", 2: "full"})
        await scores(session, {(1, 1): ("full", 5), (2, 1): ("full", 4), (2, 2): ("full", 4)})

        one_day = await _overall(session, 1, discards=discards)
        two_days = await _overall(session, 2, discards=discards)

    assert {line.user_id: line.points for line in one_day} == {1: 1, 2: 2}
    assert {line.user_id: line.points for line in two_days} == {1: 1, 2: 1}
    assert _places(two_days) == {2: 1, 1: 2}


def _expected(homes, results, day_count, discards):
    """Rank people at home in "full" with scipy and plain Python; lines of place and points."""
    entries = sum(home == "full" for home in homes.values())
    placings = {who: [] for who, home in homes.items() if home == "full"}
    for day in range(1, day_count + 1):
        keys = {
            who: key
            for (who, d), (div, key) in results.items()
            if (d, div, homes[who]) == (day, "full", "full")
        }
        ranks = dict(
            zip(keys, rankdata([-key for key in keys.values()], method="min"), strict=True)
        )
        for who, places in placings.items():
            done_elsewhere = (who, day) in results
            otherwise = len(keys) + 1 if done_elsewhere else entries + 1
            places.append(int(ranks.get(who, otherwise)))
    sort_keys = {}
    for who, places in placings.items():
        if not any(person == who for person, _ in results):
            continue
        counted = list(places)
        for _ in range(min(discards, day_count - 1)):
            counted.remove(max(counted))
        sort_keys[who] = (sum(counted), sorted(counted), places[::-1])
    return {
        who: (1 + sum(other < key for other in sort_keys.values()), key[0])
        for who, key in sort_keys.items()
    }


async def test_overall_equals_a_plain_computation_and_does_not_depend_on_arrival(database):
    """Random challenges with ties, visitors, misses and idle people, stored in two orders."""
    rng = random.Random(7)
    for _ in range(100):
        day_count, discards = rng.randrange(1, 6), rng.randrange(3)
        homes = {who: rng.choice(["full", "full", "lighter"]) for who in range(1, 11)}
        results = {
            (who, day): (home if rng.random() < 0.8 else "full", rng.randrange(4))
            for who, home in homes.items()
            for day in range(1, day_count + 1)
            if rng.random() < 0.6
        }
        shuffled = dict(rng.sample(sorted(results.items()), len(results)))
        for stored in (results, shuffled):
            async with database.work() as session:
                await a_challenge(session, days=some_days(day_count))
                await people_at_home(session, homes)
                await scores(session, stored)

                found = await _overall(session, day_count, discards=discards)

            lines = {line.user_id: (line.place, line.points) for line in found}
            assert lines == _expected(homes, results, day_count, discards)


async def test_a_days_scores_are_the_counted_ones_of_the_division_the_latest_first(database):
    key = {**HERE, "day_number": 1}
    async with database.work() as session:
        await a_challenge(session)
        for number, division in ((1, "full"), (2, "full"), (3, "lighter"), (4, "full")):
            await a_participant(session, UserId(number))
            entry = an_entry(
                UserId(number),
                division=division,
                rank_key=number,
                said_at=START + timedelta(minutes=number),
            )
            await record(session, entry, make_up_until=START + timedelta(days=2), now=START, by=1)
        await strike(session, **key, user_id=UserId(4), by=UserId(1), why="", now=START)
        await set_mark(session, *key.values(), UserId(1), mark="above_group")

        found = await day_scores(session, **key, division="full", limit=10)

        assert found == (
            DayScore(UserId(2), '{"total_reps":2}', None),
            DayScore(UserId(1), '{"total_reps":1}', "above_group"),
        )
        assert await day_scores(session, **key, division="full", limit=1) == found[:1]
