"""Bring a database's tables up to what this program needs, or say why not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
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
from store.errors import DatabaseTooNew

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


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", "store:migrations")
    return config


def _check_known(connection: Connection) -> None:
    """Refuse a database at a revision this program does not know."""
    scripts = ScriptDirectory.from_config(_config())
    found = MigrationContext.configure(connection).get_current_revision()
    known = {script.revision for script in scripts.walk_revisions()}
    if found is not None and found not in known:
        raise DatabaseTooNew(found=found, known=str(scripts.get_current_head()))


def _upgrade(connection: Connection) -> None:
    _check_known(connection)
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
    check_references(connection)
