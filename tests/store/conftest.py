"""A migrated database for each test, on each of the engines we deploy on."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from store.engine import Database
from store.migrate import migrate
from tests import databases


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One migrated, empty, closed database to copy: migrating takes most of a test's time."""
    path = tmp_path_factory.mktemp("migrated") / "rungbell.sqlite3"
    asyncio.run(migrate(f"sqlite+aiosqlite:///{path}"))
    return path


@pytest.fixture(params=databases.ENGINES)
def engine_name(request: pytest.FixtureRequest) -> str:
    """Which engine the test runs on."""
    return str(request.param)


@pytest.fixture
def database_url(request: pytest.FixtureRequest, engine_name: str, tmp_path: Path) -> str:
    """The address of `database`; without that, of one in which there is nothing yet."""
    is_migrated = "database" in request.fixturenames
    if engine_name == "sqlite":
        file = tmp_path / "rungbell.sqlite3"
        if is_migrated:
            shutil.copy(request.getfixturevalue("migrated_file"), file)
        return f"sqlite+aiosqlite:///{file}"
    migrated, blank, _ = request.getfixturevalue("server_databases")
    if is_migrated:
        asyncio.run(databases.make_empty(migrated))
        return databases.shown(migrated)
    asyncio.run(databases.make_blank(blank))
    return databases.shown(blank)


@pytest.fixture
async def database(database_url: str) -> AsyncIterator[Database]:
    """A migrated database without rows."""
    database = Database(database_url)
    yield database
    await database.close()
