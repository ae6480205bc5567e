"""A migrated database file for each test."""

from __future__ import annotations

import asyncio
import shutil
from typing import TYPE_CHECKING

import pytest

from store.engine import Database
from store.migrate import migrate

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One migrated, empty, closed database to copy: migrating takes most of a test's time."""
    path = tmp_path_factory.mktemp("migrated") / "rungbell.sqlite3"
    asyncio.run(migrate(f"sqlite+aiosqlite:///{path}"))
    return path


@pytest.fixture
def database_url(tmp_path: Path) -> str:
    """The address of a file that is not there yet."""
    return f"sqlite+aiosqlite:///{tmp_path / 'rungbell.sqlite3'}"


@pytest.fixture
async def database(
    migrated_file: Path, tmp_path: Path, database_url: str
) -> AsyncIterator[Database]:
    shutil.copy(migrated_file, tmp_path / "rungbell.sqlite3")
    database = Database(database_url)
    yield database
    await database.close()
