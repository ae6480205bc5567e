"""Bring a database's tables up to what this program needs, or say why not."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import func, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from store.engine import (
    SQLITE_PRAGMAS,
    check_references,
    is_sqlite,
    make_engine,
    read_url,
    sqlite_engine,
    sqlite_path,
)
from store.errors import DatabaseOutOfReach, DatabaseTooNew

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from sqlalchemy import URL
    from sqlalchemy.engine import Connection
    from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine


_ONE_AT_A_TIME = 1 << 62  # an advisory lock's key that is no chat's id


async def migrate(database_url: str) -> None:
    """Create or update the tables, all or nothing; create the file's folder if there is none.

    Raises:
        BadDatabaseUrl: The address cannot be used.
        DatabaseOutOfReach: The database does not let us in.
        DatabaseTooNew: A newer program has been here; nothing was touched.
    """
    address = read_url(database_url)
    prepare(address)
    async with connected(address) as connection:
        await connection.run_sync(_upgrade)


def prepare(address: URL) -> None:
    """Make the folder of a database's file."""
    if is_sqlite(address) and (path := sqlite_path(address)):
        path.parent.mkdir(parents=True, exist_ok=True)


@asynccontextmanager
async def connected(address: URL) -> AsyncIterator[AsyncConnection]:
    """Open a transaction to change tables in; committed at the end, undone by an exception.

    Raises:
        DatabaseOutOfReach: The database does not let us in.
    """
    async with reached(migration_engine(address)) as connection, connection.begin():
        yield connection


@asynccontextmanager
async def reached(engine: AsyncEngine) -> AsyncIterator[AsyncConnection]:
    """Open a connection of an engine made for it alone, and close both.

    Raises:
        DatabaseOutOfReach: The database does not let us in.
    """
    try:
        try:
            connection = await engine.connect()
        except (DBAPIError, OSError) as exc:
            shown = engine.url.render_as_string(hide_password=True)
            reason = str(exc.orig if isinstance(exc, DBAPIError) else exc).partition("\n")[0]
            raise DatabaseOutOfReach(shown, reason=reason) from exc
        try:
            yield connection
        finally:
            await connection.close()
    finally:
        await engine.dispose()


def migration_engine(address: URL) -> AsyncEngine:
    """Make an engine for changing tables.

    Foreign keys are off on SQLite: it alters a table by copying and dropping it, and dropping a
    parent would take the children along. The upgrade checks them before it commits.
    """
    if not is_sqlite(address):
        return make_engine(address, poolclass=NullPool)
    return sqlite_engine(
        address,
        begin="BEGIN IMMEDIATE",
        pragmas={**SQLITE_PRAGMAS, "foreign_keys": "OFF"},
        poolclass=NullPool,
    )


def config() -> Config:
    """Give Alembic's settings; whoever runs a command puts the connection among them."""
    settings = Config()
    settings.set_main_option("script_location", "store:migrations")
    return settings


def head() -> str:
    """Give the newest revision that this program knows."""
    return str(ScriptDirectory.from_config(config()).get_current_head())


def known_revisions() -> frozenset[str]:
    """Give every revision that this program knows."""
    scripts = ScriptDirectory.from_config(config())
    return frozenset(script.revision for script in scripts.walk_revisions())


def check_known(connection: Connection) -> None:
    """Refuse a database at a revision this program does not know.

    Raises:
        DatabaseTooNew: It is.
    """
    found = MigrationContext.configure(connection).get_current_revision()
    if found is not None and found not in known_revisions():
        raise DatabaseTooNew(found=found, known=head())


def lock(connection: Connection) -> None:
    """Let one at a time change tables; on SQLite the transaction begins with the file's lock."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock(_ONE_AT_A_TIME)))


def _upgrade(connection: Connection) -> None:
    lock(connection)
    check_known(connection)
    settings = config()
    settings.attributes["connection"] = connection
    command.upgrade(settings, "head")
    check_references(connection)
