from __future__ import annotations

import random
from datetime import timedelta

import pandas as pd
import pytest

from store.streaks import streaks
from store.values import ResultState, Streak, UserId
from tests.store.builders import (
    CHAT,
    FIRST,
    START,
    a_challenge,
    a_day,
    people_at_home,
    scores,
    some_days,
)

HERE = {"chat_id": CHAT, "challenge_id": FIRST}
AFTER_ALL = START + timedelta(days=365)


async def _one(session, done, *, now, rest=(), state=ResultState.COUNTED):
    """Return the current and best streak of a person who did the days `done` of seven."""
    await a_challenge(session, days=some_days(7, rest=rest))
    await people_at_home(session, {1: "full"})
    await scores(session, {(1, day): ("full", 1) for day in done}, state=state)
    [streak] = await streaks(session, **HERE, now=now)
    return streak.current, streak.best


@pytest.mark.parametrize(
    ("done", "rest", "expected"),
    [
        pytest.param((), (), (0, 0), id="nothing"),
        pytest.param((1, 2, 3, 4, 5, 6, 7), (), (7, 7), id="all"),
        pytest.param((1, 2, 3, 5, 6), (), (0, 3), id="broken_twice"),
        pytest.param((1, 2, 4, 5, 6, 7), (), (4, 4), id="broken_once"),
        pytest.param((1, 2, 3, 5, 6, 7), (4,), (6, 6), id="rest_day_neither_breaks_nor_adds"),
        pytest.param((1, 2, 3, 4, 5, 6), (4, 7), (5, 5), id="score_on_a_rest_day_adds_nothing"),
    ],
)
async def test_streaks_after_all_days(database, done, rest, expected):
    async with database.work() as session:
        assert await _one(session, done, rest=rest, now=AFTER_ALL) == expected


@pytest.mark.parametrize(
    ("after_make_up", "expected"),
    [
        pytest.param(timedelta(0), (2, 2), id="can_still_be_made_up"),
        pytest.param(timedelta(microseconds=1), (0, 2), id="no_longer"),
    ],
)
async def test_a_missed_day_breaks_the_streak_when_it_can_be_made_up_no_more(
    database, after_make_up, expected
):
    now = a_day(3).make_up_until + after_make_up

    async with database.work() as session:
        assert await _one(session, (1, 2), now=now) == expected


async def test_a_gap_that_can_be_made_up_leaves_the_latest_run_as_current(database):
    """Days 1, 2 and 4 are done, 3 is open: the run of today is current until 3 is made up."""
    async with database.work() as session:
        assert await _one(session, (1, 2, 4), now=a_day(3).make_up_until) == (1, 2)


@pytest.mark.parametrize("state", set(ResultState) - {ResultState.COUNTED}, ids=str)
async def test_only_counted_results_keep_a_streak(database, state):
    async with database.work() as session:
        assert await _one(session, (6, 7), now=AFTER_ALL, state=state) == (0, 0)


async def test_any_division_keeps_a_streak(database):
    async with database.work() as session:
        await a_challenge(session, days=some_days(2))
        await people_at_home(session, {1: "full"})
        await scores(session, {(1, 1): ("full", 1), (1, 2): ("lighter", 1)})

        assert await streaks(session, **HERE, now=AFTER_ALL) == (Streak(UserId(1), 2, 2),)


async def test_the_longest_current_streak_comes_first_and_one_person_can_be_asked_for(database):
    async with database.work() as session:
        await a_challenge(session, days=some_days(3))
        await people_at_home(session, dict.fromkeys((1, 2, 3, 4), "full"))
        days = {1: (1, 2), 2: (3,), 3: (2, 3)}
        await scores(
            session, {(who, day): ("full", 1) for who, done in days.items() for day in done}
        )

        everyone = await streaks(session, **HERE, now=AFTER_ALL)
        one = await streaks(session, **HERE, now=AFTER_ALL, user_id=UserId(2))
        stranger = await streaks(session, **HERE, now=AFTER_ALL, user_id=UserId(99))

    assert everyone == (
        Streak(UserId(3), 2, 2),
        Streak(UserId(2), 1, 1),
        Streak(UserId(1), 0, 2),
        Streak(UserId(4), 0, 0),
    )
    assert (one, stranger) == ((Streak(UserId(2), 1, 1),), ())


def _by_pandas(done, calendar, now):
    """Gaps and islands: a new island starts wherever the turn jumps by more than one."""
    workout = [day for day in calendar if not day.is_rest]
    turn_of = {day.number: turn for turn, day in enumerate(workout, start=1)}
    settled = max((turn_of[d.number] for d in workout if d.make_up_until < now), default=0)
    turns = pd.Series(sorted(turn_of[number] for number in done if number in turn_of), dtype=int)
    if turns.empty:
        return 0, 0
    islands = turns.groupby((turns.diff() != 1).cumsum())
    lengths, ends = islands.size(), islands.max()
    return int(lengths.iloc[-1]) if ends.iloc[-1] >= settled else 0, int(lengths.max())


async def test_streaks_equal_gaps_and_islands_by_pandas(database):
    rng = random.Random(41)
    for _ in range(25):
        count = rng.randrange(1, 15)
        calendar = some_days(count, rest=[n for n in range(1, count + 1) if rng.random() < 0.2])
        done = {
            who: [n for n in range(1, count + 1) if rng.random() < 0.65] for who in range(1, 11)
        }
        now = START + timedelta(hours=rng.randrange(24 * (count + 3)))
        async with database.work() as session:
            await a_challenge(session, days=calendar)
            await people_at_home(session, dict.fromkeys(done, "full"))
            await scores(
                session, {(who, day): ("full", 1) for who, days in done.items() for day in days}
            )

            found = await streaks(session, **HERE, now=now)

        assert {streak.user_id: (streak.current, streak.best) for streak in found} == {
            who: _by_pandas(days, calendar, now) for who, days in done.items()
        }
