"""The clock of a rehearsal: stands still or ticks, and moves forward on request."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta


class MovableClock:
    """A callable that gives the present instant, aware and in UTC.

    Args:
        start: Aware; any zone, kept in UTC.
        ticking: True adds the real time that passes; False stands still between moves.

    Raises:
        ValueError: `start` is naive.
    """

    def __init__(self, start: datetime, *, ticking: bool = False) -> None:
        self._base = _in_utc(start)
        self.ticking = ticking
        self._since_s = time.monotonic()

    def __call__(self) -> datetime:
        """Give the present instant, aware and in UTC."""
        if not self.ticking:
            return self._base
        return self._base + timedelta(seconds=time.monotonic() - self._since_s)

    def move_to(self, instant: datetime) -> None:
        """Go forward to an aware instant; the present one is allowed.

        Raises:
            ValueError: `instant` is naive or in the past: what happened stays happened.
        """
        target = _in_utc(instant)
        present = self()
        if target < present:
            raise ValueError(f"the clock never goes back: it is {present}, asked for {target}")
        self._set(target)

    def advance(self, step: timedelta) -> None:
        """Go forward by a step; ValueError when it is negative."""
        if step < timedelta(0):
            raise ValueError(f"the clock never goes back: asked for {step}")
        self._set(self() + step)

    def _set(self, instant: datetime) -> None:
        self._base = instant
        self._since_s = time.monotonic()


def _in_utc(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise ValueError(f"an aware datetime is needed, got the naive {instant}")
    return instant.astimezone(UTC)
