"""A person leaves and takes along all that is kept about them.

Where a challenge keeps the place, a result stays with its score and nobody's name: whoever ranked
behind it stays there. Such a place has a number below zero instead of a person's id. Elsewhere the
places close up, as if the person had not taken part.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import and_, delete, false, func, or_, select, update

from store.hold import hold
from store.kept import updates_about
from store.tables import (
    AskRow,
    ChallengeRow,
    ChangeRow,
    DraftRow,
    OrganiserRow,
    OwedRow,
    ParticipantRow,
    PlanChangeRow,
    PrivateChatRow,
    ResultRow,
)
from store.values import ChallengeId, ChatId, UserId

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import UpdateId

NOBODY = UserId(0)
_NO_MESSAGE = {"message_chat_id": ChatId(0), "message_id": 0}
_BLIND = {"synchronize_session": False}  # rows are read anew at the end

Place = tuple[ChatId, ChallengeId]


async def leave(
    session: AsyncSession,
    user_id: UserId,
    *,
    keep: Collection[Place],
    name: str,
    now: datetime,
    handling: UpdateId | None = None,
) -> None:
    """Delete a person, with names, words and history, from everything.

    What others wrote is theirs and stays with their results. Updates that are still to be handled
    stay until then.

    Args:
        session: An open unit of work.
        user_id: Whose data goes.
        keep: Challenges in which the results stay as those of nobody.
        name: What such a place is called from now on.
        now: When the questions that were open are closed.
        handling: The update that says so; it is emptied too and then marked done by its handler.
    """
    taken = (
        await session.execute(
            select(ParticipantRow.chat_id, ParticipantRow.challenge_id, ParticipantRow.name)
            .where(ParticipantRow.user_id == user_id)
            .order_by(ParticipantRow.chat_id, ParticipantRow.challenge_id)
        )
    ).all()
    for chat_id, challenge_id, _ in taken:
        await hold(session, chat_id)
        if (chat_id, challenge_id) in keep:
            await _make_nobodys(session, (chat_id, challenge_id), user_id, name)
    await session.execute(
        delete(ParticipantRow).where(ParticipantRow.user_id == user_id), execution_options=_BLIND
    )
    await _forget_roles(session, user_id)
    # A short name is part of too many words to be looked for.
    names = {own for *_, own in taken if len(own) > 1}
    await _wipe_asks(session, user_id, names, now)
    await _wipe_updates(session, user_id, names, handling)
    session.expire_all()


async def _make_nobodys(session: AsyncSession, place: Place, user_id: UserId, name: str) -> None:
    """Take the person from their results: no name, no words, no message to find them by."""
    chat_id, challenge_id = place
    lowest = await session.scalar(
        select(func.coalesce(func.min(ParticipantRow.user_id), 0)).where(
            ParticipantRow.chat_id == chat_id, ParticipantRow.challenge_id == challenge_id
        )
    )
    bare = {"raw_text": "", "effort": None, "load_g": None, "mark": None, **_NO_MESSAGE}
    # The foreign keys carry the new number to the results.
    nobody = {"user_id": min(lowest or 0, 0) - 1, "name": name, "language": ""}
    for each in (
        delete(ChangeRow).where(_is_theirs(ChangeRow, place, user_id)),
        update(ResultRow).where(_is_theirs(ResultRow, place, user_id)).values(bare),
        update(ParticipantRow).where(_is_theirs(ParticipantRow, place, user_id)).values(nobody),
    ):
        await session.execute(each, execution_options=_BLIND)


def _is_theirs(
    kind: type[ChangeRow | ResultRow | ParticipantRow], place: Place, user_id: UserId
) -> ColumnElement[bool]:
    return and_(kind.chat_id == place[0], kind.challenge_id == place[1], kind.user_id == user_id)


async def _forget_roles(session: AsyncSession, user_id: UserId) -> None:
    for each in (
        delete(OrganiserRow).where(OrganiserRow.user_id == user_id),
        delete(PrivateChatRow).where(PrivateChatRow.chat_id == user_id),
        delete(OwedRow).where(OwedRow.chat_id == user_id),
        delete(DraftRow).where(DraftRow.chat_id == user_id),
        update(ChallengeRow)
        .where(ChallengeRow.organiser_id == user_id)
        .values(organiser_id=NOBODY),
        update(ChangeRow).where(ChangeRow.by == user_id).values(by=NOBODY),
        update(PlanChangeRow).where(PlanChangeRow.by == user_id).values(by=NOBODY, by_name=""),
    ):
        await session.execute(each, execution_options=_BLIND)


async def _wipe_asks(
    session: AsyncSession, user_id: UserId, names: Collection[str], now: datetime
) -> None:
    """Empty the person's questions, and settled ones that name them; their numbers stay.

    So no button of theirs ever means a later question.
    """
    named = [AskRow.raw_text.contains(name, autoescape=True) for name in names]
    named += [AskRow.choices.contains(json.dumps(name)[1:-1], autoescape=True) for name in names]
    named += [AskRow.choices.contains(name, autoescape=True) for name in names]
    theirs = AskRow.user_id == user_id
    empty = {"choices": "[]", "raw_text": ""}
    for each in (
        update(AskRow)
        .where(and_(AskRow.closed_at.is_not(None), or_(false(), *named)))
        .values(empty),
        update(AskRow)
        .where(theirs)
        .values(
            closed_at=func.coalesce(AskRow.closed_at, now),
            user_id=NOBODY,
            **empty,
            **_NO_MESSAGE,
        ),
    ):
        await session.execute(each, execution_options=_BLIND)


async def _wipe_updates(
    session: AsyncSession, user_id: UserId, names: Collection[str], handling: UpdateId | None
) -> None:
    """Empty the updates that are handled; their ids stay, so that none is handled again."""
    for row in await updates_about(session, user_id, names):
        if row.done_at is None and row.set_aside_at is None and row.update_id != handling:
            continue
        row.payload, row.error = "{}", None
        if row.chat_id == ChatId(user_id):
            row.chat_id = ChatId(NOBODY)
    await session.flush()
