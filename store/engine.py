"""The database connection: one unit of work to write in, one to read in.

What differs between the two engines is here and in `store.hold`. SQLite's driver opens a
transaction only before the first write, so that two tasks that read and then write lose each
other's changes; here a unit of work takes the write lock before it reads. On PostgreSQL it reads
what is committed (READ COMMITTED) and takes locks as narrow as a chat or a row. SERIALIZABLE would
need none, but on small tables any two chats that write at once clash, and one does all its work
again.
"""

from __future__ import annotations

from contextlib import asynccontextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import URL, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.ext.asyncio import (
    AsyncEngine,
    AsyncSession,
    async_sessionmaker,
    create_async_engine,
)

from store.errors import BadDatabaseUrl, BrokenReferences

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from sqlalchemy.engine import Connection

DRIVERS = ("sqlite+aiosqlite", "postgresql+asyncpg", "postgresql+psycopg")
# What an address without a driver means; asyncpg is the quicker one: `tests.bench engines`.
POSTGRESQL = {"postgresql": "postgresql+asyncpg", "postgres": "postgresql+asyncpg"}
BUSY_TIMEOUT_MS = 15_000  # how long to wait for another process's write
POOL_TIMEOUT_S = 30  # how long to wait for another task's write
POOL_SIZE = 10  # connections kept to a server, for writing and for reading each


class Database:
    """Two engines on one database. Close it when done.

    Raises:
        BadDatabaseUrl: The address cannot be read, names another driver, or means a database in
            memory, which two engines could not share.
    """

    def __init__(self, url: str) -> None:
        address = read_url(url)
        self._writing = writing_engine(address)
        self._reading = reading_engine(address)
        # Values are read after the commit; a second look at the database would need a connection.
        self._work = async_sessionmaker(self._writing, expire_on_commit=False)
        self._read = async_sessionmaker(self._reading, expire_on_commit=False)

    @asynccontextmanager
    async def work(self) -> AsyncIterator[AsyncSession]:
        """Open a unit of work; without `await session.commit()` nothing of it remains.

        One at a time per process on SQLite: never open a second inside the first, and keep the
        network out of it.
        """
        async with self._work() as session:
            yield session

    @asynccontextmanager
    async def reading(self) -> AsyncIterator[AsyncSession]:
        """Open a consistent view that cannot write and holds up no writer."""
        async with self._read() as session:
            yield session

    async def close(self) -> None:
        """Close all connections."""
        await self._writing.dispose()
        await self._reading.dispose()


def read_url(url: str) -> URL:
    """Parse a database address.

    Raises:
        BadDatabaseUrl: See `Database`.
    """
    try:
        address = make_url(url)
    except ArgumentError as exc:
        # No part of an unreadable address is shown: it may hold a password.
        raise BadDatabaseUrl(url.partition(":")[0], reason="cannot be read") from exc
    address = address.set(drivername=POSTGRESQL.get(address.drivername, address.drivername))
    shown = address.render_as_string(hide_password=True)
    if address.drivername not in DRIVERS:
        raise BadDatabaseUrl(shown, reason=f"driver is none of {', '.join(DRIVERS)}")
    if is_sqlite(address) and sqlite_path(address) is None:
        raise BadDatabaseUrl(shown, reason="a database in memory cannot be shared")
    return address


def is_sqlite(address: URL) -> bool:
    """Whether the address means an SQLite file."""
    return address.get_backend_name() == "sqlite"


def sqlite_path(address: URL) -> Path | None:
    """Return the file an SQLite address means; None for memory or a `file:` address."""
    name = address.database or ""
    return None if not name or name.startswith((":memory:", "file:")) else Path(name)


def make_engine(address: URL, **options: Any) -> AsyncEngine:
    """Make an engine whose errors show the statement and no values: people wrote them.

    Raises:
        BadDatabaseUrl: The driver is not installed.
    """
    try:
        return create_async_engine(address, hide_parameters=True, **options)
    except ModuleNotFoundError as exc:
        shown = address.render_as_string(hide_password=True)
        reason = f"needs {exc.name}; install it with: pip install 'rungbell[postgresql]'"
        raise BadDatabaseUrl(shown, reason=reason) from exc


def sqlite_engine(
    address: URL, *, begin: str, pragmas: dict[str, str | int], **options: Any
) -> AsyncEngine:
    """Make an SQLite engine whose transactions start with `begin`, on connections set up alike."""
    engine = make_engine(address, **options)

    @event.listens_for(engine.sync_engine, "connect")
    def _set_up(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # the driver starts no transactions of its own
        cursor = connection.cursor()
        for name, value in pragmas.items():
            cursor.execute(f"PRAGMA {name} = {value}")
        cursor.close()

    @event.listens_for(engine.sync_engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine


def server_engine(address: URL, **options: Any) -> AsyncEngine:
    """Make a PostgreSQL engine that outlives a restart of the server."""
    return make_engine(
        address, pool_pre_ping=True, pool_size=POOL_SIZE, pool_timeout=POOL_TIMEOUT_S, **options
    )


SQLITE_PRAGMAS: dict[str, str | int] = {
    "busy_timeout": BUSY_TIMEOUT_MS,  # first, so that the switch to WAL waits too
    "journal_mode": "WAL",
    "synchronous": "NORMAL",
    "foreign_keys": "ON",
}


def writing_engine(address: URL) -> AsyncEngine:
    """Make the engine behind `Database.work`."""
    if not is_sqlite(address):
        return server_engine(address, isolation_level="READ COMMITTED")
    # One connection: tasks of this process queue in order instead of polling the file's lock.
    return sqlite_engine(
        address,
        begin="BEGIN IMMEDIATE",
        pragmas=SQLITE_PRAGMAS,
        pool_size=1,
        max_overflow=0,
        pool_timeout=POOL_TIMEOUT_S,
    )


def reading_engine(address: URL) -> AsyncEngine:
    """Make the engine behind `Database.reading`."""
    if not is_sqlite(address):
        return server_engine(
            address,
            isolation_level="REPEATABLE READ",  # one view for all statements
            execution_options={"postgresql_readonly": True},
        )
    return sqlite_engine(address, begin="BEGIN", pragmas={**SQLITE_PRAGMAS, "query_only": "ON"})


def check_references(connection: Connection) -> None:
    """Look for rows without their parent after work with foreign keys off.

    Raises:
        BrokenReferences: There are some.
    """
    if connection.dialect.name != "sqlite":
        return
    found = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if found:
        raise BrokenReferences(tables=sorted({row[0] for row in found}), rows=len(found))
