from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from store.engine import check_references, read_url
from store.errors import BrokenReferences, DatabaseNotMigrated, DatabaseTooNew
from store.migrate import check_is_current, migrate, migration_engine
from store.tables import Base

if TYPE_CHECKING:
    from sqlalchemy.engine import Connection


async def test_migrations_from_empty_equal_the_models(database_url):
    await migrate(database_url)
    engine = migration_engine(read_url(database_url))

    def differences(connection: Connection) -> list[object]:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        return list(compare_metadata(context, Base.metadata))

    async with engine.connect() as connection:
        assert await connection.run_sync(differences) == []
    await engine.dispose()


async def test_every_index_and_foreign_key_action_of_the_models_is_in_the_file(
    database_url, tmp_path
):
    """The comparison above does not look at conditions of indexes or at cascades."""
    await migrate(database_url)
    engine = migration_engine(read_url(f"sqlite+aiosqlite:///{tmp_path / 'models.sqlite3'}"))
    async with engine.begin() as connection:
        await connection.run_sync(Base.metadata.create_all)
    await engine.dispose()

    def schema(name: str) -> dict[str, str]:
        connection = sqlite3.connect(tmp_path / name)
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE sql NOT NULL AND name != 'alembic_version'"
        ).fetchall()
        connection.close()
        return {key: " ".join(sorted(sql.replace(",", " ").split())) for key, sql in rows}

    assert schema("rungbell.sqlite3") == schema("models.sqlite3")


async def test_migrating_again_changes_nothing(database_url, tmp_path):
    await migrate(database_url)
    before = (tmp_path / "rungbell.sqlite3").read_bytes()

    await migrate(database_url)

    assert (tmp_path / "rungbell.sqlite3").read_bytes() == before
    await check_is_current(database_url)


async def test_the_folder_is_created(tmp_path):
    url = f"sqlite+aiosqlite:///{tmp_path / 'data' / 'club' / 'rungbell.sqlite3'}"

    await migrate(url)

    await check_is_current(url)


async def test_a_database_from_a_newer_version_is_refused_and_left_alone(database_url, tmp_path):
    await migrate(database_url)
    path = tmp_path / "rungbell.sqlite3"
    connection = sqlite3.connect(path)
    connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.commit()
    connection.close()
    before = path.read_bytes()

    with pytest.raises(DatabaseTooNew) as info:
        await migrate(database_url)
    with pytest.raises(DatabaseTooNew):
        await check_is_current(database_url)

    assert (info.value.found, info.value.known) == ("9999", "0001")
    assert path.read_bytes() == before


async def test_a_missing_database_is_not_current_and_is_not_created(database_url, tmp_path):
    with pytest.raises(DatabaseNotMigrated):
        await check_is_current(database_url)

    assert list(tmp_path.iterdir()) == []


async def test_a_migration_that_fails_leaves_nothing_behind(database_url, tmp_path):
    """A table of another program is in the way."""
    path = tmp_path / "rungbell.sqlite3"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE results (x)")
    connection.commit()

    with pytest.raises(Exception, match="already exists"):
        await migrate(database_url)

    tables = connection.execute("SELECT name FROM sqlite_master").fetchall()
    connection.close()
    assert tables == [("results",)]


async def test_rows_without_their_parent_are_found(database_url):
    await migrate(database_url)
    engine = migration_engine(read_url(database_url))

    async with engine.connect() as connection:
        await connection.exec_driver_sql("INSERT INTO organisers VALUES (-5, 1)")
        with pytest.raises(BrokenReferences) as info:
            await connection.run_sync(check_references)
    await engine.dispose()

    assert (info.value.tables, info.value.rows) == (("organisers",), 1)
