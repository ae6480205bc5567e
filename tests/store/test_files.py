from __future__ import annotations

from datetime import timedelta

from store.files import file_id, forget_file, keep_file
from store.values import UserId
from tests.store.builders import START

BOT, OTHER = UserId(1), UserId(2)


async def test_a_file_is_found_by_the_bot_that_sent_it_and_by_no_other(database):
    async with database.work() as session:
        await keep_file(session, BOT, "clock-a", "AbC", now=START)
        await session.commit()

    async with database.reading() as session:
        assert await file_id(session, BOT, "clock-a") == "AbC"
        assert await file_id(session, BOT, "clock-b") is None
        assert await file_id(session, OTHER, "clock-a") is None


async def test_a_newer_id_replaces_the_older_one(database):
    async with database.work() as session:
        await keep_file(session, BOT, "clock-a", "old", now=START)
        await keep_file(session, BOT, "clock-a", "new", now=START + timedelta(days=1))
        await session.commit()

    async with database.reading() as session:
        assert await file_id(session, BOT, "clock-a") == "new"


async def test_a_forgotten_file_is_unknown_and_forgetting_twice_changes_nothing(database):
    async with database.work() as session:
        await keep_file(session, BOT, "clock-a", "AbC", now=START)
        await keep_file(session, BOT, "clock-b", "DeF", now=START)
        for _ in range(2):
            await forget_file(session, BOT, "clock-a")
        await session.commit()

    async with database.reading() as session:
        assert await file_id(session, BOT, "clock-a") is None
        assert await file_id(session, BOT, "clock-b") == "DeF"
