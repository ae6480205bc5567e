"""Long polling: fetch raw updates, have them committed, and only then confirm them.

The library's updater confirms a batch before its handlers have run, and repeats for ever a batch
that it cannot parse (python-telegram-bot 22.8). So the raw JSON is fetched here.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from typing import Any

import httpx

from bot.stopping import Stop

log = logging.getLogger(__name__)

# Always sent: an omitted list means "as set last time", by whatever build.
ALLOWED_UPDATES = ("message", "edited_message", "callback_query", "my_chat_member", "chat_member")
_POLL_S = 25
_MOST_AT_ONCE = 100  # Bot API, getUpdates, `limit`
_SHORTEST_WAIT_S, _LONGEST_WAIT_S = 1.0, 60.0

Receive = Callable[[Sequence[dict[str, Any]]], Awaitable[int]]


class TokenRefused(Exception):
    """The platform does not know the token."""

    def __init__(self) -> None:
        super().__init__("the platform refuses RUNGBELL_TOKEN; copy it again from BotFather")


class Fetcher:
    """Fetches updates from one Bot API address.

    Args:
        api_url: Address up to the token, e.g. "https://api.telegram.org/bot".
        receive: Commits a batch; when it returns, the batch may be confirmed.
        stop: When to end.
    """

    def __init__(self, api_url: str, token: str, receive: Receive, stop: Stop) -> None:
        self._url = f"{api_url}{token}/getUpdates"
        self._receive = receive
        self._stop = stop
        self._offset: int | None = None
        self.is_caught_up = False  # all that waited at the start has been committed

    async def run(self) -> None:
        """Fetch until asked to stop.

        Raises:
            TokenRefused: There is no use in going on.
        """
        wait = _SHORTEST_WAIT_S
        # The read must outlast the poll.
        async with httpx.AsyncClient(timeout=httpx.Timeout(10, read=_POLL_S + 10)) as client:
            while not self._stop.is_asked:
                try:
                    pause = await self._fetch(client)
                except (httpx.HTTPError, ValueError, KeyError) as error:
                    log.warning("fetching updates failed: %s", type(error).__name__)
                    pause = wait
                    wait = min(wait * 2, _LONGEST_WAIT_S)
                else:
                    wait = _SHORTEST_WAIT_S
                if pause:
                    await self._stop.or_result(asyncio.sleep(pause))

    async def _fetch(self, client: httpx.AsyncClient) -> float:
        """Fetch and commit one batch; give the seconds to wait before the next."""
        wait = _POLL_S if self.is_caught_up else 0
        body: dict[str, Any] = {"timeout": wait, "allowed_updates": list(ALLOWED_UPDATES)}
        if self._offset is not None:
            body["offset"] = self._offset
        answer = await self._stop.or_result(client.post(self._url, json=body))
        if answer is None:  # not confirmed: the platform gives the same updates again
            return 0.0
        found = answer.json()
        if not isinstance(found, dict):
            raise ValueError("no Bot API answer")  # noqa: TRY004 - as bad JSON, from a gateway
        if not found["ok"]:
            if answer.status_code in {httpx.codes.UNAUTHORIZED, httpx.codes.NOT_FOUND}:
                raise TokenRefused
            log.warning("fetching updates refused: %s", found.get("description"))
            return float(found.get("parameters", {}).get("retry_after", 3))
        updates = found["result"]
        await self._receive(updates)
        self.is_caught_up = self.is_caught_up or len(updates) < _MOST_AT_ONCE
        if updates:
            self._offset = max(update["update_id"] for update in updates) + 1
        return 0.0
