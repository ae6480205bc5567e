from __future__ import annotations

from datetime import timedelta

from store.owed import clear, drop_useless, next_not_before, owe, owed, put_off
from store.values import ChatId, Owed
from tests.store.builders import CHAT, MIRA, START

HOUR = timedelta(hours=1)


async def _owe(session, call, *, chat_id=CHAT, now=START):
    return await owe(session, chat_id=chat_id, call=call, useful_until=now + HOUR, now=now)


async def _calls(session, now=START):
    return [one.call for one in await owed(session, now, limit=9)]


async def test_what_is_owed_comes_in_the_order_it_was_owed(database):
    async with database.work() as session:
        await _owe(session, "second", now=START + timedelta(seconds=1))
        await _owe(session, "first", chat_id=ChatId(MIRA))
        await _owe(session, "third", now=START + timedelta(seconds=1))
        await session.commit()

    async with database.reading() as session:
        assert await _calls(session, START + HOUR) == ["first", "second", "third"]
        assert await owed(session, START, limit=1) == (
            Owed(
                owed_id=1,
                chat_id=ChatId(MIRA),
                call="first",
                created_at=START,
                not_before=START,
                useful_until=START + HOUR,
                attempts=0,
            ),
        )


async def test_numbers_count_in_each_chat(database):
    async with database.work() as session:
        numbers = [
            await _owe(session, "a"),
            await _owe(session, "b"),
            await _owe(session, "c", chat_id=ChatId(MIRA)),
        ]

    assert numbers == [1, 2, 1]


async def test_a_cleared_call_is_owed_no_more(database):
    async with database.work() as session:
        await _owe(session, "a")
        await _owe(session, "b")
        [first, _] = await owed(session, START, limit=9)

        await clear(session, first)

        assert await _calls(session) == ["b"]


async def test_a_call_put_off_waits_and_counts(database):
    async with database.work() as session:
        await _owe(session, "a")
        [call] = await owed(session, START, limit=9)

        await put_off(session, call, START + HOUR)

        assert await _calls(session, START + HOUR - timedelta(microseconds=1)) == []
        assert [one.attempts for one in await owed(session, START + HOUR, limit=9)] == [1]


async def test_calls_past_their_use_are_dropped_and_counted(database):
    async with database.work() as session:
        await _owe(session, "old")
        await _owe(session, "new", now=START + timedelta(minutes=1))

        assert await drop_useless(session, START + HOUR) == 0
        assert await drop_useless(session, START + HOUR + timedelta(seconds=1)) == 1
        assert await _calls(session, START + HOUR) == ["new"]


async def test_the_next_call_is_the_one_that_may_be_sent_first(database):
    async with database.work() as session:
        assert await next_not_before(session) is None
        await _owe(session, "a")
        [first] = await owed(session, START, limit=9)
        await put_off(session, first, START + HOUR)
        await _owe(session, "b", now=START + timedelta(minutes=1))

        assert await next_not_before(session) == START + timedelta(minutes=1)
