"""Start a rehearsal: a room of invented people, the real bot in it, a challenge that has begun."""

from __future__ import annotations

import asyncio
import contextlib
import tempfile
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from bot.app import Rungbell
from bot.rehearsal.clock import MovableClock
from bot.rehearsal.page import build_server
from bot.rehearsal.people import Group, Person
from bot.rehearsal.room import Room
from bot.rehearsal.serving import serve
from bot.timetable import instant, local_text
from bot.wording import Wording
from content.challenge import Challenge as Content
from store import challenges, posts
from store.engine import Database
from store.migrate import migrate

TOKEN = "1000001:rehearsal"  # noqa: S105 - opens nothing but this room
_PATIENCE_S = 30  # a bot that fetches nothing for so long is broken
GROUP_TITLE = "Quayside Movers"
COACH = "Ines"
# Invented people and the division each of them takes; None has not joined yet.
CAST: dict[str, int | None] = {
    "Marlow": 0,
    "Petra": 0,
    "Oskar": 1,
    "Tamsin": 1,
    "Yusuf": 2,
    "Brid": None,
}


@dataclass
class Rehearsal:
    """A running rehearsal; `rungbell` is another object after a restart."""

    url: str
    room: Room
    group: Group
    coach: Person
    people: dict[str, Person]
    content: Content
    database: Database
    rungbell: Rungbell

    async def restart(self) -> None:
        """Stop the bot and start a new one on the same database."""
        await self.rungbell.stop()
        self.rungbell = _rungbell(self.url, self.room, self.database, self.content)
        await self.rungbell.start()


def _rungbell(url: str, room: Room, database: Database, content: Content) -> Rungbell:
    return Rungbell(
        token=TOKEN,
        api_url=f"{url}/bot",
        database=database,
        content=content,
        clock=room.clock,
    )


@contextlib.asynccontextmanager
async def rehearsal(
    content: Content,
    *,
    start: date,
    database_file: Path | None = None,
    database_url: str = "",
    port: int = 0,
    ticking: bool = True,
) -> AsyncIterator[Rehearsal]:
    """Run the bot against a room of its own until the block ends.

    Args:
        content: The challenge; it begins on `start` at its posting time.
        start: Local date of day 1.
        database_file: Where the rehearsal's results are kept; made if it is not there.
        database_url: Or the address of a database.
        port: Of the page and the Bot API on this machine; 0 takes a free one.
        ticking: Whether the clock goes on by itself between moves.
    """
    eve = instant(start - timedelta(days=1), "18:00", content.head.zone)
    room = Room(MovableClock(eve, ticking=ticking), token=TOKEN, zone=content.head.time_zone)
    coach = room.add_person(COACH)
    people = {name: room.add_person(name) for name in CAST}
    group = room.add_group(GROUP_TITLE)
    room.put_in_group(coach, group, "creator")
    for person in people.values():
        room.put_in_group(person, group)
    address = database_url or f"sqlite+aiosqlite:///{database_file}"
    await migrate(address)
    database = Database(address)
    plays: list[Rehearsal] = []

    async def moved() -> None:
        for play in plays:
            await play.rungbell.settle()

    async def planned() -> list[dict[str, Any]]:
        return await _planned_posts(database, content)

    server = build_server(room, moved=moved, posts=planned)
    async with _closing(database), serve(server, port=port) as url:
        rungbell = _rungbell(url, room, database, content)
        play = Rehearsal(url, room, group, coach, people, content, database, rungbell)
        try:
            await rungbell.start()
            plays.append(play)
            yield play
        finally:
            plays.clear()
            await play.rungbell.stop()


@contextlib.asynccontextmanager
async def _closing(database: Database) -> AsyncIterator[None]:
    try:
        yield
    finally:
        await database.close()


async def open_the_challenge(play: Rehearsal, start: date) -> None:
    """Let the coach begin, and those who are in the cast join, all as people would."""
    room = play.room
    room.start_private(play.coach)
    await quiet(play)
    room.say(play.coach, play.group, f"/begin {start.isoformat()}")
    await quiet(play)
    offer = room.messages(play.group)[-1]
    room.press(play.coach, play.group, offer["message_id"], _buttons(offer)[0])
    await quiet(play)
    begun = room.messages(play.group)[-1]
    for name, division in CAST.items():
        if division is not None:
            person = play.people[name]
            choices = _buttons(begun)
            room.press(person, play.group, begun["message_id"], choices[division % len(choices)])
    await quiet(play)


async def quiet(play: Rehearsal) -> None:
    """Wait until the bot has fetched, handled and answered everything said so far."""
    async with asyncio.timeout(_PATIENCE_S):
        await play.room.updates.all_fetched()
    await play.rungbell.settle()


def _buttons(message: dict[str, Any]) -> list[str]:
    rows = message["reply_markup"]["inline_keyboard"]
    return [button["callback_data"] for row in rows for button in row]


async def _planned_posts(database: Database, content: Content) -> list[dict[str, Any]]:
    """List the posts of what runs, for the clock of the page."""
    say = Wording(content.head.language)
    found: list[dict[str, Any]] = []
    async with database.reading() as session:
        for challenge in await challenges.running_challenges(session):
            planned = await posts.posts_of(session, challenge.chat_id, challenge.challenge_id)
            found.extend(
                {
                    "due_at": post.due_at,
                    "local": local_text(post.due_at, ZoneInfo(challenge.tz)),
                    "title": f"Day {post.day_number}: {say(f'plan_kind_{post.kind}')}",
                    "state": str(post.state),
                }
                for post in planned
            )
    return found


async def rehearse(content: Content, *, port: int, announce: Callable[[str], None]) -> None:
    """Rehearse until interrupted, on a throw-away database, from next Monday on."""
    today = datetime.now(UTC).astimezone(content.head.zone).date()
    start = today + timedelta(days=7 - today.weekday())
    with tempfile.TemporaryDirectory(prefix="rungbell-") as folder:
        file = Path(folder) / "rehearsal.sqlite3"
        async with rehearsal(content, start=start, database_file=file, port=port) as play:
            await open_the_challenge(play, start)
            first_post = instant(start, content.head.times.post, content.head.zone)
            play.room.clock.move_to(first_post + timedelta(minutes=1))
            await quiet(play)
            announce(play.url)
            await play.rungbell.run()
