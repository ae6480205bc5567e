"""The alarm clock: wakes a function when the database's timetable says that something is due.

Nothing is planned here: a restart or a late wake needs no special path, because whoever is woken
asks the database what is due.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.date import DateTrigger

# Looked at this often even if nothing is known to be due: another process may have planned it.
_LONGEST_SLEEP = timedelta(minutes=1)
_SHORTEST_SLEEP = timedelta(milliseconds=50)


class Alarm:
    """Calls `wake` when due; `wake` gives the instant of the next alarm, or None.

    Args:
        clock: The instants of `wake` are on this clock, which a rehearsal may move; waiting is
            done in real time.
    """

    def __init__(
        self, wake: Callable[[], Awaitable[datetime | None]], clock: Callable[[], datetime]
    ) -> None:
        self._wake = wake
        self._clock = clock
        self._scheduler = AsyncIOScheduler(timezone=UTC)
        self._ringing = asyncio.Lock()
        self._is_stopping = False
        self._again = False  # asked for while ringing

    def start(self) -> None:
        """Ring once at once, then as needed."""
        self._scheduler.start()
        self._ring_in(_SHORTEST_SLEEP)

    def ring_soon(self) -> None:
        """Ring now: something has been planned, or the clock was moved."""
        if self._ringing.locked():
            self._again = True  # a job set now would be replaced at the end of this ring
        else:
            self._ring_in(_SHORTEST_SLEEP)

    async def stop(self) -> None:
        """Ring no more; what a ring has begun is finished first."""
        self._is_stopping = True
        async with self._ringing:
            # Its executor cancels a coroutine that is still running; now none is.
            if self._scheduler.running:
                self._scheduler.shutdown(wait=False)

    async def _ring(self) -> None:
        async with self._ringing:
            sleep = _LONGEST_SLEEP
            try:
                due_at = await self._wake()
                if due_at is not None:
                    sleep = min(max(due_at - self._clock(), _SHORTEST_SLEEP), _LONGEST_SLEEP)
            finally:
                self._ring_in(_SHORTEST_SLEEP if self._again else sleep)
                self._again = False

    def _ring_in(self, sleep: timedelta) -> None:
        if self._is_stopping or not self._scheduler.running:
            return
        self._scheduler.add_job(
            self._ring,
            DateTrigger(datetime.now(UTC) + sleep),
            id="alarm",
            replace_existing=True,
            misfire_grace_time=None,  # late is better than never; the default drops after 1 s
            coalesce=True,
        )
