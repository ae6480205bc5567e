"""Group chats: what is known of them, and their move to a new id."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, exists, func, select, update

from store.errors import ChatsBothInUse
from store.hold import hold
from store.tables import (
    ChallengeRow,
    GroupRow,
    MovedChatRow,
    OrganiserRow,
    OwedRow,
    PostRow,
    UpdateRow,
)

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChatId


async def note_group(
    session: AsyncSession, chat_id: ChatId, title: str, *, is_active: bool, now: datetime
) -> None:
    """Remember a group's title and whether the bot can write there; "" keeps a known title."""
    await hold(session, chat_id)
    row = await session.get(GroupRow, chat_id)
    if row is None:
        session.add(GroupRow(chat_id=chat_id, title=title, is_active=is_active, updated_at=now))
    else:
        row.title, row.is_active, row.updated_at = title or row.title, is_active, now
    await session.flush()


async def note_heard(session: AsyncSession, chat_id: ChatId, said_at: datetime) -> bool:
    """Words said in a group after we lost it tell that we are in it again.

    Returns:
        Whether that was news.
    """
    await hold(session, chat_id)
    row = await session.get(GroupRow, chat_id)
    if row is None or row.is_active or said_at <= row.updated_at:
        return False
    row.is_active, row.updated_at = True, said_at
    await session.flush()
    return True


async def group_title(session: AsyncSession, chat_id: ChatId) -> str:
    """Return a group's title as the platform told it, "" if it has not."""
    row = await session.get(GroupRow, chat_id)
    return "" if row is None else row.title


async def is_known(session: AsyncSession, chat_id: ChatId) -> bool:
    """Say whether we have met a group."""
    return await session.get(GroupRow, chat_id) is not None


async def current_chat_id(session: AsyncSession, chat_id: ChatId) -> ChatId:
    """Return the id a chat has now; the same if it has not moved."""
    row = await session.get(MovedChatRow, chat_id)
    return chat_id if row is None else row.new_chat_id


async def move_chat(session: AsyncSession, *, old: ChatId, new: ChatId) -> None:
    """Give everything of a group chat its new id; a second time changes nothing.

    What was said in the old chat keeps the old chat beside its message id, because message ids
    start again in the new one. For the same reason posts lose their message ids. Stored updates
    and owed calls go to the new chat's queue; the text inside them is left as it is. What still
    names the old id, such as a button, finds the new one with `current_chat_id`.

    Raises:
        ChatsBothInUse: Both have challenges.

    Source: Bot API, `migrate_to_chat_id`; a basic group gets a new id when it is upgraded.
    """
    if old == new:
        return
    for chat_id in sorted((old, new)):  # always in one order: two such calls may meet
        await hold(session, chat_id)
    if await session.get(GroupRow, old) is not None:
        await _make_room(session, old=old, new=new)
        # The foreign keys carry the new id to all that hangs on the group.
        await session.execute(
            update(GroupRow).where(GroupRow.chat_id == old).values(chat_id=new),
            execution_options={"synchronize_session": False},
        )
        await session.execute(
            update(PostRow).where(PostRow.chat_id == new).values(message_id=None),
            execution_options={"synchronize_session": False},
        )
    await session.execute(
        update(UpdateRow).where(UpdateRow.chat_id == old).values(chat_id=new),
        execution_options={"synchronize_session": False},
    )
    last_owed = select(func.coalesce(func.max(OwedRow.owed_id), 0)).where(OwedRow.chat_id == new)
    offset = (await session.scalars(last_owed)).one()
    await session.execute(
        update(OwedRow)
        .where(OwedRow.chat_id == old)
        .values(chat_id=new, owed_id=OwedRow.owed_id + offset),
        execution_options={"synchronize_session": False},
    )
    session.expire_all()
    await _note_move(session, old=old, new=new)


async def _note_move(session: AsyncSession, *, old: ChatId, new: ChatId) -> None:
    """Keep every earlier id pointing at the newest one."""
    await session.execute(
        update(MovedChatRow).where(MovedChatRow.new_chat_id == old).values(new_chat_id=new)
    )
    await session.merge(MovedChatRow(old_chat_id=old, new_chat_id=new))
    await session.flush()


async def _make_room(session: AsyncSession, *, old: ChatId, new: ChatId) -> None:
    """Fold the new chat's row, if the bot has met it already, into the old one's."""
    arrived = await session.get(GroupRow, new)
    if arrived is None:
        return
    if await session.scalar(select(exists().where(ChallengeRow.chat_id == new))):
        raise ChatsBothInUse(old=old, new=new)
    organisers = OrganiserRow.user_id
    known = select(organisers).where(OrganiserRow.chat_id == old)
    named = select(organisers).where(OrganiserRow.chat_id == new, organisers.not_in(known))
    session.add_all(
        [OrganiserRow(chat_id=old, user_id=user_id) for user_id in await session.scalars(named)]
    )
    left = await session.get_one(GroupRow, old)
    left.title, left.is_active, left.updated_at = (
        arrived.title or left.title,
        arrived.is_active,
        arrived.updated_at,
    )
    await session.flush()
    await session.execute(
        delete(GroupRow).where(GroupRow.chat_id == new),
        execution_options={"synchronize_session": False},
    )
