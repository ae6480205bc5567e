"""The queue of updates between the room and the bot: long polls, confirmation, one poller."""

from __future__ import annotations

import asyncio
from typing import Any, Final

from bot.rehearsal.errors import Refused

Update = dict[str, Any]

LONGEST_POLL_S: Final = 50  # Bot API server: a longer `timeout` is cut
MOST_AT_ONCE: Final = 100  # Bot API, getUpdates, `limit`
ON_REQUEST_ONLY: Final = frozenset(  # Bot API, getUpdates, `allowed_updates`
    {"chat_member", "message_reaction", "message_reaction_count"}
)
_TAKEN_OVER: Final = (
    "terminated by other getUpdates request; make sure that only one bot instance is running"
)
_WEBHOOK_SET: Final = (
    "can't use getUpdates method while webhook is active; "
    "use deleteWebhook to delete the webhook first"
)


class UpdateQueue:
    """Updates that wait for the bot, oldest first."""

    def __init__(self, first_update_id: int = 710_000_001) -> None:
        self.pending: list[Update] = []
        self.allowed: tuple[str, ...] = ()  # empty: everything but ON_REQUEST_ONLY
        self.webhook_url = ""
        self.secret_token = ""
        self.last_error: tuple[int, str] | None = None  # of the webhook: unix seconds, text
        self._next_update_id = first_update_id
        self._changed = asyncio.Event()
        self.polls = 0  # so far
        self._poller: object | None = None
        self._is_open = True

    def wants(self, kind: str) -> bool:
        """Tell whether the bot asked for this kind of update."""
        return kind in self.allowed if self.allowed else kind not in ON_REQUEST_ONLY

    def add(self, content: Update) -> Update:
        """Queue an update and wake a waiting poll.

        Args:
            content: With an `update_id` it is queued as it is, which is how a repeated update is
                made; without one it gets the next number.
        """
        update = dict(content)
        if "update_id" not in update:
            update = {"update_id": self._next_update_id, **update}
        self._next_update_id = max(self._next_update_id, update["update_id"] + 1)
        self.pending.append(update)
        self._wake()
        return update

    async def poll(self, *, offset: int, limit: int, timeout_s: int) -> list[Update]:
        """Confirm everything below `offset`, then wait for what there is.

        A newer poll ends an older one, which then gets the 409, as on the platform.

        Args:
            offset: 0 confirms nothing; a negative one keeps that many from the end.
            limit: 1 to 100, cut to it.
            timeout_s: 0 answers at once; real seconds, whatever the rehearsal's clock says.
        """
        if self.webhook_url:
            raise Refused(409, _WEBHOOK_SET)
        if not self._is_open:
            raise Refused(502, "Bad Gateway")
        me = self._poller = object()
        self.polls += 1
        self._wake()
        self._confirm(offset)
        deadline = asyncio.get_running_loop().time() + min(max(timeout_s, 0), LONGEST_POLL_S)
        while self._poller is me and self._is_open and not self.pending:
            if not await self._changes_before(deadline):
                break
        if self._poller is not me:
            raise Refused(409, _TAKEN_OVER)
        self._poller = None
        return self.pending[: min(max(limit, 1), MOST_AT_ONCE)]

    def set_webhook(self, url: str, *, secret_token: str = "") -> None:
        """Send updates to a URL from now on; a waiting poll ends with 409."""
        self.webhook_url = url
        self.secret_token = secret_token
        self.last_error = None
        if url:
            self._poller = None
        self._wake()

    def take(self, update: Update) -> None:
        """Count an update as delivered; nothing happens when it was dropped meanwhile."""
        self.pending = [waiting for waiting in self.pending if waiting is not update]

    def drop_pending(self) -> None:
        """Forget everything that waits."""
        self.pending.clear()

    async def wait_for_change(self) -> None:
        """Wait until anything about the queue is new: an update, a webhook, the end."""
        await self._changed.wait()

    async def all_fetched(self) -> None:
        """Wait until the bot has confirmed everything that was queued."""
        while self.pending:
            await self.wait_for_change()

    def hang_up(self) -> None:
        """End a waiting poll and take no new one until `pick_up`."""
        self._is_open = False
        self._wake()

    def pick_up(self) -> None:
        """Take polls again."""
        self._is_open = True

    def _confirm(self, offset: int) -> None:
        if offset > 0:
            self.pending = [update for update in self.pending if update["update_id"] >= offset]
        elif offset < 0:
            self.pending = self.pending[offset:]

    def _wake(self) -> None:
        # Each wait has its own event, so that servers on different loops can share a room in turn.
        self._changed.set()
        self._changed = asyncio.Event()

    async def _changes_before(self, deadline: float) -> bool:
        try:
            async with asyncio.timeout_at(deadline):
                await self._changed.wait()
        except TimeoutError:
            return False
        return True
