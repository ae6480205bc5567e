"""Files that the platform keeps for a bot: what was sent up once is sent again by its id.

An id is good for the bot that sent the file and in every chat, so these rows name no chat.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, select

from store.tables import SentFileRow

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import UserId


async def file_id(session: AsyncSession, bot_id: UserId, name: str) -> str | None:
    """Return the platform's id of a file, or None if it was not sent yet."""
    return await session.scalar(
        select(SentFileRow.file_id).where(SentFileRow.bot_id == bot_id, SentFileRow.name == name)
    )


async def keep_file(
    session: AsyncSession, bot_id: UserId, name: str, file_id: str, *, now: datetime
) -> None:
    """Note the id of a file that was sent; a newer one replaces it."""
    await session.merge(SentFileRow(bot_id=bot_id, name=name, file_id=file_id, sent_at=now))
    await session.flush()


async def forget_file(session: AsyncSession, bot_id: UserId, name: str) -> None:
    """Forget an id that the platform knows no more; an unknown one changes nothing."""
    await session.execute(
        delete(SentFileRow).where(SentFileRow.bot_id == bot_id, SentFileRow.name == name)
    )
