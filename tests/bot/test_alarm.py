"""The alarm wakes at once, again when asked to, and goes on after a failure."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta

import pytest

from bot.alarm import Alarm

NOW = datetime(2026, 6, 1, 6, 0, tzinfo=UTC)
PATIENCE_S = 10


class Rings:
    """What an alarm wakes: says what is due next, and lets a test wait for a ring."""

    def __init__(self, *due: datetime | None) -> None:
        self._due = list(due)
        self.count = 0
        self.go_on = asyncio.Event()
        self.go_on.set()
        self._rung = asyncio.Condition()

    async def __call__(self) -> datetime | None:
        async with self._rung:
            self.count += 1
            self._rung.notify_all()
        await self.go_on.wait()
        return self._due.pop(0) if self._due else None

    async def reach(self, count: int) -> None:
        async with asyncio.timeout(PATIENCE_S), self._rung:
            await self._rung.wait_for(lambda: self.count >= count)


async def test_it_rings_at_the_start_and_when_something_is_due():
    rings = Rings(NOW, NOW - timedelta(days=1))
    alarm = Alarm(rings, lambda: NOW)

    alarm.start()
    await rings.reach(3)
    await alarm.stop()

    assert rings.count == 3


async def test_it_rings_soon_when_something_was_planned():
    rings = Rings(NOW + timedelta(days=1))
    alarm = Alarm(rings, lambda: NOW)
    alarm.start()
    await rings.reach(1)

    alarm.ring_soon()
    await rings.reach(2)
    await alarm.stop()


async def test_what_is_planned_while_it_rings_is_not_forgotten():
    """The end of a ring sets the next one; it must not replace the one asked for."""
    rings = Rings(NOW + timedelta(days=1))
    rings.go_on.clear()
    alarm = Alarm(rings, lambda: NOW)
    alarm.start()
    await rings.reach(1)

    alarm.ring_soon()
    rings.go_on.set()
    await rings.reach(2)
    await alarm.stop()


async def test_it_lets_a_ring_finish_before_it_stops():
    rings, finished = Rings(), []

    async def wake() -> None:
        await rings()
        finished.append(True)

    rings.go_on.clear()
    alarm = Alarm(wake, lambda: NOW)
    alarm.start()
    await rings.reach(1)

    stopping = asyncio.create_task(alarm.stop())
    rings.go_on.set()
    await stopping

    assert finished == [True]


async def test_it_can_be_stopped_before_it_was_started_and_twice():
    alarm = Alarm(Rings(), lambda: NOW)

    await alarm.stop()
    await alarm.stop()
    alarm.ring_soon()


@pytest.mark.parametrize("fails", [True, False])
async def test_after_a_failure_it_rings_again(fails: bool):
    rings = Rings(NOW)

    async def wake() -> datetime | None:
        due_at = await rings()
        if fails and rings.count == 1:
            alarm.ring_soon()
            raise RuntimeError
        return due_at

    alarm = Alarm(wake, lambda: NOW)
    alarm.start()
    await rings.reach(2)
    await alarm.stop()
