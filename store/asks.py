"""Questions put to people: at most one open per person and chat, each answered once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, exists, func, select, update
from sqlalchemy.orm import aliased

from store.hold import hold
from store.tables import AskRow, to_value
from store.values import Ask

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId, UserId


async def open_ask(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    user_id: UserId,
    day_number: int,
    kind: str,
    choices: str,
    raw_text: str,
    message_chat_id: ChatId,
    message_id: int,
    said_at: datetime,
    now: datetime,
) -> Ask:
    """Open a question and close the person's older ones in this chat.

    The arguments are as in `values.Ask`.
    """
    await hold(session, chat_id)
    await session.execute(
        update(AskRow)
        .where(AskRow.chat_id == chat_id, AskRow.user_id == user_id, AskRow.closed_at.is_(None))
        .values(closed_at=now)
    )
    last = select(func.coalesce(func.max(AskRow.ask_id), 0)).where(AskRow.chat_id == chat_id)
    row = AskRow(
        chat_id=chat_id,
        ask_id=(await session.scalars(last)).one() + 1,
        challenge_id=challenge_id,
        user_id=user_id,
        day_number=day_number,
        kind=kind,
        choices=choices,
        raw_text=raw_text,
        message_chat_id=message_chat_id,
        message_id=message_id,
        said_at=said_at,
        asked_at=now,
        closed_at=None,
    )
    session.add(row)
    await session.flush()
    return to_value(Ask, row)


async def ask_by_id(session: AsyncSession, chat_id: ChatId, ask_id: int) -> Ask | None:
    """Return a question, open or closed."""
    row = await session.get(AskRow, (chat_id, ask_id))
    return None if row is None else to_value(Ask, row)


async def open_ask_of(session: AsyncSession, chat_id: ChatId, user_id: UserId) -> Ask | None:
    """Return the question a person has not answered yet."""
    row = await session.scalar(
        select(AskRow).where(
            AskRow.chat_id == chat_id, AskRow.user_id == user_id, AskRow.closed_at.is_(None)
        )
    )
    return None if row is None else to_value(Ask, row)


async def close_ask(session: AsyncSession, chat_id: ChatId, ask_id: int, now: datetime) -> bool:
    """Close a question. False: it was closed already (a button pressed twice), or is not there."""
    await hold(session, chat_id)  # before the row: what the answer says is recorded there next
    closed = await session.execute(
        update(AskRow)
        .where(AskRow.chat_id == chat_id, AskRow.ask_id == ask_id, AskRow.closed_at.is_(None))
        .values(closed_at=now)
        .returning(AskRow.ask_id)
    )
    return closed.one_or_none() is not None


async def close_asks_of_day(
    session: AsyncSession,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    day_number: int,
    *,
    keep: str,
    now: datetime,
) -> tuple[Ask, ...]:
    """Close the open questions about a day, except those of one kind, and return them."""
    rows = (
        await session.scalars(
            select(AskRow).where(
                AskRow.chat_id == chat_id,
                AskRow.challenge_id == challenge_id,
                AskRow.day_number == day_number,
                AskRow.kind != keep,
                AskRow.closed_at.is_(None),
            )
        )
    ).all()
    for row in rows:
        row.closed_at = now
    await session.flush()
    return tuple(to_value(Ask, row) for row in rows)


async def trim_asks(session: AsyncSession, before: datetime) -> None:
    """Delete questions asked before an instant, open ones too: they hold people's words.

    The last one of a chat stays, closed and without words. The next one counts on from it, so that
    a button of a deleted question never means a newer one.
    """
    later = aliased(AskRow)
    await session.execute(
        delete(AskRow).where(
            AskRow.asked_at < before,
            exists().where(later.chat_id == AskRow.chat_id, later.ask_id > AskRow.ask_id),
        ),
        execution_options={"synchronize_session": False},
    )
    await session.execute(
        update(AskRow)
        .where(AskRow.asked_at < before)
        .values(
            closed_at=func.coalesce(AskRow.closed_at, AskRow.asked_at), choices="[]", raw_text=""
        ),
        execution_options={"synchronize_session": False},
    )
    session.expire_all()
