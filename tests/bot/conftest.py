"""The demo challenge, begun and with day 1 posted, as every test of the conversation finds it."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator, Iterator
from datetime import UTC, datetime
from pathlib import Path

import certifi
import pytest

from bot.rehearsal.start import Rehearsal, open_the_challenge, quiet, rehearsal
from content.challenge import Challenge
from content.loading import DEMO, load_challenge
from store import inbox
from store.engine import Database
from store.migrate import migrate
from tests.bot.acts import AFTER_FIRST_POST, START


@pytest.fixture(scope="session", autouse=True)
def _one_certificate(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """All is plain HTTP here; loading every authority takes half of a bot's start."""
    first, end, _ = Path(certifi.where()).read_text().partition("-----END CERTIFICATE-----")
    file = tmp_path_factory.mktemp("certificates") / "one.pem"
    file.write_text(f"{first}{end}\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SSL_CERT_FILE", str(file))
        yield


@pytest.fixture(scope="session")
def content() -> Challenge:
    return load_challenge(DEMO)


@pytest.fixture(scope="session")
def begun_file(
    tmp_path_factory: pytest.TempPathFactory, content: Challenge, _one_certificate: None
) -> Path:
    """One closed database to copy: beginning and joining take most of a test's time."""
    path = tmp_path_factory.mktemp("begun") / "rungbell.sqlite3"

    async def begin() -> None:
        async with rehearsal(content, start=START, database_file=path, ticking=False) as play:
            await open_the_challenge(play, START)
            play.room.clock.move_to(AFTER_FIRST_POST)
            await quiet(play)
            async with play.database.work() as session:
                # Every room numbers its updates from the same start.
                await inbox.trim(session, datetime.max.replace(tzinfo=UTC))
                await session.commit()

    asyncio.run(begin())
    return path


@pytest.fixture
async def play(tmp_path: Path, begun_file: Path, content: Challenge) -> AsyncIterator[Rehearsal]:
    """Day 1, a minute after its post; the coach can be written to, Brid has not joined."""
    file = tmp_path / "rungbell.sqlite3"
    shutil.copy(begun_file, file)
    async with rehearsal(content, start=START, database_file=file, ticking=False) as play:
        play.coach.has_started = True
        play.room.clock.move_to(AFTER_FIRST_POST)
        await quiet(play)
        yield play


@pytest.fixture
async def eve(tmp_path: Path, content: Challenge) -> AsyncIterator[Rehearsal]:
    """The evening before, nothing begun."""
    file = tmp_path / "eve.sqlite3"
    async with rehearsal(content, start=START, database_file=file, ticking=False) as play:
        yield play


@pytest.fixture
async def database(tmp_path: Path) -> AsyncIterator[Database]:
    """An empty database."""
    address = f"sqlite+aiosqlite:///{tmp_path / 'empty.sqlite3'}"
    await migrate(address)
    database = Database(address)
    yield database
    await database.close()
