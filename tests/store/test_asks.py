from __future__ import annotations

from datetime import timedelta

from store.asks import ask_by_id, close_ask, open_ask_of
from tests.store.builders import CHAT, MIRA, START, TOMO, a_challenge, an_ask

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
