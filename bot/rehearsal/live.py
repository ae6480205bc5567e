"""News of a room for whoever is looking: one queue per onlooker."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

News = dict[str, Any]

_LONGEST_BACKLOG: Final = 2000


class Live:
    """Hands every piece of news to all onlookers, in order."""

    def __init__(self) -> None:
        self._onlookers: set[asyncio.Queue[News | None]] = set()

    @contextmanager
    def subscribe(self) -> Iterator[asyncio.Queue[News | None]]:
        """Open a queue of news: dicts with a `kind`; None means that nothing more comes.

        An onlooker who falls thousands of events behind is sent away with None too and may
        come back for a fresh start.
        """
        queue: asyncio.Queue[News | None] = asyncio.Queue()
        self._onlookers.add(queue)
        try:
            yield queue
        finally:
            self._onlookers.discard(queue)

    def tell(self, kind: str, **content: Any) -> None:
        """Give a piece of news to everybody who is looking."""
        for queue in list(self._onlookers):
            queue.put_nowait({"kind": kind, **content})
            if queue.qsize() > _LONGEST_BACKLOG:
                self._dismiss(queue)

    def hang_up(self) -> None:
        """Send all onlookers away."""
        for queue in list(self._onlookers):
            self._dismiss(queue)

    def _dismiss(self, queue: asyncio.Queue[News | None]) -> None:
        self._onlookers.discard(queue)
        queue.put_nowait(None)
