"""Copy a whole database into an archive and back, from either engine into either.

A copy is made while the bot runs and shows one instant: SQLite's online backup, or PostgreSQL's
repeatable read. Restoring lays the tables as they were at the archive's revision, fills them,
brings them up to date, and commits only then.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
from contextlib import closing
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from alembic import command
from alembic.runtime.migration import MigrationContext
from sqlalchemy import MetaData, exists, insert, select
from sqlalchemy.exc import DBAPIError

from store.archive import column_reader, open_archive, write_archive
from store.engine import check_references, is_sqlite, read_url, reading_engine, sqlite_path
from store.errors import ArchiveDamaged, ArchiveTooNew, DatabaseNotEmpty, NothingToBackUp
from store.migrate import (
    check_known,
    config,
    connected,
    head,
    known_revisions,
    lock,
    prepare,
    reached,
)
from store.tables import Base

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from sqlalchemy import URL, Table
    from sqlalchemy.engine import Connection

    from store.archive import Archive, Manifest, Row

_BATCH = 500
_REVISION = "alembic_version"


async def back_up(database_url: str, file: Path, *, now: datetime) -> Manifest:
    """Write everything to an archive file; an earlier one goes only once the new one is whole.

    Only its owner may read it: it holds people's names and words.

    Raises:
        BadDatabaseUrl: The address cannot be used.
        DatabaseOutOfReach: The database does not let us in.
        NothingToBackUp: There is no database there, or none of this program.
    """
    address = read_url(database_url)
    with tempfile.TemporaryDirectory(dir=file.parent, prefix=".rungbell-") as beside:
        if is_sqlite(address):
            address = _copy_of(address, Path(beside) / "copy.sqlite3")
        whole = Path(beside) / "whole.zip"
        whole.touch(mode=0o600)
        async with reached(reading_engine(address)) as connection:
            manifest = await connection.run_sync(_write, whole, now)
        with whole.open("rb+") as written:
            os.fsync(written.fileno())
        whole.replace(file)
    return manifest


def _copy_of(address: URL, copy: Path) -> URL:
    """Copy an SQLite database in one step, whoever writes to it meanwhile."""
    path = sqlite_path(address)
    if path is None or not path.is_file():
        raise NothingToBackUp(str(path))
    with (
        closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as source,
        closing(sqlite3.connect(copy)) as target,
    ):
        try:
            source.backup(target)
        except sqlite3.DatabaseError as exc:
            raise NothingToBackUp(str(path)) from exc
    return address.set(database=str(copy))


def _write(connection: Connection, file: Path, now: datetime) -> Manifest:
    revision = MigrationContext.configure(connection).get_current_revision()
    if revision is None:
        raise NothingToBackUp(connection.engine.url.render_as_string(hide_password=True))
    tables = {table.name: _rows(connection, table) for table in _tables(connection)}
    return write_archive(file, revision=revision, made_at=now, tables=tables)


def _tables(connection: Connection) -> list[Table]:
    """Give the tables as they are in the database, parents first: models may be newer."""
    found = MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != _REVISION]


def _rows(connection: Connection, table: Table) -> Iterator[Row]:
    query = select(table).order_by(*table.primary_key.columns)
    found = connection.execute(query, execution_options={"yield_per": _BATCH})
    return (dict(row) for row in found.mappings())


@dataclass(frozen=True, slots=True)
class Restored:
    """What restoring did."""

    manifest: Manifest
    revision: str  # of the tables now


async def restore(file: Path, database_url: str, *, replace: bool = False) -> Restored:
    """Bring an archive's rows into a database, all of them or none.

    Args:
        file: The archive.
        database_url: Of a database of either engine, which nobody works on meanwhile.
        replace: Whether what is there may go.

    Raises:
        ArchiveDamaged: Nothing was touched.
        ArchiveTooNew: Same; a newer program made it.
        DatabaseNotEmpty: Same; there are rows, and `replace` was not given.
        DatabaseTooNew: Same; a newer program has been in the database.
        BrokenReferences: The archive has rows without the row they belong to; all was undone.
    """
    address = read_url(database_url)
    with open_archive(file) as archive:
        revision = archive.manifest.revision
        if revision not in known_revisions():
            raise ArchiveTooNew(found=revision, known=head())
        prepare(address)
        async with connected(address) as connection:
            await connection.run_sync(_bring_in, archive, replace)
        return Restored(archive.manifest, head())


def _bring_in(connection: Connection, archive: Archive, replace: bool) -> None:  # noqa: FBT001 - run_sync passes no keywords
    lock(connection)
    check_known(connection)
    _make_room(connection, replace=replace)
    settings = config()
    settings.attributes["connection"] = connection
    command.upgrade(settings, archive.manifest.revision)
    tables = _tables(connection)
    if {table.name for table in tables} != set(archive.manifest.tables):
        raise ArchiveDamaged("it holds other tables than its revision has")
    try:
        for table in tables:
            _fill(connection, table, archive)
        if connection.dialect.name == "postgresql":  # it alters no table with checks still to come
            connection.exec_driver_sql("SET CONSTRAINTS ALL IMMEDIATE")
    except DBAPIError as exc:
        raise ArchiveDamaged("its rows do not belong together") from exc
    command.upgrade(settings, "head")
    check_references(connection)


def _make_room(connection: Connection, *, replace: bool) -> None:
    """Take our tables out of the database, rows and all if told."""
    ours = [table for table in reversed(_tables(connection)) if table.name in Base.metadata.tables]
    filled = [t.name for t in ours if connection.scalar(select(exists(select(t).limit(1))))]
    if filled and not replace:
        raise DatabaseNotEmpty(sorted(filled))
    for table in ours:
        table.drop(connection)
    connection.exec_driver_sql(f"DROP TABLE IF EXISTS {_REVISION}")


def _fill(connection: Connection, table: Table, archive: Archive) -> None:
    readers = {column.name: column_reader(column.type.python_type) for column in table.columns}
    rows = archive.rows(table.name)
    while batch := [_values(table, row, readers) for row in islice(rows, _BATCH)]:
        connection.execute(insert(table), batch)


def _values(table: Table, row: Row, readers: dict[str, Any]) -> Row:
    if row.keys() != readers.keys():
        raise ArchiveDamaged(f"a row of {table.name} has other columns than its revision has")
    try:
        return {name: readers[name](value) for name, value in row.items()}
    except (ValueError, TypeError) as exc:
        raise ArchiveDamaged(f"a row of {table.name} has a date that is none") from exc
