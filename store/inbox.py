"""The inbox: raw updates, stored before they are confirmed, handled from here.

A crash at any point repeats work: an update is done only when the transaction that holds its
effect says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, or_, select, update

from store.hold import NO_CHAT, hold
from store.tables import UpdateRow, to_value
from store.values import Update, UpdateId

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId


async def receive(
    session: AsyncSession, updates: Sequence[tuple[UpdateId, ChatId, str]], now: datetime
) -> int:
    """Store updates (id, chat or 0, JSON) and return how many are new; others are ignored."""
    await hold(session, NO_CHAT)
    by_id = {update_id: (chat_id, payload) for update_id, chat_id, payload in updates}
    known = await session.scalars(
        select(UpdateRow.update_id).where(UpdateRow.update_id.in_(by_id))
    )
    for update_id in known:
        del by_id[update_id]
    session.add_all(
        [
            UpdateRow(
                update_id=update_id,
                chat_id=chat_id,
                payload=payload,
                received_at=now,
                done_at=None,
                set_aside_at=None,
                attempts=0,
                failed_at=None,
                error=None,
            )
            for update_id, (chat_id, payload) in by_id.items()
        ]
    )
    await session.flush()
    return len(by_id)


async def waiting(
    session: AsyncSession,
    *,
    limit: int,
    exclude_chats: Collection[ChatId] = (),
    only_chat: ChatId | None = None,
) -> tuple[Update, ...]:
    """Return updates neither done nor set aside, by update id.

    `exclude_chats` are those being handled, or to be left alone for now.
    """
    query = (
        select(UpdateRow)
        .where(
            UpdateRow.done_at.is_(None),
            UpdateRow.set_aside_at.is_(None),
            UpdateRow.chat_id.not_in(exclude_chats),
        )
        .order_by(UpdateRow.update_id)
        .limit(limit)
    )
    if only_chat is not None:
        query = query.where(UpdateRow.chat_id == only_chat)
    rows = await session.scalars(query)
    return tuple(to_value(Update, row) for row in rows)


async def take(session: AsyncSession, update_id: UpdateId) -> bool:
    """Take an update to handle it in this unit of work, and hold its group.

    False: it is done or set aside, or somebody else is at it.
    """
    chat_id = await session.scalar(
        select(UpdateRow.chat_id)
        .where(
            UpdateRow.update_id == update_id,
            UpdateRow.done_at.is_(None),
            UpdateRow.set_aside_at.is_(None),
        )
        .with_for_update(skip_locked=True)
    )
    if chat_id is not None and chat_id < 0:  # a private chat is held last, see `store.hold`
        await hold(session, chat_id)
    return chat_id is not None


async def mark_done(session: AsyncSession, update_id: UpdateId, now: datetime) -> None:
    """Note that an update is handled; call it in the transaction that holds the effect."""
    await session.execute(
        update(UpdateRow).where(UpdateRow.update_id == update_id).values(done_at=now)
    )


async def mark_failed(
    session: AsyncSession, update_id: UpdateId, error: str, now: datetime
) -> None:
    """Count a failed attempt; the update keeps waiting."""
    await session.execute(
        update(UpdateRow)
        .where(UpdateRow.update_id == update_id)
        .values(attempts=UpdateRow.attempts + 1, error=error, failed_at=now)
    )


async def set_aside(session: AsyncSession, update_id: UpdateId, error: str, now: datetime) -> None:
    """Stop handling an update that fails again and again; it is kept a while to be looked at."""
    await session.execute(
        update(UpdateRow)
        .where(UpdateRow.update_id == update_id)
        .values(set_aside_at=now, error=error)
    )


async def trim(session: AsyncSession, before: datetime) -> None:
    """Delete updates done or set aside before an instant: people's words are not kept for ever.

    Keep them for longer than the platform may send one again (it keeps updates for 24 hours).
    """
    await session.execute(
        delete(UpdateRow).where(
            or_(UpdateRow.done_at < before, UpdateRow.set_aside_at < before),
        )
    )
