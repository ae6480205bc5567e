from __future__ import annotations

from datetime import timedelta

import pytest

from store.errors import NoSuchChallenge
from store.people import (
    add_organiser,
    join,
    mark_can_write_to,
    organisers,
    participant,
    participants,
    remove_organiser,
)
from store.values import ChatId, Joined, Participant
from tests.store.builders import (
    CHAT,
    COACH,
    FIRST,
    MIRA,
    START,
    TOMO,
    a_challenge,
    a_participant,
)

KEY = {"chat_id": CHAT, "challenge_id": FIRST, "user_id": MIRA}


async def test_joining_for_the_first_time_has_no_previous_division(database):
    async with database.work() as session:
        await a_challenge(session)

        joined = await join(session, **KEY, name="Mira", division="full", language="pt", now=START)

        expected = Participant(
            **KEY,
            name="Mira",
            division="full",
            language="pt",
            joined_at=START,
            can_write_to=False,
        )
        assert joined == Joined(expected, previous_division=None)
        assert await participant(session, **KEY) == expected


async def test_joining_again_changes_division_and_name_and_keeps_the_first_time(database):
    later = START + timedelta(days=2)
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session, MIRA, division="full")

        again = await join(
            session, **KEY, name="Mira S", division="lighter", language="en", now=later
        )

        assert again.previous_division == "full"
        assert await participants(session, CHAT, FIRST) == (again.participant,)
        assert (again.participant.name, again.participant.division) == ("Mira S", "lighter")
        assert again.participant.joined_at == START


async def test_joining_a_challenge_that_is_not_there_is_an_error(database):
    async with database.work() as session:
        with pytest.raises(NoSuchChallenge):
            await a_participant(session)


async def test_participants_come_in_the_order_they_joined(database):
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session, TOMO, now=START)
        await a_participant(session, MIRA, now=START + timedelta(minutes=1))

        assert [p.user_id for p in await participants(session, CHAT, FIRST)] == [TOMO, MIRA]


async def test_an_open_private_chat_counts_for_people_and_organisers_joined_later(database):
    async with database.work() as session:
        await a_challenge(session)
        await mark_can_write_to(session, MIRA, can=True)
        await a_participant(session, MIRA)
        await a_participant(session, TOMO)
        for user_id in (MIRA, COACH, COACH):
            await add_organiser(session, chat_id=CHAT, user_id=user_id, now=START)

        assert (await participant(session, **KEY)).can_write_to
        people = await participants(session, CHAT, FIRST)
        assert {p.user_id: p.can_write_to for p in people} == {MIRA: True, TOMO: False}
        assert await organisers(session, CHAT) == ((COACH, False), (MIRA, True))
        await mark_can_write_to(session, MIRA, can=False)
        assert not (await participant(session, **KEY)).can_write_to


async def test_a_group_may_get_organisers_before_its_first_challenge(database):
    async with database.work() as session:
        await add_organiser(session, chat_id=ChatId(-9), user_id=COACH, now=START)

        assert await organisers(session, ChatId(-9)) == ((COACH, False),)


async def test_an_organiser_of_one_group_is_removed_there_only(database):
    async with database.work() as session:
        for chat_id in (CHAT, ChatId(-9)):
            await add_organiser(session, chat_id=chat_id, user_id=COACH, now=START)

        assert await remove_organiser(session, chat_id=CHAT, user_id=COACH)
        assert not await remove_organiser(session, chat_id=CHAT, user_id=COACH)

        assert await organisers(session, CHAT) == ()
        assert await organisers(session, ChatId(-9)) == ((COACH, False),)
