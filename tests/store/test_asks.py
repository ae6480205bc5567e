from __future__ import annotations

from datetime import timedelta

from sqlalchemy import update

from store.asks import ask_by_id, close_ask, close_asks_of_day, open_ask_of, trim_asks
from store.tables import AskRow
from tests.store.builders import CHAT, FIRST, MIRA, START, TOMO, a_challenge, an_ask

LATER = START + timedelta(minutes=1)


async def test_an_ask_closes_once(database):
    async with database.work() as session:
        await a_challenge(session)
        ask = await an_ask(session)
        assert await open_ask_of(session, CHAT, MIRA) == ask

        assert await close_ask(session, CHAT, ask.ask_id, LATER)
        assert not await close_ask(session, CHAT, ask.ask_id, LATER + timedelta(minutes=1))

        assert await open_ask_of(session, CHAT, MIRA) is None
        assert (await ask_by_id(session, CHAT, ask.ask_id)).closed_at == LATER


async def test_a_newer_ask_closes_the_persons_older_one_only(database):
    async with database.work() as session:
        await a_challenge(session)
        old = await an_ask(session, MIRA)
        other = await an_ask(session, TOMO)
        new = await an_ask(session, MIRA, message_id=11)

        assert (old.ask_id, other.ask_id, new.ask_id) == (1, 2, 3)
        assert await open_ask_of(session, CHAT, MIRA) == new
        assert await open_ask_of(session, CHAT, TOMO) == other
        assert not await close_ask(session, CHAT, old.ask_id, LATER)


async def test_an_ask_that_is_not_there_does_not_close(database):
    async with database.work() as session:
        assert not await close_ask(session, CHAT, 1, LATER)
        assert await ask_by_id(session, CHAT, 1) is None


async def test_old_asks_are_deleted_open_or_closed_and_newer_ones_stay(database):
    async with database.work() as session:
        await a_challenge(session)
        closed = await an_ask(session, MIRA)
        await close_ask(session, CHAT, closed.ask_id, LATER)
        still_open = await an_ask(session, TOMO)
        new = await an_ask(session, MIRA, message_id=11)
        await session.execute(
            update(AskRow).where(AskRow.ask_id == new.ask_id).values(asked_at=LATER)
        )

        await trim_asks(session, LATER)

        assert await ask_by_id(session, CHAT, closed.ask_id) is None
        assert await ask_by_id(session, CHAT, still_open.ask_id) is None
        left = await open_ask_of(session, CHAT, MIRA)
        assert (left.ask_id, left.raw_text) == (new.ask_id, "45")


async def test_the_number_of_a_trimmed_ask_is_not_given_again(database):
    """A button of an old question must not answer a new one."""
    async with database.work() as session:
        await a_challenge(session)
        old = await an_ask(session, MIRA)

        await trim_asks(session, LATER)

        kept = await ask_by_id(session, CHAT, old.ask_id)
        assert (kept.raw_text, kept.choices, kept.closed_at) == ("", "[]", START)
        assert not await close_ask(session, CHAT, old.ask_id, LATER)
        assert (await an_ask(session, MIRA)).ask_id == old.ask_id + 1


async def test_the_open_questions_of_one_day_are_closed_and_told(database):
    async with database.work() as session:
        await a_challenge(session)
        mira = await an_ask(session, MIRA)
        kept = await an_ask(session, TOMO)
        await session.execute(
            update(AskRow).where(AskRow.ask_id == kept.ask_id).values(kind="join")
        )

        assert await close_asks_of_day(session, CHAT, FIRST, 9, keep="join", now=LATER) == ()
        [closed] = await close_asks_of_day(session, CHAT, FIRST, 1, keep="join", now=LATER)
        again = await close_asks_of_day(session, CHAT, FIRST, 1, keep="join", now=LATER)

        assert (closed.ask_id, closed.closed_at) == (mira.ask_id, LATER)
        assert again == ()
        assert await open_ask_of(session, CHAT, TOMO) is not None
