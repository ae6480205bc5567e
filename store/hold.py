"""Hold others off a chat for the rest of a unit of work, so that what was read stays true.

An SQLite unit of work holds off every other writer from its start. On PostgreSQL chats are written
side by side, and whoever reads in order to write (the last number of a chat, the result before
this one) holds the chat first: an advisory lock until commit, a row not being there yet included.

Order: groups first, private chats last, just before the commit. Where two still wait for each
other, the database ends one of them after a second, and its caller does it again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId

NO_CHAT = 0  # stands for the receiving of updates
_HELD = "held_chats"  # in the session's notes: the transaction and what it holds


async def hold(session: AsyncSession, chat_id: ChatId | int) -> None:
    """Wait until nobody else holds the chat, then hold it until commit or rollback.

    What was read before may have changed meanwhile: rows loaded so far are read anew.
    """
    if not is_shared(session) or chat_id in _held(session):
        return
    await session.execute(select(func.pg_advisory_xact_lock(chat_id)))
    session.info[_HELD] = (session.sync_session.get_transaction(), _held(session) | {chat_id})
    session.expire_all()


def is_shared(session: AsyncSession) -> bool:
    """Whether others may write while this unit of work is open."""
    return session.get_bind().dialect.name == "postgresql"


def _held(session: AsyncSession) -> frozenset[int]:
    transaction, held = session.info.get(_HELD, (None, frozenset()))
    return held if transaction is session.sync_session.get_transaction() else frozenset()
