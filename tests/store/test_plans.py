"""Changes of a plan are whole, touch nothing that is on its way, and leave a line of history."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from store.challenges import challenge, challenges_of_chat, days, end_challenge
from store.errors import NoSuchChallenge
from store.leaving import leave
from store.people import add_organiser, groups_organised
from store.plans import challenge_to_change, changes_of_plan, note_change, replan
from store.posts import (
    claim,
    confirm,
    due_posts,
    next_due_at,
    plan_again,
    post_as_it_is,
    posts_of,
    skip,
)
from store.streaks import streaks
from store.values import ChatId, PlanChange, PostState, Streak
from tests.store.builders import (
    CHAT,
    COACH,
    FIRST,
    MIRA,
    START,
    a_challenge,
    a_participant,
    a_plan,
    scores,
    some_days,
)

A_DAY = timedelta(days=1)
POSTS = [a_plan(1), a_plan(1, "standings", after_h=18), a_plan(2), a_plan(3)]


async def shown(session):
    """Give the posts: day, kind, days after the start it is due, state."""
    return [
        (p.day_number, p.kind, (p.due_at - START) / A_DAY, str(p.state))
        for p in await posts_of(session, CHAT, FIRST)
    ]


async def put(session, **changed: object):
    """Re-plan the first challenge with what it has, apart from what is given."""
    stored = await challenge_to_change(session, CHAT, FIRST)
    as_it_is = {
        "content": stored.content,
        "tz": stored.tz,
        "paused_at": stored.paused_at,
        "days": await days(session, stored),
        "posts": POSTS,
    }
    return await replan(session, stored, **(as_it_is | changed))


async def test_planned_posts_get_new_times_are_added_and_dropped(database):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)

        await put(session, posts=[a_plan(1), a_plan(2, after_h=24), a_plan(2, "reminder")])

        assert await shown(session) == [
            (1, "day", 0.0, "planned"),
            (2, "reminder", 1.0, "planned"),
            (2, "day", 2.0, "planned"),
        ]


@pytest.mark.parametrize("how", ["claimed", "sent", "skipped"])
async def test_a_post_on_its_way_or_done_keeps_its_row_whatever_the_new_plan_says(database, how):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)
        [post] = await due_posts(session, START, limit=5)
        if how == "skipped":
            await skip(session, post, why="refused", now=START)
        else:
            await claim(session, post, START)
        if how == "sent":
            await confirm(session, post, message_id=5, now=START)
        before = await post_as_it_is(session, post)

        await put(session, posts=[a_plan(1, after_h=48), a_plan(2)])
        moved = await post_as_it_is(session, post)
        await put(session, posts=[a_plan(2)])
        dropped = await post_as_it_is(session, post)

        assert before.state == how
        assert moved == dropped == before


async def test_a_post_read_before_the_plan_changed_is_not_claimed(database):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)
        [post] = await due_posts(session, START, limit=5)

        await put(session, posts=[a_plan(1, after_h=24)])

        assert not await claim(session, post, START)
        assert await shown(session) == [(1, "day", 1.0, "planned")]


async def test_days_and_start_date_are_those_of_the_new_plan(database):
    async with database.work() as session:
        stored = await a_challenge(session)
        moved = [
            replace(
                day,
                on_date=day.on_date + A_DAY,
                opens_at=day.opens_at + A_DAY,
                is_skipped=day.number == 2,
                is_rest=day.number == 3,
            )
            for day in some_days(7)
        ]

        changed = await put(session, days=moved, content='{"a": 1}', tz="Asia/Kathmandu")

        assert await days(session, changed) == tuple(moved)
        assert changed == replace(
            stored, content='{"a": 1}', tz="Asia/Kathmandu", start_date=date(2026, 3, 3)
        )
        assert await challenge(session, CHAT, FIRST) == changed


async def test_while_paused_nothing_is_due_and_nothing_is_claimed(database):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)
        [post] = await due_posts(session, START, limit=5)

        await put(session, paused_at=START)
        waiting = await due_posts(session, START, limit=5)
        claimed = await claim(session, post, START)
        next_due = await next_due_at(session)
        await put(session, paused_at=None)

        assert (waiting, claimed, next_due) == ((), False, None)
        assert await due_posts(session, START, limit=5) == (post,)


async def test_days_that_had_not_opened_are_held_by_a_pause(database):
    async with database.work() as session:
        await a_challenge(session)

        paused = await put(session, paused_at=START + A_DAY)

        assert [day.is_held for day in await days(session, paused)] == [False] * 2 + [True] * 5


async def test_a_pause_ends_no_streak_with_days_that_it_holds(database):
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session)
        await scores(session, {(MIRA, 1): ("full", 10), (MIRA, 2): ("full", 10)})
        key = {"chat_id": CHAT, "challenge_id": FIRST, "now": START + 20 * A_DAY}

        without = await streaks(session, **key)
        await put(session, paused_at=START + A_DAY)
        held = await streaks(session, **key)

        assert without == (Streak(MIRA, 0, 2),)
        assert held == (Streak(MIRA, 2, 2),)


async def test_a_day_out_before_the_pause_still_ends_a_streak_that_misses_it(database):
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session)
        await scores(session, {(MIRA, 1): ("full", 10)})

        await put(session, paused_at=START + A_DAY)

        key = {"chat_id": CHAT, "challenge_id": FIRST}
        assert await streaks(session, **key, now=START + 2 * A_DAY) == (Streak(MIRA, 1, 1),)
        assert await streaks(session, **key, now=START + 20 * A_DAY) == (Streak(MIRA, 0, 1),)


async def test_a_skipped_day_neither_breaks_nor_lengthens_a_streak(database):
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session)
        await scores(session, {(MIRA, n): ("full", 10) for n in (1, 3)})
        key = {"chat_id": CHAT, "challenge_id": FIRST, "now": START + 3 * A_DAY}

        missed = await streaks(session, **key)
        skipped = [replace(day, is_skipped=day.number == 2) for day in some_days(7, rest=(4,))]
        await put(session, days=skipped)

        assert missed == (Streak(MIRA, 1, 1),)
        assert await streaks(session, **key) == (Streak(MIRA, 2, 2),)


async def test_nothing_of_a_change_stays_when_the_work_is_not_committed(database):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)
        await session.commit()
    async with database.work() as session:
        changed = await put(session, posts=[], tz="Asia/Kathmandu", paused_at=START)
        await note_change(session, changed, by=COACH, by_name="Ada", what="paused", at=START)

    async with database.reading() as session:
        stored = await challenge(session, CHAT, FIRST)
        assert (stored.tz, stored.paused_at) == ("Europe/Lisbon", None)
        assert len(await shown(session)) == 4
        assert await changes_of_plan(session, CHAT, FIRST) == ()


async def test_the_history_is_numbered_and_oldest_first(database):
    async with database.work() as session:
        stored = await a_challenge(session)
        for hours, what in enumerate(("paused", "went on")):
            at = START + timedelta(hours=hours)
            await note_change(session, stored, by=COACH, by_name="Ada", what=what, at=at)

        assert await changes_of_plan(session, CHAT, FIRST) == (
            PlanChange(1, COACH, "Ada", START, "paused"),
            PlanChange(2, COACH, "Ada", START + timedelta(hours=1), "went on"),
        )


async def test_who_is_forgotten_loses_the_name_in_the_history_not_the_change(database):
    async with database.work() as session:
        stored = await a_challenge(session)
        await note_change(session, stored, by=COACH, by_name="Ada", what="paused", at=START)

        await leave(session, COACH, keep=(), name="Somebody", now=START)

        assert await changes_of_plan(session, CHAT, FIRST) == (
            PlanChange(1, 0, "", START, "paused"),
        )


async def test_a_given_up_post_can_be_planned_again_and_no_other(database):
    async with database.work() as session:
        await a_challenge(session, posts=POSTS)
        [post] = await due_posts(session, START, limit=5)
        at_first = await plan_again(session, post, START)
        await skip(session, post, why="refused", now=START)

        again = await plan_again(session, post, START + timedelta(hours=1))

        assert (at_first, again) == (False, True)
        found = await post_as_it_is(session, post)
        assert (found.state, found.due_at, found.note) == (
            PostState.PLANNED,
            START + timedelta(hours=1),
            "",
        )


async def test_what_is_not_there_cannot_be_changed(database):
    async with database.work() as session:
        with pytest.raises(NoSuchChallenge):
            await challenge_to_change(session, CHAT, FIRST)


async def test_all_challenges_of_a_chat_the_latest_first(database):
    async with database.work() as session:
        await a_challenge(session)
        await end_challenge(session, CHAT, FIRST, START)
        second = await a_challenge(session)

        found = await challenges_of_chat(session, CHAT)

        assert [each.challenge_id for each in found] == [2, 1]
        assert second.calendar_id != found[1].calendar_id


async def test_the_groups_a_person_organises_by_title(database):
    async with database.work() as session:
        await a_challenge(session)
        other = ChatId(-77)
        for chat_id in (CHAT, other):
            await add_organiser(session, chat_id=chat_id, user_id=COACH, now=START)

        assert await groups_organised(session, COACH) == ((CHAT, ""), (other, ""))
        assert await groups_organised(session, MIRA) == ()
