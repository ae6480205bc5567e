"""What people are writing: at most one row for each person, kept until it is thrown away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, select

from store.tables import DraftRow

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId


async def draft_of(session: AsyncSession, chat_id: ChatId) -> str | None:
    """Return what was last saved for a private chat, locked until the end of the work."""
    return await session.scalar(
        select(DraftRow.written).where(DraftRow.chat_id == chat_id).with_for_update()
    )


async def save_draft(
    session: AsyncSession, chat_id: ChatId, written: str, *, now: datetime
) -> None:
    """Put something in the place of what was saved before."""
    await session.merge(DraftRow(chat_id=chat_id, written=written, changed_at=now))
    await session.flush()


async def discard_draft(session: AsyncSession, chat_id: ChatId) -> bool:
    """Throw it away. False: there was nothing."""
    gone = await session.execute(
        delete(DraftRow).where(DraftRow.chat_id == chat_id).returning(DraftRow.chat_id)
    )
    return gone.one_or_none() is not None
