from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from typing import TYPE_CHECKING

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext

from store.challenges import challenge, days
from store.engine import Database, check_references, read_url
from store.errors import BrokenReferences, DatabaseTooNew
from store.migrate import migrate, migration_engine
from store.plans import changes_of_plan
from store.results import change_of_message, history, text_of_message
from store.tables import Base
from store.values import ChallengeId, ChatId, UserId

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
        # A table that was laid anew has its name in quotation marks; that is no difference.
        plain = {key: sql.replace(",", " ").replace('"', "") for key, sql in rows}
        return {key: " ".join(sorted(sql.split())) for key, sql in plain.items()}

    assert schema("rungbell.sqlite3") == schema("models.sqlite3")


async def test_migrating_again_changes_nothing(database_url, tmp_path):
    await migrate(database_url)
    before = (tmp_path / "rungbell.sqlite3").read_bytes()

    await migrate(database_url)

    assert (tmp_path / "rungbell.sqlite3").read_bytes() == before


async def test_the_folder_is_created(tmp_path):
    path = tmp_path / "data" / "club" / "rungbell.sqlite3"

    await migrate(f"sqlite+aiosqlite:///{path}")

    assert path.exists()


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

    assert (info.value.found, info.value.known) == ("9999", "0005")
    assert path.read_bytes() == before


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


# Rows as revision 0001 keeps them: a result, corrected by another message after the chat moved.
OLD_ROWS = """
INSERT INTO groups VALUES (-7, 'Park', 1, '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 1, 'Days', 'Europe/Lisbon', '2026-03-02', '{}', NULL, 900,
    '2026-03-01 04:00:00.000000', NULL);
INSERT INTO days VALUES (-7, 1, 1, 0, '2026-03-02 04:00:00.000000', '2026-03-02 22:00:00.000000',
    '2026-03-04 04:00:00.000000');
INSERT INTO participants VALUES (-7, 1, 5, 'Mira', 'full', 'en', '2026-03-02 04:00:00.000000');
INSERT INTO results VALUES (-7, 1, 1, 5, 'full', 230, '{}', '230', -7, 3,
    '2026-03-02 07:00:00.000000', '2026-03-02 07:00:00.000000', 'counted');
INSERT INTO result_changes VALUES (-7, 1, 1, 5, 1, 'recorded', 5, '2026-03-02 06:00:00.000000', '',
    NULL, '{"message_chat_id": -6, "message_id": 10, "raw_text": "225 \u2713"}');
INSERT INTO result_changes VALUES (-7, 1, 1, 5, 2, 'corrected', 5, '2026-03-02 07:00:00.000000',
    'typo', '{"message_chat_id": -6, "message_id": 10, "raw_text": "225 \u2713"}',
    '{"message_chat_id": -7, "message_id": 3, "raw_text": "230"}');
"""


async def test_changes_of_an_older_database_are_found_by_their_message(database_url, tmp_path):
    await _migrate_to(database_url, "0001")
    with closing(sqlite3.connect(tmp_path / "rungbell.sqlite3")) as connection:
        connection.executescript(OLD_ROWS)
        before = connection.execute("SELECT * FROM result_changes").fetchall()

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
    assert [(c.kind, c.why, c.before, c.after) for c in kept] == [
        (kind, why, was, is_now) for *_, kind, _by, _at, why, was, is_now in before
    ]


async def test_a_database_goes_back_to_an_older_revision_and_on_again(database_url, tmp_path):
    await _migrate_to(database_url, "0001")
    with closing(sqlite3.connect(tmp_path / "rungbell.sqlite3")) as connection:
        connection.executescript(OLD_ROWS)
        before = [*connection.iterdump()]

    await migrate(database_url)
    await _migrate_to(database_url, "0001", by=command.downgrade)

    with closing(sqlite3.connect(tmp_path / "rungbell.sqlite3")) as connection:
        assert sorted(map(_words, connection.iterdump())) == sorted(map(_words, before))


async def test_days_of_an_older_database_get_their_dates_and_challenges_a_calendar(
    database_url, tmp_path
):
    """Until then the days of a challenge were on consecutive dates, whatever the hour in UTC."""
    await _migrate_to(database_url, "0003")
    with closing(sqlite3.connect(tmp_path / "rungbell.sqlite3")) as connection:
        connection.executescript(ROWS_OF_0003)

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
INSERT INTO groups VALUES (-7, 'Park', 1, '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 1, 'Days', 'Pacific/Auckland', '2026-02-28', '{}', NULL, 900,
    '2026-02-20 04:00:00.000000', '2026-03-01 04:00:00.000000');
INSERT INTO challenges VALUES (-7, 2, 'More', 'Europe/Lisbon', '2026-03-02', '{}', NULL, 900,
    '2026-03-01 04:00:00.000000', NULL);
INSERT INTO days VALUES (-7, 1, 1, 0, '2026-02-27 17:00:00.000000', '2026-02-28 16:45:00.000000',
    '2026-03-01 16:45:00.000000');
INSERT INTO days VALUES (-7, 1, 2, 1, '2026-02-28 17:00:00.000000', '2026-03-01 16:45:00.000000',
    '2026-03-02 16:45:00.000000');
INSERT INTO days VALUES (-7, 2, 1, 0, '2026-03-02 06:00:00.000000', '2026-03-03 05:45:00.000000',
    '2026-03-04 05:45:00.000000');
"""


def _words(statement: str) -> list[str]:
    """Take a statement apart: a copied table comes back with other blanks and order."""
    return sorted(statement.replace('"', " ").replace(",", " ").split())


async def _migrate_to(database_url, revision, *, by=command.upgrade):
    config = Config()
    config.set_main_option("script_location", "store:migrations")

    def run(connection: Connection) -> None:
        config.attributes["connection"] = connection
        by(config, revision)

    engine = migration_engine(read_url(database_url))
    async with engine.begin() as connection:
        await connection.run_sync(run)
    await engine.dispose()
