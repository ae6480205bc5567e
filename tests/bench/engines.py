"""How quick the engines and drivers are at what the bot does most, as ratios to SQLite."""

from __future__ import annotations

import asyncio
import os
import tempfile
from collections.abc import Sequence
from contextlib import AsyncExitStack
from dataclasses import dataclass
from datetime import timedelta
from time import perf_counter

from store import inbox, results, standings
from store.engine import Database
from store.migrate import migrate
from store.values import ChatId, UpdateId, UserId
from tests import databases
from tests.store.builders import CHAT, FIRST, START, a_challenge, a_participant, an_entry

PEOPLE, CHATS, ROUNDS = 60, 8, 20
IN_TIME = START + timedelta(days=2)
DRIVERS = ("postgresql+asyncpg", "postgresql+psycopg")


def run() -> None:
    """Print milliseconds and ratios, the best of many runs; the engines take turns."""
    asyncio.run(_compare())


async def _compare() -> None:
    async with AsyncExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory())
        urls = [f"sqlite+aiosqlite:///{folder}/bench.sqlite3"]
        for driver in DRIVERS:
            name = f"rungbell_{os.getpid()}_{driver.partition('+')[2]}"
            await databases.create(name)
            stack.push_async_callback(databases.drop, name)
            urls.append(databases.shown(databases.server().set(database=name, drivername=driver)))
        benches = [await _bench(url, stack) for url in urls]
        for act in ("record", "side_by_side", "rank", "receive"):
            await _print(act, benches)


async def _print(act: str, benches: Sequence[_Bench]) -> None:
    best = [float("inf")] * len(benches)
    for _ in range(ROUNDS):
        for place, bench in enumerate(benches):
            started = perf_counter()
            await getattr(bench, act)()
            best[place] = min(best[place], perf_counter() - started)
    print((getattr(_Bench, act).__doc__ or "").strip())
    for took, bench in zip(best, benches, strict=True):
        print(f"  {bench.name:20} {took * 1e3:6.1f} ms, x {took / best[0]:.2f}")


@dataclass
class _Bench:
    name: str
    database: Database
    number: int = 0

    async def record(self, chat_id: ChatId = CHAT) -> None:
        """One correction: what every score costs."""
        self.number += 1
        entry = an_entry(UserId(1), chat_id=chat_id, rank_key=self.number, message_id=self.number)
        async with self.database.work() as session:
            await results.record(session, entry, make_up_until=IN_TIME, now=START, by=UserId(1))
            await session.commit()

    async def side_by_side(self) -> None:
        """One correction in each of several groups at once."""
        await asyncio.gather(*(self.record(ChatId(CHAT - number)) for number in range(CHATS)))

    async def rank(self) -> None:
        """The overall places of a week."""
        async with self.database.reading() as session:
            found = await standings.overall(
                session, chat_id=CHAT, challenge_id=FIRST, division="full", day_numbers=range(1, 8)
            )
        assert found

    async def receive(self) -> None:
        """As many raw updates as the platform gives at once."""
        updates = [(UpdateId(self.number * 100 + n), CHAT, "x" * 900) for n in range(100)]
        self.number += 1
        async with self.database.work() as session:
            await inbox.receive(session, updates, START)
            await session.commit()


async def _bench(url: str, stack: AsyncExitStack) -> _Bench:
    await migrate(url)
    database = Database(url)
    stack.push_async_callback(database.close)
    async with database.work() as session:
        for number in range(CHATS):
            chat_id = ChatId(CHAT - number)
            await a_challenge(session, chat_id=chat_id)
            for user_id in range(1, PEOPLE + 1):
                await a_participant(session, UserId(user_id), chat_id=chat_id)
        for user_id in range(1, PEOPLE + 1):
            for day in range(1, 8):
                entry = an_entry(UserId(user_id), day_number=day, rank_key=user_id * day)
                await results.record(
                    session, entry, make_up_until=IN_TIME, now=START, by=UserId(user_id)
                )
        await session.commit()
    return _Bench(url.partition(":")[0], database)
