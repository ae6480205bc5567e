"""A stage for whole days: the demo challenge, begun, with a clock that only we move."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from bot.rehearsal.people import Person
from bot.rehearsal.start import Rehearsal, open_the_challenge, quiet, rehearsal
from bot.timetable import instant
from content.loading import DEMO, load_challenge
from store import posts
from tests import databases

START = date(2026, 6, 1)


class Stage:
    """Speak, press and move the clock; read what the bot answered."""

    def __init__(self, play: Rehearsal) -> None:
        self.play = play

    def person(self, name: str) -> Person:
        return self.play.coach if name == "Ines" else self.play.people[name]

    def group_texts(self) -> list[str]:
        return [m.get("text", "") for m in self.play.room.messages(self.play.group)]

    async def say(self, name: str, text: str, *, reply_to: int | None = None) -> list[str]:
        """Let a person say something in the group; give what the bot answered."""
        before = len(self.play.room.messages(self.play.group))
        self.play.room.say(self.person(name), self.play.group, text, reply_to=reply_to)
        await quiet(self.play)
        return self.group_texts()[before + 1 :]

    async def edit(self, name: str, message_id: int, text: str) -> list[str]:
        before = len(self.play.room.messages(self.play.group))
        self.play.room.edit(self.person(name), self.play.group, message_id, text)
        await quiet(self.play)
        return self.group_texts()[before:]

    async def press(self, name: str, label: str) -> str:
        """Press the button with a label below the bot's last message; give its new text."""
        message = self.last()
        rows = message["reply_markup"]["inline_keyboard"]
        [data] = [b["callback_data"] for row in rows for b in row if b["text"] == label]
        person, group = self.person(name), self.play.group
        self.play.room.press(person, group, message["message_id"], data)
        await quiet(self.play)
        [now] = [
            m for m in self.play.room.messages(group) if m["message_id"] == message["message_id"]
        ]
        return str(now["text"])

    def last(self) -> dict:
        return self.play.room.messages(self.play.group)[-1]

    def buttons(self) -> list[str]:
        rows = self.last().get("reply_markup", {}).get("inline_keyboard", [])
        return [button["text"] for row in rows for button in row]

    async def go_to(self, day: int, clock: str) -> list[str]:
        """Move to a wall-clock time of a day, by way of each post; give what was posted."""
        before = len(self.play.room.messages(self.play.group))
        zone = self.play.content.head.zone
        target = instant(START + timedelta(days=day - 1), clock, zone)
        while (stop := await self.next_post()) is not None and stop <= target:
            self.play.room.clock.move_to(max(stop, self.play.room.clock()))
            await quiet(self.play)
        self.play.room.clock.move_to(target)
        await quiet(self.play)
        return self.group_texts()[before:]

    async def next_post(self) -> datetime | None:
        async with self.play.database.reading() as session:
            return await posts.next_due_at(session)


@pytest.fixture
def engine_name() -> str:
    """Which engine the stage stands on; a module plays on both by parametrising it."""
    return "sqlite"


@pytest.fixture
def database_url(request: pytest.FixtureRequest, engine_name: str, tmp_path: Path) -> str:
    if engine_name == "sqlite":
        return f"sqlite+aiosqlite:///{tmp_path / 'flow.sqlite3'}"
    migrated, *_ = request.getfixturevalue("server_databases")
    asyncio.run(databases.make_empty(migrated))
    return databases.shown(migrated)


@pytest.fixture
async def stage(database_url: str) -> AsyncIterator[Stage]:
    content = load_challenge(DEMO)
    async with rehearsal(content, start=START, database_url=database_url, ticking=False) as play:
        await open_the_challenge(play, START)
        stage = Stage(play)
        await stage.go_to(1, "06:30")
        yield stage
