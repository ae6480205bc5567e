"""`rungbell run` as a process of its own, connected to the local server by its address alone."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path

from bot.rehearsal.clock import MovableClock
from bot.rehearsal.page import build_server
from bot.rehearsal.people import Group
from bot.rehearsal.room import Room
from bot.rehearsal.serving import serve

TOKEN = "1000001:run"


@asynccontextmanager
async def running(
    url: str, folder: Path, **changed: str
) -> AsyncIterator[asyncio.subprocess.Process]:
    """Run the command until the block ends, then stop it as a service manager would."""
    environment = {
        **os.environ,
        "RUNGBELL_TOKEN": TOKEN,
        "RUNGBELL_API_URL": f"{url}/bot",
        "RUNGBELL_DATABASE_URL": f"sqlite+aiosqlite:///{folder}/run.sqlite3",
        **changed,
    }
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "run"),
        env=environment,
        stderr=asyncio.subprocess.PIPE,
    )
    try:
        yield process
    finally:
        if process.returncode is None:
            process.send_signal(signal.SIGTERM)


async def answer_to(room: Room, group: Group, person, text: str) -> str:
    with room.live.subscribe() as news:
        room.say(person, group, text)
        async with asyncio.timeout(20):
            while room.messages(group)[-1]["from"]["id"] == person.user_id:
                await news.get()
    return room.messages(group)[-1]["text"]


async def test_the_command_answers_stops_on_sigterm_and_goes_on_at_the_next_start(tmp_path: Path):
    room = Room(MovableClock(datetime.now(UTC), ticking=True), token=TOKEN)
    ines, group = room.add_person("Ines"), room.add_group("Quayside Movers")
    room.put_in_group(ines, group, "creator")
    async with serve(build_server(room)) as url:
        async with running(url, tmp_path) as process:
            offer = await answer_to(room, group, ines, "/begin")
            assert offer.startswith("Start Seven Mornings on the Quay (7 days) here?")
        errors = (await process.communicate())[1].decode()
        assert process.returncode == 0
        assert TOKEN not in errors

        [button] = room.messages(group)[-1]["reply_markup"]["inline_keyboard"][0]
        message_id = room.messages(group)[-1]["message_id"]
        room.press(ines, group, message_id, button["callback_data"])  # while nobody listens
        async with running(url, tmp_path) as process:
            await answer_to(room, group, ines, "/plan")
        await process.communicate()

    texts = [message["text"] for message in room.messages(group)]
    assert any("is set: day 1 comes on" in text for text in texts)
    assert any("planned posts" in text for text in texts)


async def test_a_token_the_platform_does_not_know_stops_the_start(tmp_path: Path):
    room = Room(MovableClock(datetime.now(UTC)), token="1000001:another")
    async with serve(build_server(room)) as url, running(url, tmp_path) as process:
        errors = (await process.communicate())[1].decode()

    assert process.returncode == 1
    assert "RUNGBELL_TOKEN" in errors
