from __future__ import annotations

from datetime import timedelta

from sqlalchemy import select

from store.drafts import discard_draft, draft_of, save_draft
from store.leaving import leave
from store.tables import DraftRow
from store.values import ChatId, UserId
from tests.store.builders import START

ANA, BEN = ChatId(501), ChatId(502)


async def test_what_was_saved_last_is_kept_for_each_person(database):
    async with database.work() as session:
        await save_draft(session, ANA, "one", now=START)
        await save_draft(session, BEN, "other", now=START)
        await save_draft(session, ANA, "two", now=START + timedelta(hours=1))
        await session.commit()

    async with database.work() as session:
        assert await draft_of(session, ANA) == "two"
        assert await draft_of(session, BEN) == "other"
        row = await session.scalar(select(DraftRow).where(DraftRow.chat_id == ANA))
        assert row.changed_at == START + timedelta(hours=1)


async def test_without_commit_nothing_is_saved(database):
    async with database.work() as session:
        await save_draft(session, ANA, "one", now=START)

    async with database.work() as session:
        assert await draft_of(session, ANA) is None


async def test_a_draft_is_thrown_away_once(database):
    async with database.work() as session:
        await save_draft(session, ANA, "one", now=START)

        assert await discard_draft(session, ANA)
        assert not await discard_draft(session, ANA)
        assert await draft_of(session, ANA) is None


async def test_who_is_forgotten_leaves_no_draft_and_others_keep_theirs(database):
    async with database.work() as session:
        await save_draft(session, ANA, "one", now=START)
        await save_draft(session, BEN, "other", now=START)

        await leave(session, UserId(ANA), keep=(), name="Somebody", now=START)

        assert await draft_of(session, ANA) is None
        assert await draft_of(session, BEN) == "other"
