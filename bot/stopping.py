"""Stop between pieces of work, never in the middle of one."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any, TypeVar

T = TypeVar("T")


class Stop:
    """Tells workers that they should end once what they have begun is done."""

    def __init__(self) -> None:
        self._asked = asyncio.Event()

    def ask(self) -> None:
        """Ask everybody to end."""
        self._asked.set()

    @property
    def is_asked(self) -> bool:
        """Whether it is time to end."""
        return self._asked.is_set()

    async def or_result(self, waiting: Coroutine[Any, Any, T]) -> T | None:
        """Wait for something that may be broken off; None when asked to end first.

        Only for waiting: work that changes something is awaited outside.
        """
        task = asyncio.ensure_future(waiting)
        asked = asyncio.ensure_future(self._asked.wait())
        try:
            await asyncio.wait({task, asked}, return_when=asyncio.FIRST_COMPLETED)
            if task.done():
                return task.result()
            return None
        finally:
            for each in (task, asked):
                each.cancel()
            await asyncio.gather(task, asked, return_exceptions=True)
