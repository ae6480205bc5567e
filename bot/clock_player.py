"""Send clocks as sound: each is made once, off the event loop, and then sent again by its id."""

from __future__ import annotations

import asyncio
import hashlib
import logging
import threading
from collections.abc import Callable
from datetime import datetime

from telegram import Bot

from bot.calls import Play
from bot.sending import NotReady, Outcome, send_sound
from content.clock_track import Track
from store import files
from store.engine import Database
from store.values import UserId

log = logging.getLogger(__name__)

_MOST_WAITING = 8  # a megabyte or two each
_EDITION = 1  # of the sounds; with another number everything is made anew


def name_of(track: Track) -> str:
    """Name a track by its cues: days and divisions with the same clock share one file."""
    cues = ",".join(f"{mark.at_s}{mark.cue}" for mark in track.marks)
    digest = hashlib.blake2b(f"{track.length_s};{cues}".encode(), digest_size=16).hexdigest()
    return f"clock-{_EDITION}-{digest}"


class ClockPlayer:
    """Makes and sends the sound of tracks."""

    def __init__(self, bot: Bot, database: Database, clock: Callable[[], datetime]) -> None:
        self._bot = bot
        self._database = database
        self._clock = clock
        self._made: dict[str, bytes] = {}  # waiting to be sent up
        self._one_at_a_time = asyncio.Lock()  # it takes a core
        self._stopping = threading.Event()

    async def send(self, call: Play) -> Outcome:
        """Send a clock. NotReady: its sound must be made first, with `make`."""
        name = name_of(call.track)
        known = await self._known(name)
        sound = known or self._made.get(name)
        if sound is None:
            return NotReady()
        outcome, file_id = await send_sound(self._bot, call, sound, call.track.length_s)
        if file_id is not None and file_id != known:
            await self._keep(name, file_id)
            self._made.pop(name, None)
        elif isinstance(outcome, NotReady):
            await self._forget(name)
        return outcome

    async def make(self, track: Track) -> None:
        """Make a track's sound, unless it is there already or was sent before.

        Raises:
            Stopped: The program is stopping.
        """
        name = name_of(track)
        async with self._one_at_a_time:
            if name not in self._made and await self._known(name) is None:
                self._made[name] = await asyncio.to_thread(self._render, track)
            while len(self._made) > _MOST_WAITING:
                self._made.pop(next(iter(self._made)))  # if it is still owed it is made again

    def stop(self) -> None:
        """Leave what is being made unfinished; what is owed is made at the next start."""
        self._stopping.set()

    def _render(self, track: Track) -> bytes:
        # An encoder and arrays take longer to load than the bot to start; few days need them.
        from bot.clock_sound import render  # noqa: PLC0415

        return render(track, is_stopping=self._stopping.is_set)

    @property
    def _bot_id(self) -> UserId:
        return UserId(self._bot.id)

    async def _known(self, name: str) -> str | None:
        async with self._database.reading() as session:
            return await files.file_id(session, self._bot_id, name)

    async def _keep(self, name: str, file_id: str) -> None:
        async with self._database.work() as session:
            await files.keep_file(session, self._bot_id, name, file_id, now=self._clock())
            await session.commit()

    async def _forget(self, name: str) -> None:
        log.info("the platform has lost %s; it is made again", name)
        async with self._database.work() as session:
            await files.forget_file(session, self._bot_id, name)
            await session.commit()
