"""The databases that tests run on: a file of SQLite, or a database of a PostgreSQL server."""

from __future__ import annotations

import os
import socket
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import URL, delete, make_url, text
from sqlalchemy.pool import NullPool

from store.engine import make_engine, read_url
from store.tables import Base

if TYPE_CHECKING:
    from collections.abc import Sequence

ENGINES = ("sqlite", "postgresql")
SETTING = "RUNGBELL_TEST_DATABASE_URL"
LOCAL = "postgresql://127.0.0.1:5432/test"
_PATIENCE_S = 2


def server() -> URL:
    """Give the address of the server to test on.

    Without one the test is skipped; in CI it fails.
    """
    if SETTING in os.environ:
        return read_url(os.environ[SETTING])
    address = make_url(LOCAL)
    try:
        socket.create_connection((address.host or "", address.port or 0), _PATIENCE_S).close()
    except OSError:
        why = f"no PostgreSQL on 127.0.0.1:5432, and {SETTING} is not set"
        if "CI" in os.environ:
            pytest.fail(f"{why}; CI must not go without")
        pytest.skip(why)
    return read_url(LOCAL)


def shown(address: URL) -> str:
    """Write an address with its password."""
    return address.render_as_string(hide_password=False)


def own(number: int = 0) -> URL:
    """Give the address of a database of this test run alone; nobody has made it yet."""
    return server().set(database=f"rungbell_{os.getpid()}_{number}")


async def run(address: URL, *statements: str) -> None:
    """Run statements, each in a transaction of its own."""
    engine = make_engine(address, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    try:
        async with engine.connect() as connection:
            for statement in statements:
                await connection.execute(text(statement))
    finally:
        await engine.dispose()


async def create(name: str, *, template: str = "template0") -> None:
    await drop(name)
    # What a test writes need not outlive the machine.
    await run(
        server(),
        f"CREATE DATABASE {name} TEMPLATE {template}",
        f"ALTER DATABASE {name} SET synchronous_commit = off",
    )


async def drop(*names: str) -> None:
    await run(server(), *(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)" for name in names))


async def make_blank(address: URL) -> None:
    """Take everything out of a database, tables too."""
    await run(address, *_others_out(), "DROP SCHEMA public CASCADE", "CREATE SCHEMA public")


async def make_empty(address: URL) -> None:
    """Take all rows out: a hundredth of the time of making a database from a template."""
    tables = reversed(Base.metadata.sorted_tables)
    await run(address, *_others_out(), *(str(delete(table)) for table in tables))


def _others_out() -> Sequence[str]:
    """Close what a failed test left open: its locks would be waited for."""
    others = "datname = current_database() AND pid <> pg_backend_pid()"
    return (f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE {others}",)  # noqa: S608 - all of it stands here
