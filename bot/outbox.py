"""Send the answers that are owed, in the order they came to be owed, and clear them.

An answer is repeated rather than lost: when the line breaks after sending, or the program stops
between sending and clearing, it is sent again while it is still useful.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import assert_never

from sqlalchemy.ext.asyncio import AsyncSession
from telegram import Bot

from bot.calls import Call, Toast, call_from_json, call_to_json
from bot.sending import Later, Moved, Refused, Sent, Unknown, make_call
from store import groups, owed, people
from store.engine import Database
from store.values import ChatId, Owed, UserId

log = logging.getLogger(__name__)

_USEFUL = timedelta(hours=1)
_TOAST_USEFUL = timedelta(seconds=30)  # the client's spinner is long gone
_TRY_AGAIN = timedelta(seconds=5)
_BATCH = 100


async def owe_calls(
    session: AsyncSession, calls: list[Call], *, chat_id: ChatId, now: datetime
) -> None:
    """Store what is owed; `chat_id` stands for calls that name no chat themselves."""
    for call in calls:
        toast = isinstance(call, Toast)
        await owed.owe(
            session,
            chat_id=chat_id if isinstance(call, Toast) else ChatId(call.chat_id),
            call=call_to_json(call),
            useful_until=now + (_TOAST_USEFUL if toast else _USEFUL),
            now=now,
        )


class Outbox:
    """Sends what is owed whenever it is woken."""

    def __init__(self, bot: Bot, database: Database, clock: Callable[[], datetime]) -> None:
        self._bot = bot
        self._database = database
        self._clock = clock
        self._busy = asyncio.Lock()

    async def send_all(self) -> timedelta | None:
        """Send everything that can go now.

        Returns:
            How long to wait before trying what could not go, or None if nothing is left.
        """
        async with self._busy:
            waits: list[timedelta] = []
            while batch := await self._batch():
                for each in batch:
                    wait = await self._send(each)
                    waits.extend([wait] if wait else [])
            return min(waits, default=None)

    async def _batch(self) -> tuple[Owed, ...]:
        now = self._clock()
        async with self._database.reading() as session:
            batch = await owed.owed(session, now, limit=_BATCH)
        if all(each.useful_until > now for each in batch):
            return batch
        async with self._database.work() as session:
            dropped = await owed.drop_useless(session, now)
            await session.commit()
        log.info("dropped %s answers that were no longer useful", dropped)
        return tuple(each for each in batch if each.useful_until > now)

    async def _send(self, each: Owed) -> timedelta | None:
        call = call_from_json(each.call)
        outcome = await make_call(self._bot, call)
        wait: timedelta | None = None
        async with self._database.work() as session:
            match outcome:
                case Sent():
                    await owed.clear(session, each)
                case Later(wait=wait):
                    await owed.put_off(session, each, self._clock() + wait)
                case Unknown():
                    wait = _TRY_AGAIN
                    await owed.put_off(session, each, self._clock() + wait)
                case Refused(why=why, gone=gone):
                    log.warning("call to chat %s refused: %s", each.chat_id, why)
                    await owed.clear(session, each)
                    if gone and each.chat_id > 0:
                        await people.mark_can_write_to(session, UserId(each.chat_id), can=False)
                case Moved(new_chat_id=new):
                    await groups.move_chat(session, old=each.chat_id, new=ChatId(new))
                    await owed.clear(session, each)
                    if not isinstance(call, Toast):
                        moved = replace(call, chat_id=new)
                        await owe_calls(session, [moved], chat_id=ChatId(new), now=self._clock())
                case _:
                    assert_never(outcome)
            await session.commit()
        return wait
