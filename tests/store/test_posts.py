from __future__ import annotations

import asyncio
from datetime import timedelta

import pytest
from sqlalchemy import update

from store.challenges import end_challenge
from store.engine import Database
from store.errors import PostElsewhere
from store.posts import (
    claim,
    claimed_before,
    confirm,
    due_posts,
    mark_unknown,
    next_due_at,
    posts_of,
    release,
    skip,
)
from store.tables import PostRow
from store.values import ChatId, PostState
from tests.store.builders import CHAT, FIRST, START, a_challenge, a_plan

LATER = START + timedelta(minutes=5)


@pytest.fixture
async def planned(database):
    """Two posts on day 1 and one on day 2, committed."""
    async with database.work() as session:
        await a_challenge(
            session, posts=[a_plan(2), a_plan(1, "standings", after_h=17), a_plan(1)]
        )
        await session.commit()
        return await posts_of(session, CHAT, FIRST)


async def test_posts_are_due_at_their_instant_in_order(database, planned):
    day_1, standings, day_2 = planned

    async with database.reading() as session:
        assert await due_posts(session, START - timedelta(microseconds=1), limit=9) == ()
        assert await due_posts(session, START, limit=9) == (day_1,)
        assert await due_posts(session, day_2.due_at, limit=9) == planned
        assert await due_posts(session, day_2.due_at, limit=2) == (day_1, standings)
        assert await next_due_at(session) == START


async def test_only_one_of_two_claims_the_post(database, database_url, planned):
    neighbour = Database(database_url)

    async def take(own):
        async with own.work() as session:
            won = await claim(session, planned[0], START)
            await session.commit()
            return won

    claims = await asyncio.gather(*(take(own) for own in (database, neighbour) * 3))
    await neighbour.close()

    assert sorted(claims) == [False] * 5 + [True]


async def test_a_claimed_post_is_not_due_and_a_confirmed_one_keeps_its_message(database, planned):
    async with database.work() as session:
        await claim(session, planned[0], START)
        assert await due_posts(session, START, limit=9) == ()
        assert await next_due_at(session) == planned[1].due_at

        await confirm(session, planned[0], message_id=55, now=LATER)

        sent = (await posts_of(session, CHAT, FIRST))[0]
        assert (sent.state, sent.claimed_at, sent.sent_at, sent.message_id) == (
            PostState.SENT,
            START,
            LATER,
            55,
        )


async def test_a_refused_post_can_be_released_and_claimed_again(database, planned):
    async with database.work() as session:
        await claim(session, planned[0], START)
        assert await release(session, planned[0])

        assert await due_posts(session, START, limit=9) == (planned[0],)
        assert await claim(session, planned[0], LATER)


async def test_a_post_left_claimed_becomes_unknown_and_is_not_due(database, planned):
    async with database.work() as session:
        await claim(session, planned[0], START)
        assert await claimed_before(session, START) == ()

        [left] = await claimed_before(session, LATER)
        await mark_unknown(session, left, "stopped while sending")

        assert await claimed_before(session, LATER) == ()
        assert await due_posts(session, START, limit=9) == ()
        unknown = (await posts_of(session, CHAT, FIRST))[0]
        assert (unknown.state, unknown.note) == (PostState.UNKNOWN, "stopped while sending")


@pytest.mark.parametrize(
    ("decide", "state"),
    [
        pytest.param(lambda s, p: confirm(s, p, message_id=None, now=LATER), "sent", id="there"),
        pytest.param(release, "planned", id="missing_send_it"),
        pytest.param(lambda s, p: skip(s, p, why="no", now=LATER), "skipped", id="leave_it"),
    ],
)
async def test_an_organiser_settles_an_unknown_post(database, planned, decide, state):
    async with database.work() as session:
        await claim(session, planned[0], START)
        await mark_unknown(session, planned[0], "stopped while sending")

        await decide(session, planned[0])

        assert (await posts_of(session, CHAT, FIRST))[0].state == state


@pytest.mark.parametrize(
    "step",
    [
        pytest.param(lambda s, p: confirm(s, p, message_id=1, now=LATER), id="confirm"),
        pytest.param(release, id="release"),
        pytest.param(lambda s, p: skip(s, p, why="late", now=LATER), id="skip"),
        pytest.param(lambda s, p: mark_unknown(s, p, "?"), id="mark_unknown"),
    ],
)
async def test_a_skipped_post_takes_no_further_step(database, planned, step):
    async with database.work() as session:
        await skip(session, planned[0], why="too late", now=LATER)

        with pytest.raises(PostElsewhere) as info:
            await step(session, planned[0])

        assert info.value.found is PostState.SKIPPED
        assert not await claim(session, planned[0], LATER)
        assert (await posts_of(session, CHAT, FIRST))[0].note == "too late"


@pytest.mark.usefixtures("planned")
async def test_chats_can_be_left_out_of_what_is_due(database):
    async with database.work() as session:
        other = ChatId(-77)
        await a_challenge(session, chat_id=other, posts=[a_plan(1)])

        due = await due_posts(session, START, limit=1, exclude_chats={CHAT})

        assert [post.chat_id for post in due] == [other]


async def test_a_post_of_an_ended_challenge_is_not_due_and_not_claimed(database, planned):
    """Planned after the end: by a release that did not know of it."""
    async with database.work() as session:
        await end_challenge(session, CHAT, FIRST, START)
        await session.execute(update(PostRow).values(state=PostState.PLANNED))

        assert await due_posts(session, START, limit=9) == ()
        assert await next_due_at(session) is None
        assert not await claim(session, planned[0], START)


async def test_a_post_is_not_released_after_the_end_and_can_be_skipped(database, planned):
    async with database.work() as session:
        await claim(session, planned[0], START)
        await end_challenge(session, CHAT, FIRST, START)

        assert not await release(session, planned[0])

        assert (await posts_of(session, CHAT, FIRST))[0].state is PostState.CLAIMED
        await skip(session, planned[0], why="the challenge ended", now=LATER)
