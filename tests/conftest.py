"""For all tests: how the bot library gives waiting times, and databases of a server."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Iterator

import pytest
from sqlalchemy import URL

from store.migrate import migrate
from tests import databases

# Read by python-telegram-bot when a RetryAfter is built; without it that warns, and warnings fail.
# So in the running service, which gets waiting times as timedelta too.
os.environ["PTB_TIMEDELTA"] = "1"


@pytest.fixture(scope="session")
def server_databases() -> Iterator[tuple[URL, ...]]:
    """Databases of a server: one migrated, to be emptied for each test, and two blank ones."""
    made = tuple(databases.own(number) for number in range(3))

    async def make() -> None:
        for address in made:
            await databases.create(str(address.database))
        await migrate(databases.shown(made[0]))

    asyncio.run(make())
    yield made
    asyncio.run(databases.drop(*(str(address.database) for address in made)))
