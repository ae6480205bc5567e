from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from store.challenges import (
    challenge,
    challenges_of_person,
    days,
    end_challenge,
    latest_challenge,
    running_challenge,
    running_challenges,
)
from store.errors import ChallengeRunning, NoSuchChallenge
from store.groups import group_title
from store.posts import claim, due_posts, posts_of
from store.values import ChallengeId, ChatId, PostState
from tests.store.builders import (
    CHAT,
    FIRST,
    MIRA,
    START,
    TOMO,
    a_challenge,
    a_participant,
    a_plan,
    some_days,
)

OTHER_CHAT = ChatId(-77)


async def test_a_started_challenge_is_found_with_its_days(database):
    calendar = some_days(5, rest=(3,))
    async with database.work() as session:
        started = await a_challenge(session, days=calendar)
        await session.commit()

    async with database.reading() as session:
        assert await running_challenge(session, CHAT) == started
        assert await days(session, started) == calendar


async def test_challenges_count_from_one_in_each_chat(database):
    async with database.work() as session:
        first = await a_challenge(session)
        await end_challenge(session, CHAT, first.challenge_id, START)
        second = await a_challenge(session)
        elsewhere = await a_challenge(session, chat_id=OTHER_CHAT)

    assert [c.challenge_id for c in (first, second, elsewhere)] == [1, 2, 1]


async def test_a_second_running_challenge_is_refused(database):
    async with database.work() as session:
        await a_challenge(session)

        with pytest.raises(ChallengeRunning) as info:
            await a_challenge(session)

    assert (info.value.chat_id, info.value.challenge_id) == (CHAT, FIRST)


async def test_an_ended_challenge_runs_no_more_and_skips_what_it_planned(database):
    async with database.work() as session:
        await a_challenge(session, posts=[a_plan(1), a_plan(2), a_plan(3)])
        [claimed, *_] = await due_posts(session, START, limit=9)
        await claim(session, claimed, START)

        ended = await end_challenge(session, CHAT, FIRST, START)
        await session.commit()

    async with database.reading() as session:
        assert ended.ended_at == START
        assert await running_challenge(session, CHAT) is None
        assert await challenge(session, CHAT, FIRST) == ended
        assert [post.state for post in await posts_of(session, CHAT, FIRST)] == [
            PostState.CLAIMED,
            PostState.SKIPPED,
            PostState.SKIPPED,
        ]


async def test_ending_again_keeps_the_first_end(database):
    async with database.work() as session:
        await a_challenge(session)
        first = await end_challenge(session, CHAT, FIRST, START)

        assert await end_challenge(session, CHAT, FIRST, START + timedelta(days=1)) == first


async def test_an_unknown_challenge_is_an_error(database):
    async with database.work() as session:
        await a_challenge(session)

        with pytest.raises(NoSuchChallenge) as info:
            await end_challenge(session, CHAT, ChallengeId(2), START)
        with pytest.raises(NoSuchChallenge):
            await challenge(session, OTHER_CHAT, FIRST)

    assert info.value.challenge_id == 2


async def test_a_persons_running_challenges_are_found_across_chats(database):
    async with database.work() as session:
        here = await a_challenge(session)
        there = await a_challenge(session, chat_id=OTHER_CHAT)
        await a_participant(session, MIRA)
        await a_participant(session, MIRA, chat_id=OTHER_CHAT, now=START + timedelta(hours=1))
        await a_participant(session, TOMO)

        assert await challenges_of_person(session, MIRA) == (there, here)
        assert await challenges_of_person(session, TOMO) == (here,)
        await end_challenge(session, CHAT, FIRST, START)
        assert await challenges_of_person(session, TOMO) == ()
        assert await running_challenges(session) == (there,)
        assert await challenge(session, CHAT, FIRST) == replace(here, ended_at=START)


async def test_the_latest_challenge_is_the_running_one_or_else_the_last_ended(database):
    async with database.work() as session:
        assert await latest_challenge(session, CHAT) is None
        await a_challenge(session)
        ended = await end_challenge(session, CHAT, FIRST, START)
        await a_challenge(session, chat_id=OTHER_CHAT)
        assert await latest_challenge(session, CHAT) == ended

        running = await a_challenge(session)

        assert await latest_challenge(session, CHAT) == running


async def test_a_persons_ended_challenges_come_behind_the_running_ones(database):
    async with database.work() as session:
        here = await a_challenge(session)
        there = await a_challenge(session, chat_id=OTHER_CHAT)
        await a_participant(session, MIRA)
        await a_participant(session, MIRA, chat_id=OTHER_CHAT, now=START + timedelta(hours=1))
        ended = await end_challenge(session, OTHER_CHAT, there.challenge_id, START)

        assert await challenges_of_person(session, MIRA) == (here,)
        assert await challenges_of_person(session, MIRA, ended_too=True) == (here, ended)


async def test_a_challenge_does_not_name_the_group(database):
    async with database.work() as session:
        await a_challenge(session)

        assert await group_title(session, CHAT) == ""
