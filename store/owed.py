"""Answers owed: committed together with their effect, sent afterwards, then cleared.

After a crash between sending and clearing an answer is sent again; better twice than never. The
table holds only what is still owed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import and_, delete, func, select, update

from store.hold import hold
from store.tables import OwedRow, to_value
from store.values import Owed

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId


async def owe(
    session: AsyncSession, *, chat_id: ChatId, call: str, useful_until: datetime, now: datetime
) -> int:
    """Store a call (JSON, opaque here) to be sent to a chat; return its number in the chat."""
    await hold(session, chat_id)
    last = select(func.coalesce(func.max(OwedRow.owed_id), 0)).where(OwedRow.chat_id == chat_id)
    owed_id = (await session.scalars(last)).one() + 1
    session.add(
        OwedRow(
            chat_id=chat_id,
            owed_id=owed_id,
            call=call,
            created_at=now,
            not_before=now,
            useful_until=useful_until,
            attempts=0,
        )
    )
    await session.flush()
    return owed_id


async def owed(session: AsyncSession, now: datetime, *, limit: int) -> tuple[Owed, ...]:
    """Return the calls to be sent now, in the order they were owed."""
    rows = await session.scalars(
        select(OwedRow)
        .where(OwedRow.not_before <= now)
        .order_by(OwedRow.created_at, OwedRow.chat_id, OwedRow.owed_id)
        .limit(limit)
    )
    return tuple(to_value(Owed, row) for row in rows)


async def next_not_before(session: AsyncSession) -> datetime | None:
    """Return when the next owed call may be sent, perhaps in the past; None if none is owed."""
    return await session.scalar(select(func.min(OwedRow.not_before)))


async def clear(session: AsyncSession, owed: Owed) -> None:
    """Strike out a call that was sent, or refused for good."""
    await session.execute(delete(OwedRow).where(_is(owed)))


async def put_off(session: AsyncSession, owed: Owed, not_before: datetime) -> None:
    """Try a call again later."""
    await session.execute(
        update(OwedRow)
        .where(_is(owed))
        .values(not_before=not_before, attempts=OwedRow.attempts + 1)
    )


async def drop_useless(session: AsyncSession, now: datetime) -> int:
    """Strike out the calls whose use is over; return how many."""
    dropped = await session.scalars(
        delete(OwedRow).where(OwedRow.useful_until < now).returning(OwedRow.owed_id)
    )
    return len(dropped.all())


def _is(owed: Owed) -> ColumnElement[bool]:
    return and_(OwedRow.chat_id == owed.chat_id, OwedRow.owed_id == owed.owed_id)
