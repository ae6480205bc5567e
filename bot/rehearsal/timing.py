"""Moving the rehearsal's clock as the page asks, stopping at each planned post on the way."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, time, timedelta
from typing import Any, Final
from zoneinfo import ZoneInfo

from bot.rehearsal.clock import MovableClock
from bot.rehearsal.errors import NotPossible

PlannedPosts = Callable[[], Awaitable[list[dict[str, Any]]]]

MORNING: Final = time(7, 0)
EVENING: Final = time(19, 0)
_FURTHEST: Final = timedelta(days=400)
_MOST_STOPS: Final = 500  # a plan that keeps filling up must not hold the clock for ever


class ClockHand:
    """Moves a clock and lets the bot do what falls due.

    Args:
        moved: Awaited after every move.
        posts: Planned posts; those with the state "planned" are stops, so that a long move brings
            each post at its own time.
    """

    def __init__(
        self,
        clock: MovableClock,
        *,
        zone: str,
        moved: Callable[[], Awaitable[None]] | None,
        posts: PlannedPosts | None,
    ) -> None:
        self._clock = clock
        self._zone = ZoneInfo(zone)
        self._moved = moved
        self._posts = posts
        self._one_at_a_time = asyncio.Lock()

    async def move_to(self, target: datetime) -> None:
        """Go to an aware instant by way of the planned posts.

        Raises:
            NotPossible: It lies in the past or more than 400 days ahead.
        """
        async with self._one_at_a_time:
            now = self._clock()
            if not now <= target <= now + _FURTHEST:
                raise NotPossible("the clock goes forward only, and at most 400 days at once")
            for _ in range(_MOST_STOPS):
                stop = await self._next_due(before=target)
                if stop is None:
                    break
                await self._go(stop)
            await self._go(target)

    async def move_by(self, step: timedelta) -> None:
        """Go forward by a step."""
        await self.move_to(self._clock() + step)

    async def move_to_next(self, wall_clock: time) -> None:
        """Go to the next time the challenge's zone shows this wall clock."""
        local = self._clock().astimezone(self._zone)
        day = local.date() if local.time() < wall_clock else local.date() + timedelta(days=1)
        await self.move_to_local(datetime.combine(day, wall_clock))

    async def move_to_tomorrow(self, wall_clock: time) -> None:
        """Go to tomorrow's wall clock in the challenge's zone."""
        tomorrow = self._clock().astimezone(self._zone).date() + timedelta(days=1)
        await self.move_to_local(datetime.combine(tomorrow, wall_clock))

    async def move_to_local(self, local: datetime) -> None:
        """Go to a naive wall-clock time in the zone; the first one if it comes twice."""
        await self.move_to(local.replace(tzinfo=self._zone, fold=0).astimezone(UTC))

    async def _next_due(self, *, before: datetime) -> datetime | None:
        if self._posts is None:
            return None
        now = self._clock()
        due = [due_at(post) for post in await self._posts() if post["state"] == "planned"]
        return min((instant for instant in due if now < instant < before), default=None)

    async def _go(self, instant: datetime) -> None:
        ahead = instant - self._clock()
        self._clock.advance(max(ahead, timedelta(0)))  # a ticking clock may have passed it
        if self._moved is not None:
            await self._moved()


def due_at(post: dict[str, Any]) -> datetime:
    """Read a planned post's instant: an aware datetime, or the same as ISO 8601 text."""
    instant: datetime | str = post["due_at"]
    return datetime.fromisoformat(instant) if isinstance(instant, str) else instant
