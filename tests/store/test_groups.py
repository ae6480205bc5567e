from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import func, select

from store.errors import ChatsBothInUse
from store.groups import current_chat_id, group_title, move_chat, note_group
from store.inbox import receive, waiting
from store.owed import owe, owed
from store.people import add_organiser, organisers
from store.plans import note_change
from store.posts import claim, confirm, due_posts, next_due_at, posts_of
from store.results import history, record, result_of, results_of_message
from store.tables import Base, GroupRow, UpdateRow
from store.values import ChatId, UpdateId, UserId
from tests.store.builders import (
    CHAT,
    COACH,
    FIRST,
    MIRA,
    START,
    TOMO,
    a_challenge,
    a_day,
    a_participant,
    a_plan,
    an_ask,
    an_entry,
)

NEW = ChatId(-1_009_999_999_999)


async def _fill(session):
    """Put at least one row of the chat into every table."""
    challenge = await a_challenge(session, posts=[a_plan(1), a_plan(2)])
    await note_change(session, challenge, by=COACH, by_name="Coach", what="begun", at=START)
    for user_id in (MIRA, TOMO):
        await a_participant(session, user_id)
        for day_number in (1, 2):
            await record(
                session,
                an_entry(user_id, day_number=day_number),
                make_up_until=a_day(day_number).make_up_until,
                now=START,
                by=user_id,
            )
    await add_organiser(session, chat_id=CHAT, user_id=COACH, now=START)
    await an_ask(session)
    await receive(session, [(UpdateId(1), CHAT, "{}")], START)
    await owe(session, chat_id=CHAT, call="old", useful_until=START, now=START)
    [post, *_] = await due_posts(session, START, limit=1)
    await claim(session, post, START)
    await confirm(session, post, message_id=55, now=START)
    await session.commit()


async def _rows_of(session, chat_id):
    """Count the rows of a chat by table."""
    counts = {}
    for table in Base.metadata.tables.values():
        if "chat_id" not in table.c:
            continue
        query = select(func.count()).select_from(table).where(table.c.chat_id == chat_id)
        counts[table.name] = await session.scalar(query)
    return counts


async def test_moving_a_chat_moves_every_row_and_a_second_time_changes_nothing(database):
    async with database.work() as session:
        await _fill(session)
        before = await _rows_of(session, CHAT)
    personal = {"private_chats", "drafts"}
    assert {name for name, count in before.items() if count == 0} == personal

    for _ in range(2):
        async with database.work() as session:
            await move_chat(session, old=CHAT, new=NEW)
            await session.commit()

        async with database.reading() as session:
            assert await _rows_of(session, NEW) == before
            assert set((await _rows_of(session, CHAT)).values()) == {0}


async def test_a_moved_result_keeps_its_history_and_the_chat_it_was_said_in(database):
    async with database.work() as session:
        await _fill(session)
        await move_chat(session, old=CHAT, new=NEW)
        key = {"chat_id": NEW, "challenge_id": FIRST, "day_number": 2, "user_id": MIRA}

        moved = await result_of(session, **key)

        assert moved.message_chat_id == CHAT
        assert len(await history(session, **key)) == 1
        assert await results_of_message(session, NEW, moved.message_id) == ()


async def test_posts_lose_the_message_ids_of_the_old_chat(database):
    async with database.work() as session:
        await _fill(session)
        assert [p.message_id for p in await posts_of(session, CHAT, FIRST)] == [55, None]

        await move_chat(session, old=CHAT, new=NEW)

        assert [p.message_id for p in await posts_of(session, NEW, FIRST)] == [None, None]


async def test_a_chat_moves_onto_one_the_bot_has_met_already(database):
    """The new chat's own first update may be handled before the old one's."""
    async with database.work() as session:
        await _fill(session)
        await note_group(session, NEW, "Park, larger", is_active=True, now=START)
        for user_id in (COACH, UserId(901)):
            await add_organiser(session, chat_id=NEW, user_id=user_id, now=START)
        await owe(session, chat_id=NEW, call="new", useful_until=START, now=START)

        await move_chat(session, old=CHAT, new=NEW)
        await session.commit()

    async with database.reading() as session:
        assert (await session.scalars(select(GroupRow.title))).all() == ["Park, larger"]
        assert await organisers(session, NEW) == ((COACH, False), (UserId(901), False))
        calls = await owed(session, START, limit=9)
        assert [(o.owed_id, o.call) for o in calls] == [(1, "new"), (2, "old")]


async def test_a_chat_does_not_move_onto_one_with_challenges(database):
    async with database.work() as session:
        await a_challenge(session)
        await a_challenge(session, chat_id=NEW)

        with pytest.raises(ChatsBothInUse) as info:
            await move_chat(session, old=CHAT, new=NEW)

    assert (info.value.old, info.value.new) == (CHAT, NEW)


async def test_an_unknown_chats_updates_move_too(database):
    async with database.work() as session:
        await receive(session, [(UpdateId(1), CHAT, "{}")], START)

        await move_chat(session, old=CHAT, new=NEW)

        assert [u.chat_id for u in await waiting(session, limit=9)] == [NEW]
        assert await session.scalar(select(func.count()).select_from(UpdateRow)) == 1


async def test_posts_of_a_group_that_cannot_be_written_to_wait(database):
    async with database.work() as session:
        await a_challenge(session, posts=[a_plan(1)])
        await note_group(session, CHAT, "Park", is_active=False, now=START)
        assert await due_posts(session, START, limit=9) == ()
        assert await next_due_at(session) is None

        await note_group(session, CHAT, "Park", is_active=True, now=START + timedelta(hours=1))

        assert len(await due_posts(session, START, limit=9)) == 1


async def test_a_title_stays_known_when_a_note_brings_none(database):
    async with database.work() as session:
        assert await group_title(session, CHAT) == ""
        await note_group(session, CHAT, "Park", is_active=True, now=START)

        await note_group(session, CHAT, "", is_active=False, now=START)

        assert await group_title(session, CHAT) == "Park"
        await note_group(session, CHAT, "Quay", is_active=True, now=START)
        assert await group_title(session, CHAT) == "Quay"


async def test_a_move_keeps_the_title_when_the_new_chat_has_told_none(database):
    async with database.work() as session:
        await note_group(session, CHAT, "Park", is_active=True, now=START)
        await note_group(session, NEW, "", is_active=True, now=START)

        await move_chat(session, old=CHAT, new=NEW)

        assert await group_title(session, NEW) == "Park"


async def test_every_earlier_id_leads_to_the_newest(database):
    newest = ChatId(-1_008)
    async with database.work() as session:
        assert await current_chat_id(session, CHAT) == CHAT
        await a_challenge(session)
        await move_chat(session, old=CHAT, new=NEW)
        assert await current_chat_id(session, CHAT) == NEW

        for _ in range(2):
            await move_chat(session, old=NEW, new=newest)

        found = [await current_chat_id(session, chat_id) for chat_id in (CHAT, NEW, newest)]
        assert found == [newest] * 3
        await session.commit()


async def test_a_chat_that_comes_back_to_an_old_id_goes_round_in_no_circle(database):
    async with database.work() as session:
        await move_chat(session, old=CHAT, new=NEW)
        await move_chat(session, old=NEW, new=CHAT)

        assert [await current_chat_id(session, one) for one in (CHAT, NEW)] == [CHAT, CHAT]
