from __future__ import annotations

from datetime import timedelta

from sqlalchemy import select

from store.inbox import (
    mark_done,
    mark_failed,
    receive,
    set_aside,
    trim,
    waiting,
)
from store.tables import UpdateRow
from store.values import ChatId, Update, UpdateId
from tests.store.builders import CHAT, START

LATER = START + timedelta(minutes=1)


def _raw(update_id, chat_id=CHAT):
    return UpdateId(update_id), ChatId(chat_id), f'{{"update_id":{update_id}}}'


async def _ids(session, exclude_chats=()):
    found = await waiting(session, limit=9, exclude_chats=exclude_chats)
    return [update.update_id for update in found]


async def test_an_update_received_twice_is_stored_once(database):
    async with database.work() as session:
        assert await receive(session, [_raw(5), _raw(6), _raw(5)], START) == 2
        assert await receive(session, [_raw(6), _raw(7)], LATER) == 1
        assert await receive(session, [], LATER) == 0
        await mark_done(session, UpdateId(5), LATER)
        assert await receive(session, [_raw(5)], LATER) == 0
        await session.commit()

    async with database.reading() as session:
        assert await _ids(session) == [6, 7]
        assert (await waiting(session, limit=1)) == (
            Update(UpdateId(6), CHAT, '{"update_id":6}', received_at=START, attempts=0),
        )


async def test_updates_wait_in_order_of_their_ids_and_chats_can_be_left_out(database):
    async with database.work() as session:
        await receive(session, [_raw(9, -1), _raw(7, -2), _raw(8, 0)], START)

        assert await _ids(session) == [7, 8, 9]
        assert await _ids(session, exclude_chats={ChatId(-1), ChatId(-2)}) == [8]
        assert len(await waiting(session, limit=2)) == 2


async def test_a_failed_update_keeps_waiting_and_counts(database):
    async with database.work() as session:
        await receive(session, [_raw(5)], START)
        for _ in range(2):
            await mark_failed(session, UpdateId(5), "ValueError", LATER)

        assert [update.attempts for update in await waiting(session, limit=9)] == [2]


async def test_an_update_set_aside_is_never_handled_and_trimmed_like_one_that_was(database):
    async with database.work() as session:
        await receive(session, [_raw(5), _raw(6)], START)
        await set_aside(session, UpdateId(5), "ValueError", START)
        await set_aside(session, UpdateId(6), "ValueError", LATER)
        assert await _ids(session) == []

        await trim(session, LATER)

        assert (await session.scalars(select(UpdateRow.update_id))).all() == [6]


async def test_trimming_deletes_only_what_was_done_before(database):
    async with database.work() as session:
        await receive(session, [_raw(5), _raw(6), _raw(7)], START)
        await mark_done(session, UpdateId(5), START)
        await mark_done(session, UpdateId(6), LATER)

        await trim(session, LATER)

        assert await receive(session, [_raw(5), _raw(6), _raw(7)], LATER) == 1
