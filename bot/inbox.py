"""Updates come in here and nowhere else: committed first, confirmed then, handled from the store.

A crash anywhere repeats work and never loses or doubles it: an update is unique by its id, and
it is marked done in the transaction that holds its effect and the answers it owes.
"""

from __future__ import annotations

import asyncio
import json
import logging
import traceback
from collections.abc import Awaitable, Callable, Iterable, Mapping
from datetime import datetime
from typing import Any

from bot.stopping import Stop
from store import inbox
from store.engine import Database
from store.values import ChatId, Update, UpdateId

log = logging.getLogger(__name__)

_BATCH = 100
MOST_ATTEMPTS = 3  # then an update is set aside, kept, and the organiser is told

_LOOK_AGAIN_S = 1.0

Handle = Callable[[Update], Awaitable[None]]
GiveUp = Callable[[Update, Exception], Awaitable[None]]


class TakenElsewhere(Exception):
    """Another process is handling this update, or has done so."""


def chat_of(update: Mapping[str, Any]) -> ChatId:
    """Give the chat whose order an update belongs to; 0 when it belongs to none."""
    for kind, body in update.items():
        if kind == "update_id" or not isinstance(body, dict):
            continue
        message = body.get("message") if kind == "callback_query" else body
        chat = message.get("chat") if isinstance(message, dict) else None
        if isinstance(chat, dict) and isinstance(chat.get("id"), int):
            return ChatId(chat["id"])
        sender = body.get("from")
        if isinstance(sender, dict) and isinstance(sender.get("id"), int):
            return ChatId(sender["id"])
    return ChatId(0)


def _move_told_by(update: Mapping[str, Any]) -> tuple[ChatId, ChatId] | None:
    """Give the old and the new id of a group, if this update says that it has moved."""
    message = update.get("message")
    if not isinstance(message, dict):
        return None
    here: int = chat_of(update)
    old, new = message.get("migrate_from_chat_id", here), message.get("migrate_to_chat_id", here)
    if old == new or not (isinstance(old, int) and isinstance(new, int)):
        return None
    return ChatId(old), ChatId(new)


class Inbox:
    """Keeps updates and has them handled, in order within a chat, chats side by side.

    Args:
        handle: Handles one update in its own transaction, marking it done there; raises if it
            cannot, `TakenElsewhere` if it is not free.
        give_up: Told about an update that failed for good.
        stop: When to end; updates in hand are finished first.
    """

    def __init__(
        self,
        database: Database,
        clock: Callable[[], datetime],
        *,
        handle: Handle,
        give_up: GiveUp,
        stop: Stop,
    ) -> None:
        self._database = database
        self._clock = clock
        self._handle = handle
        self._give_up = give_up
        self._stop = stop
        self._news = asyncio.Event()
        self._lanes: dict[ChatId, asyncio.Task[None]] = {}
        self._moving: dict[ChatId, ChatId] = {}  # new ids of groups to old ones still at work
        self._broken: BaseException | None = None  # what ended a lane before its work was done

    async def receive(self, updates: Iterable[Mapping[str, Any]]) -> int:
        """Commit raw updates; only after this may they be confirmed to the platform.

        Returns:
            How many were new.
        """
        batch = list(updates)
        for update in batch:
            if (move := _move_told_by(update)) is not None:
                self._moving[move[1]] = move[0]
        rows = [
            (UpdateId(update["update_id"]), self._lane_of(update), json.dumps(update))
            for update in batch
        ]
        if not rows:
            return 0
        async with self._database.work() as session:
            new = await inbox.receive(session, rows, self._clock())
            await session.commit()
        self._news.set()
        return new

    def _lane_of(self, update: Mapping[str, Any]) -> ChatId:
        """Give the chat in whose order to handle an update.

        What is said in a group that has moved waits for what was said before, in the old one.
        """
        chat_id = chat_of(update)
        return self._moving.get(chat_id, chat_id)

    async def run(self) -> None:
        """Handle what waits, and go on with whatever comes, until asked to stop.

        Raises whatever broke the keeping of updates itself: going on would only repeat it.
        """
        self._news.set()  # what an earlier run left behind
        while not self._stop.is_asked:
            await self._stop.or_result(self._news.wait())
            self._check()
            if self._news.is_set():
                self._news.clear()
                await self._open_lanes()
        await asyncio.gather(*self._lanes.values())

    async def settle(self) -> None:
        """Wait until nothing is left to handle."""
        while True:
            self._check()
            lanes = list(self._lanes.values())
            if lanes:
                await asyncio.wait(lanes)
            elif not self._news.is_set() and not await self._waiting(limit=1):
                return
            else:
                await self._open_lanes()

    async def _open_lanes(self) -> None:
        """Start a task for every chat that has something waiting and none yet."""
        for update in await self._waiting(limit=_BATCH):
            if update.chat_id not in self._lanes:
                lane = asyncio.create_task(self._work_through(update.chat_id))
                lane.add_done_callback(self._ended)
                self._lanes[update.chat_id] = lane

    def _ended(self, lane: asyncio.Task[None]) -> None:
        if not lane.cancelled() and lane.exception() is not None:
            self._broken = lane.exception()
            self._news.set()

    def _check(self) -> None:
        if self._broken is not None:
            raise self._broken

    async def _waiting(self, *, limit: int) -> tuple[Update, ...]:
        async with self._database.reading() as session:
            return await inbox.waiting(session, limit=limit, exclude_chats=tuple(self._lanes))

    async def _work_through(self, chat_id: ChatId) -> None:
        """Handle one chat's updates in order until none waits."""
        try:
            # One by one: if a group moves, what still waits goes on in the new chat's lane.
            while not self._stop.is_asked and (update := await self._next(chat_id)):
                await self._attempt(update)
        finally:
            del self._lanes[chat_id]
            self._moving = {new: old for new, old in self._moving.items() if old != chat_id}
            self._news.set()  # something may have come for this chat in the meantime

    async def _next(self, chat_id: ChatId) -> Update | None:
        async with self._database.reading() as session:
            found = await inbox.waiting(session, limit=1, only_chat=chat_id)
        return found[0] if found else None

    async def _attempt(self, update: Update) -> None:
        for attempt in range(update.attempts + 1, MOST_ATTEMPTS + 1):
            try:
                await self._handle(update)
            except TakenElsewhere:  # its chat goes on after it, here or there
                await self._stop.or_result(asyncio.sleep(_LOOK_AGAIN_S))
                return
            except Exception as error:  # noqa: BLE001 - logged; the error's words may be a person's
                log.error(  # noqa: TRY400 - same
                    "update %s failed, attempt %s: %s\n%s",
                    update.update_id,
                    attempt,
                    type(error).__name__,
                    "".join(traceback.format_tb(error.__traceback__)),
                )
                final = attempt == MOST_ATTEMPTS
                await self._note_failure(update, error, final=final)
                if final:
                    await self._give_up(update, error)
            else:
                return

    async def _note_failure(self, update: Update, error: Exception, *, final: bool) -> None:
        note = type(error).__name__  # no text of people in the database's error column
        async with self._database.work() as session:
            if final:
                await inbox.set_aside(session, update.update_id, note, self._clock())
            else:
                await inbox.mark_failed(session, update.update_id, note, self._clock())
            await session.commit()
