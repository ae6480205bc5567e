"""Bring a database's tables up to what this program needs, or say why not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.ext.asyncio import create_async_engine
from sqlalchemy.pool import NullPool

from store.engine import (
    SQLITE_PRAGMAS,
    check_references,
    is_sqlite,
    read_url,
    reading_engine,
    sqlite_engine,
    sqlite_path,
)
from store.errors import DatabaseNotMigrated, DatabaseTooNew

if TYPE_CHECKING:
    from sqlalchemy import URL
    from sqlalchemy.engine import Connection
    from sqlalchemy.ext.asyncio import AsyncEngine


async def migrate(database_url: str) -> None:
    """Create or update the tables, all or nothing; create the file's folder if there is none.

    Raises:
        BadDatabaseUrl: The address cannot be used.
        DatabaseTooNew: A newer program has been here; nothing was touched.
    """
    address = read_url(database_url)
    if is_sqlite(address) and (path := sqlite_path(address)):
        path.parent.mkdir(parents=True, exist_ok=True)
    engine = migration_engine(address)
    try:
        async with engine.begin() as connection:
            await connection.run_sync(_upgrade)
    finally:
        await engine.dispose()


async def check_is_current(database_url: str) -> None:
    """Return if the tables are what this program needs.

    Raises:
        BadDatabaseUrl: The address cannot be used.
        DatabaseNotMigrated: Tables are missing or old; also when there is no file yet.
        DatabaseTooNew: A newer program has been here.
    """
    address = read_url(database_url)
    if is_sqlite(address) and (path := sqlite_path(address)) and not path.exists():
        raise DatabaseNotMigrated(found=None, known=_known_head(_scripts()))
    engine = reading_engine(address)
    try:
        async with engine.connect() as connection:
            await connection.run_sync(_check)
    finally:
        await engine.dispose()


def migration_engine(address: URL) -> AsyncEngine:
    """Make an engine for changing tables.

    Foreign keys are off on SQLite: it alters a table by copying and dropping it, and dropping a
    parent would take the children along. The upgrade checks them before it commits.
    """
    if not is_sqlite(address):
        return create_async_engine(address, poolclass=NullPool)
    return sqlite_engine(
        address,
        begin="BEGIN IMMEDIATE",
        pragmas={**SQLITE_PRAGMAS, "foreign_keys": "OFF"},
        poolclass=NullPool,
    )


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", "store:migrations")
    return config


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(_config())


def _known_head(scripts: ScriptDirectory) -> str:
    return str(scripts.get_current_head())


def _found(connection: Connection, scripts: ScriptDirectory) -> str | None:
    """Return the database's revision if this program knows it."""
    found = MigrationContext.configure(connection).get_current_revision()
    known = {script.revision for script in scripts.walk_revisions()}
    if found is not None and found not in known:
        raise DatabaseTooNew(found=found, known=_known_head(scripts))
    return found


def _check(connection: Connection) -> None:
    scripts = _scripts()
    found, known = _found(connection, scripts), _known_head(scripts)
    if found != known:
        raise DatabaseNotMigrated(found=found, known=known)


def _upgrade(connection: Connection) -> None:
    _found(connection, _scripts())
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
    check_references(connection)
