from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, TypeVar

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import MetaData, Table, inspect, select
from sqlalchemy.exc import DBAPIError

from store.challenges import challenge, days
from store.engine import Database, check_references, read_url
from store.errors import BrokenReferences, DatabaseTooNew
from store.migrate import config, head, migrate, migration_engine
from store.plans import changes_of_plan
from store.results import change_of_message, history, text_of_message
from store.tables import Base
from store.values import ChallengeId, ChatId, UserId

if TYPE_CHECKING:
    from sqlalchemy.engine import Connection

T = TypeVar("T")


async def test_migrations_from_empty_equal_the_models(database_url):
    await migrate(database_url)

    def differences(connection: Connection) -> list[object]:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        return list(compare_metadata(context, Base.metadata))

    assert await ask(database_url, differences) == []


async def test_every_index_and_foreign_key_action_of_the_models_is_in_the_database(
    database_url, engine_name
):
    """The comparison above does not look at conditions of indexes or at cascades."""
    await migrate(database_url)
    by_migrations = await ask(database_url, SCHEMA[engine_name])

    def lay_anew(connection: Connection) -> None:
        Base.metadata.drop_all(connection)
        Base.metadata.create_all(connection)

    await ask(database_url, lay_anew)

    assert await ask(database_url, SCHEMA[engine_name]) == by_migrations
    assert len(by_migrations) > len(Base.metadata.tables)


def _sqlite_schema(connection: Connection) -> dict[str, str]:
    rows = connection.exec_driver_sql(
        "SELECT name, sql FROM sqlite_master WHERE sql NOT NULL AND name != 'alembic_version'"
    )
    return {name: " ".join(_words(sql)) for name, sql in rows}


def _postgresql_schema(connection: Connection) -> dict[str, str]:
    rows = connection.exec_driver_sql(
        """
        SELECT indexname, indexdef FROM pg_indexes
            WHERE schemaname = 'public' AND tablename != 'alembic_version'
        UNION ALL SELECT conname, pg_get_constraintdef(oid) FROM pg_constraint
            WHERE connamespace = 'public'::regnamespace
                AND conrelid != 'alembic_version'::regclass
        """
    )
    # A text in a condition is cast in another way when it came with a table; the words stay.
    return {name: " ".join(_words(definition)) for name, definition in rows}


SCHEMA = {"sqlite": _sqlite_schema, "postgresql": _postgresql_schema}


async def test_migrating_again_changes_nothing(database_url, engine_name):
    await migrate(database_url)
    before = await ask(database_url, SCHEMA[engine_name])

    await migrate(database_url)

    assert await ask(database_url, SCHEMA[engine_name]) == before
    assert await ask(database_url, _rows) == dict.fromkeys(Base.metadata.tables, ())


async def test_two_that_migrate_at_once_wait_for_each_other(database_url, engine_name):
    await asyncio.gather(*(migrate(database_url) for _ in range(3)))

    assert await ask(database_url, SCHEMA[engine_name]) != {}


async def test_the_folder_of_a_file_is_created(tmp_path):
    path = tmp_path / "data" / "club" / "rungbell.sqlite3"

    await migrate(f"sqlite+aiosqlite:///{path}")

    assert path.exists()


async def test_a_database_from_a_newer_version_is_refused_and_left_alone(
    database_url, engine_name
):
    await migrate(database_url)
    await ask(database_url, saying("UPDATE alembic_version SET version_num = '9999'"))
    before = await ask(database_url, SCHEMA[engine_name])

    with pytest.raises(DatabaseTooNew) as info:
        await migrate(database_url)

    assert (info.value.found, info.value.known) == ("9999", head())
    assert await ask(database_url, SCHEMA[engine_name]) == before


async def test_a_migration_that_fails_leaves_nothing_behind(database_url):
    """A table of another program is in the way."""
    await ask(database_url, saying("CREATE TABLE results (x INTEGER)"))

    with pytest.raises(DBAPIError, match="already exists"):
        await migrate(database_url)

    tables = await ask(database_url, lambda connection: inspect(connection).get_table_names())
    assert tables == ["results"]


@pytest.mark.parametrize("engine_name", ["sqlite"])  # a server keeps its foreign keys on
async def test_rows_without_their_parent_are_found(database_url):
    await migrate(database_url)
    engine = migration_engine(read_url(database_url))

    async with engine.connect() as connection:
        await connection.exec_driver_sql("INSERT INTO organisers VALUES (-5, 1)")
        with pytest.raises(BrokenReferences) as info:
            await connection.run_sync(check_references)
    await engine.dispose()

    assert (info.value.tables, info.value.rows) == (("organisers",), 1)


# Rows as revision 0001 keeps them: a result, corrected by another message after the chat moved.
OLD_ROWS = """
INSERT INTO groups VALUES (-7, 'Park', TRUE, '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 1, 'Days', 'Europe/Lisbon', '2026-03-02', '{}', NULL, 900,
    '2026-03-01 04:00:00.000000', NULL);
INSERT INTO days VALUES (-7, 1, 1, FALSE, '2026-03-02 04:00:00.000000',
    '2026-03-02 22:00:00.000000', '2026-03-04 04:00:00.000000');
INSERT INTO participants VALUES (-7, 1, 5, 'Mira', 'full', 'en', '2026-03-02 04:00:00.000000');
INSERT INTO results VALUES (-7, 1, 1, 5, 'full', 230, '{}', '230', -7, 3,
    '2026-03-02 07:00:00.000000', '2026-03-02 07:00:00.000000', 'counted');
INSERT INTO result_changes VALUES (-7, 1, 1, 5, 1, 'recorded', 5, '2026-03-02 06:00:00.000000',
    '', NULL, '{"message_chat_id": -6, "message_id": 10, "raw_text": "225 \u2713"}');
INSERT INTO result_changes VALUES (-7, 1, 1, 5, 2, 'corrected', 5,
    '2026-03-02 07:00:00.000000', 'typo', '{"message_chat_id": -6, "message_id": 10,
    "raw_text": "225 \u2713"}', '{"message_chat_id": -7, "message_id": 3, "raw_text": "230"}');
INSERT INTO posts VALUES (-7, 1, 1, 'day', '2026-03-02 06:00:00.000000',
    '2026-03-02 12:00:00.000000', 'sent', NULL, '2026-03-02 06:00:01.000000', NULL, 4, '');
INSERT INTO asks VALUES (-7, 1, 1, 5, 1, 'score', '[]', '45', -7, 3,
    '2026-03-02 07:00:00.000000', '2026-03-02 07:00:00.000000', NULL);
INSERT INTO inbox VALUES (9, -7, '{}', '2026-03-02 07:00:00.000000', NULL, NULL, 0, NULL, NULL);
INSERT INTO owed VALUES (5, 1, '{}', '2026-03-02 07:00:00.000000',
    '2026-03-02 07:00:00.000000', '2026-03-02 08:00:00.000000', 0);
INSERT INTO organisers VALUES (-7, 900);
INSERT INTO private_chats VALUES (900, TRUE);
"""
REVISIONS = [
    script.revision
    for script in reversed([*ScriptDirectory.from_config(config()).walk_revisions()])
]


async def test_changes_of_an_older_database_are_found_by_their_message(database_url):
    await migrate_to(database_url, "0001")
    await ask(database_url, saying(OLD_ROWS))
    lines = "SELECT kind, why, before, after FROM result_changes ORDER BY change_number"
    before = await ask(database_url, lambda c: [tuple(row) for row in c.exec_driver_sql(lines)])

    await migrate(database_url)

    database = Database(database_url)
    async with database.reading() as session:
        found = [
            await change_of_message(session, ChatId(*at), n) for *at, n in ((-6, 10), (-7, 3))
        ]
        key = {"chat_id": ChatId(-7), "challenge_id": 1, "day_number": 1, "user_id": UserId(5)}
        kept = await history(session, **key)
        texts = [await text_of_message(session, ChatId(*at), n) for *at, n in ((-6, 10), (-7, 3))]
    await database.close()
    assert texts == ["225 \u2713", "230"]  # lines from before effort, load and mark
    assert [result.rank_key for result in found] == [230, 230]
    assert {(r.effort, r.load_g, r.mark) for r in found} == {(None, None, None)}
    assert [(c.kind, c.why, c.before, c.after) for c in kept] == before


@pytest.mark.parametrize("revision", REVISIONS)
async def test_rows_of_every_earlier_revision_are_still_there_in_the_newest(
    database_url, revision
):
    await migrate_to(database_url, "0001")
    await ask(database_url, saying(OLD_ROWS))
    await migrate_to(database_url, revision)
    before = await ask(database_url, _rows)

    await migrate(database_url)

    after = await ask(database_url, _rows)
    assert {table: len(rows) for table, rows in after.items() if rows} == {
        table: len(rows) for table, rows in before.items() if rows
    }
    assert [
        (table, was, is_now)
        for table, rows in before.items()
        for was, is_now in zip(rows, after[table], strict=True)
        if was.items() - is_now.items()
    ] == []


async def test_a_database_goes_back_to_an_older_revision_and_on_again(database_url, engine_name):
    await migrate_to(database_url, "0001")
    await ask(database_url, saying(OLD_ROWS))
    before = [await ask(database_url, look) for look in (SCHEMA[engine_name], _rows)]

    await migrate(database_url)
    await migrate_to(database_url, "0001", by=command.downgrade)

    after = [await ask(database_url, look) for look in (SCHEMA[engine_name], _rows)]
    assert after == before
    await migrate(database_url)
    assert (await ask(database_url, _rows))["results"][0]["raw_text"] == "230"


async def test_days_of_an_older_database_get_their_dates_and_challenges_a_calendar(database_url):
    """Until then the days of a challenge were on consecutive dates, whatever the hour in UTC."""
    await migrate_to(database_url, "0003")
    await ask(database_url, saying(ROWS_OF_0003))

    await migrate(database_url)

    database = Database(database_url)
    async with database.reading() as session:
        first, second = [
            await challenge(session, ChatId(-7), ChallengeId(number)) for number in (1, 2)
        ]
        found = [await days(session, each) for each in (first, second)]
        history_of_plan = await changes_of_plan(session, ChatId(-7), ChallengeId(1))
    await database.close()
    assert [[day.on_date for day in each] for each in found] == [
        [date(2026, 2, 28), date(2026, 3, 1)],
        [date(2026, 3, 2)],
    ]
    assert not any(day.is_skipped or day.is_held for each in found for day in each)
    assert (first.paused_at, second.paused_at) == (None, None)
    assert len({first.calendar_id, second.calendar_id, ""}) == 3
    assert history_of_plan == ()


ROWS_OF_0003 = """
INSERT INTO groups VALUES (-7, 'Park', TRUE, '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 1, 'Days', 'Pacific/Auckland', '2026-02-28', '{}', NULL, 900,
    '2026-02-20 04:00:00.000000', '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 2, 'More', 'Europe/Lisbon', '2026-03-02', '{}', NULL, 900,
    '2026-03-01 04:00:00.000000', NULL);
INSERT INTO days VALUES (-7, 1, 1, FALSE,
    '2026-02-27 17:00:00.000000', '2026-02-28 16:45:00.000000',
    '2026-03-01 16:45:00.000000');
INSERT INTO days VALUES (-7, 1, 2, TRUE,
    '2026-02-28 17:00:00.000000', '2026-03-01 16:45:00.000000',
    '2026-03-02 16:45:00.000000');
INSERT INTO days VALUES (-7, 2, 1, FALSE,
    '2026-03-02 06:00:00.000000', '2026-03-03 05:45:00.000000',
    '2026-03-04 05:45:00.000000');
"""


def _words(statement: str) -> list[str]:
    """Take a statement apart: a copied table comes back with other quotes, blanks and order."""
    return sorted(statement.replace('"', " ").replace(",", " ").split())


def _rows(connection: Connection) -> dict[str, tuple[dict[str, object], ...]]:
    """Give all rows of all tables as the database has them."""
    found = {}
    for name in sorted({*inspect(connection).get_table_names()} - {"alembic_version"}):
        table = Table(name, MetaData(), autoload_with=connection)
        rows = connection.execute(select(table).order_by(*table.primary_key)).mappings()
        found[name] = tuple(dict(row) for row in rows)
    return found


def saying(statements: str) -> Callable[[Connection], None]:
    def say(connection: Connection) -> None:
        for statement in filter(None, statements.split(";\n")):
            connection.exec_driver_sql(statement)

    return say


async def ask(database_url: str, look: Callable[[Connection], T]) -> T:
    """Look at a database, or change it, as a migration does."""
    engine = migration_engine(read_url(database_url))
    async with engine.begin() as connection:
        found = await connection.run_sync(look)
    await engine.dispose()
    return found


async def migrate_to(database_url, revision, *, by=command.upgrade):
    def run(connection: Connection) -> None:
        settings = config()
        settings.attributes["connection"] = connection
        by(settings, revision)

    await ask(database_url, run)
