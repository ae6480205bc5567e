"""Send the answers that are owed, in the order they came to be owed, and clear them.

An answer is repeated rather than lost: when the line breaks after sending, or the program stops
between sending and clearing, it is sent again while it is still useful, more and more rarely.
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

from bot.calls import Call, Play, React, Say, SendFile, Toast, call_from_json, call_to_json
from bot.clock_player import ClockPlayer
from bot.sending import Later, Moved, NotReady, Outcome, Refused, Sent, Unknown, make_call
from store import groups, owed, people
from store.engine import Database
from store.errors import ChatsBothInUse
from store.values import ChatId, Owed, UserId

log = logging.getLogger(__name__)

_USEFUL = timedelta(hours=1)
_TOAST_USEFUL = timedelta(seconds=30)  # the client's spinner is long gone
_TRY_AGAIN = timedelta(seconds=5)  # doubled each time: every repeat may be one too many
_MOST_DOUBLINGS = 9
_MAKING = timedelta(minutes=2)  # longer than any sound takes; after a crash it is made again
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
    """Sends what is owed whenever it is woken.

    Args:
        ready: Called when what had to be made first can be sent.
    """

    def __init__(
        self,
        bot: Bot,
        database: Database,
        clock: Callable[[], datetime],
        *,
        ready: Callable[[], None] = lambda: None,
    ) -> None:
        self._bot = bot
        self._database = database
        self._clock = clock
        self._busy = asyncio.Lock()
        self._ready = ready
        self._player = ClockPlayer(bot, database, clock)
        self._making: dict[tuple[ChatId, int], asyncio.Task[None]] = {}
        self._held: dict[ChatId, datetime] = {}  # chats the platform told us to leave alone

    async def send_all(self) -> timedelta | None:
        """Send everything that can go now.

        Returns:
            How long to wait before trying what could not go, or None if nothing is left.
        """
        async with self._busy:
            while batch := await self._batch():
                for each in batch:
                    outcome = await self._send(each)
                    if isinstance(outcome, Moved):
                        break  # the rest of this batch may stand under another chat now
            async with self._database.reading() as session:
                next_at = await owed.next_not_before(session)
            return None if next_at is None else max(next_at - self._clock(), timedelta())

    async def _batch(self) -> tuple[Owed, ...]:
        now = self._clock()
        async with self._database.reading() as session:
            batch = await owed.owed(session, now, limit=_BATCH)
        if all(each.useful_until >= now for each in batch):
            return batch
        async with self._database.work() as session:
            dropped = await owed.drop_useless(session, now)
            batch = await owed.owed(session, now, limit=_BATCH)
            await session.commit()
        log.info("dropped %s answers that were no longer useful", dropped)
        return batch

    async def _send(self, each: Owed) -> Outcome:
        """Make one call and note how it went."""
        call = call_from_json(each.call)
        held = self._held.get(each.chat_id, self._clock()) - self._clock()
        if held > timedelta() and not isinstance(call, Toast):  # else it would overtake others
            outcome: Outcome = Later(held)
        elif isinstance(call, Play):
            outcome = await self._player.send(call)
        else:
            outcome = await make_call(self._bot, call)
        await self._note(each, call, outcome)
        if isinstance(call, Play) and isinstance(outcome, NotReady):
            self._make_first(each, call)
        return outcome

    def _make_first(self, each: Owed, call: Play) -> None:
        """Make a sound while other answers go on."""
        key = (each.chat_id, each.owed_id)
        if key not in self._making:
            self._making[key] = asyncio.create_task(self._make(each, call))

    async def _make(self, each: Owed, call: Play) -> None:
        try:
            await self._player.make(call.track)
            async with self._database.work() as session:
                await owed.put_off(session, each, self._clock())
                await session.commit()
        except Exception as error:  # noqa: BLE001 - stopping, or no encoder: it stays owed a while
            log.warning("a clock was not made: %s", type(error).__name__)
        finally:
            del self._making[each.chat_id, each.owed_id]
        self._ready()

    async def made(self) -> bool:
        """Wait for all that is being made; say whether there was anything."""
        tasks = [*self._making.values()]
        await asyncio.gather(*tasks)
        return bool(tasks)

    async def stop(self) -> None:
        """Leave what is being made unfinished."""
        self._player.stop()
        await self.made()

    async def _note(self, each: Owed, call: Call, outcome: Outcome) -> None:
        async with self._database.work() as session:
            match outcome:
                case Sent():
                    await owed.clear(session, each)
                case Later(wait=wait):
                    await owed.put_off(session, each, self._clock() + wait)
                    self._held[each.chat_id] = self._clock() + wait
                case NotReady():  # nothing else of the chat has to wait for it
                    await owed.put_off(session, each, self._clock() + _MAKING)
                case Unknown():
                    wait = _TRY_AGAIN * 2 ** min(each.attempts, _MOST_DOUBLINGS)
                    await owed.put_off(session, each, self._clock() + wait)
                case Refused(why=why, gone=gone):
                    log.warning("call to chat %s refused: %s", each.chat_id, why)
                    await owed.clear(session, each)
                    if gone and each.chat_id > 0:
                        await people.mark_can_write_to(session, UserId(each.chat_id), can=False)
                case Moved(new_chat_id=new):
                    # Elsewhere if the group was re-keyed meanwhile; there it is sent again.
                    if each in await owed.owed(session, self._clock(), limit=_BATCH):
                        await owed.clear(session, each)
                        await self._follow(session, call, old=each.chat_id, new=ChatId(new))
                case _:
                    assert_never(outcome)
            await session.commit()

    async def _follow(
        self, session: AsyncSession, call: Call, *, old: ChatId, new: ChatId
    ) -> None:
        """Re-key a chat that moved, and owe the call there."""
        try:
            await groups.move_chat(session, old=old, new=new)
        except ChatsBothInUse as error:
            log.error("%s", error)  # noqa: TRY400 - ids only, nothing to trace
            return
        if isinstance(call, React):
            call = call.instead
        if isinstance(call, Say):  # numbers of messages start again in the new chat
            call = replace(call, chat_id=new, reply_to=None, quote=None)
        elif isinstance(call, SendFile | Play):
            call = replace(call, chat_id=new, reply_to=None)
        elif not isinstance(call, Toast):
            call = replace(call, chat_id=new)
        await owe_calls(session, [call], chat_id=new, now=self._clock())
