"""Who may organise: the group's administrators, asked of the platform and kept for minutes."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime, timedelta

from telegram import Bot
from telegram.error import TelegramError

log = logging.getLogger(__name__)

_KEPT = timedelta(minutes=5)


class Rights:
    """Administrators by chat. Loading asks the network, so it happens before a transaction."""

    def __init__(self, bot: Bot, clock: Callable[[], datetime]) -> None:
        self._bot = bot
        self._clock = clock
        self._known: dict[int, tuple[datetime, frozenset[int]]] = {}
        self._privacy_off = False

    def note_privacy(self, *, off: bool) -> None:
        """Note whether the bot was set to see all messages of any group."""
        self._privacy_off = off

    def sees_all(self, chat_id: int) -> bool:
        """Say whether the bot sees what people write in a group without addressing it."""
        return self._privacy_off or self.is_administrator(chat_id, self._bot.id)

    async def load(self, chat_id: int) -> None:
        """Make sure that a chat's administrators are known and fresh."""
        known = self._known.get(chat_id)
        if known is not None and self._clock() - known[0] < _KEPT:
            return
        try:
            members = await self._bot.get_chat_administrators(chat_id)
        except TelegramError as error:
            log.warning("administrators of chat %s unknown: %s", chat_id, type(error).__name__)
            self.forget(chat_id)
            return
        self._known[chat_id] = (self._clock(), frozenset(member.user.id for member in members))

    def forget(self, chat_id: int) -> None:
        """Ask again next time: somebody's rights have changed."""
        self._known.pop(chat_id, None)

    def administrators(self, chat_id: int) -> frozenset[int]:
        """Give the known administrators; unknown means none."""
        known = self._known.get(chat_id)
        return known[1] if known is not None else frozenset()

    def is_administrator(self, chat_id: int, user_id: int) -> bool:
        """Say whether a person is known to be an administrator; unknown means no."""
        return user_id in self.administrators(chat_id)
