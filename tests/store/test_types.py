from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select

from store.errors import NaiveDateTime
from store.groups import note_group
from store.tables import GroupRow
from store.values import ChatId
from tests.store.builders import CHAT


async def test_a_naive_datetime_is_refused(database):
    naive = datetime(2026, 3, 2, 6, 0)  # noqa: DTZ001 - the case under test

    async with database.work() as session:
        with pytest.raises(NaiveDateTime) as info:
            await note_group(session, CHAT, "Park", is_active=True, now=naive)

    assert info.value.value == naive


async def test_an_aware_datetime_comes_back_as_the_same_instant_in_utc(database):
    local = datetime(2026, 3, 2, 6, 0, 0, 250, tzinfo=ZoneInfo("Asia/Kathmandu"))

    async with database.work() as session:
        await note_group(session, CHAT, "Park", is_active=True, now=local)
        await session.commit()
    async with database.reading() as session:
        found = await session.scalar(select(GroupRow.updated_at))

    assert (found, found.tzinfo) == (local, UTC)


async def test_stored_instants_sort_as_instants(database):
    """Whole seconds, fractions and other zones do not disturb the order."""
    first = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
    instants = [
        first,
        first + timedelta(microseconds=1),
        (first + timedelta(seconds=1)).astimezone(ZoneInfo("America/Lima")),
        (first + timedelta(hours=1)).astimezone(ZoneInfo("Pacific/Auckland")),
    ]
    async with database.work() as session:
        for number in (2, 0, 3, 1):
            await note_group(session, ChatId(number), "", is_active=True, now=instants[number])
        await session.commit()

    async with database.reading() as session:
        by_time = await session.scalars(select(GroupRow.chat_id).order_by(GroupRow.updated_at))
        assert by_time.all() == [0, 1, 2, 3]
        before = await session.scalars(
            select(GroupRow.chat_id).where(GroupRow.updated_at < instants[2])
        )
        assert set(before) == {0, 1}
