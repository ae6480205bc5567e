"""People: who takes part, who organises, whom one can write to in private."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, false, func, select

from store.errors import NoSuchChallenge
from store.groups import note_group
from store.hold import hold
from store.tables import (
    ChallengeRow,
    GroupRow,
    OrganiserRow,
    ParticipantRow,
    PrivateChatRow,
)
from store.values import ChatId, Joined, Participant

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Select
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, UserId

_CAN_WRITE_TO = func.coalesce(PrivateChatRow.can_write_to, false())


async def join(
    session: AsyncSession,
    *,
    chat_id: ChatId,
    challenge_id: ChallengeId,
    user_id: UserId,
    name: str,
    division: str,
    language: str,
    now: datetime,
) -> Joined:
    """Enter a person, or change the division, name and language of one who joined before.

    Returns:
        The participant, and the division before: None for a first joining, the same division if
        only the rest changed.

    Raises:
        NoSuchChallenge: There is none with this number.
    """
    await hold(session, chat_id)
    if await session.get(ChallengeRow, (chat_id, challenge_id)) is None:
        raise NoSuchChallenge(chat_id, challenge_id)
    row = await session.get(ParticipantRow, (chat_id, challenge_id, user_id))
    previous = None if row is None else row.division
    if row is None:
        row = ParticipantRow(
            chat_id=chat_id, challenge_id=challenge_id, user_id=user_id, joined_at=now
        )
        session.add(row)
    row.name, row.division, row.language = name, division, language
    await session.flush()
    return Joined(
        participant=_participant(row, can_write_to=await can_write_to(session, user_id)),
        previous_division=previous,
    )


async def participant(
    session: AsyncSession, *, chat_id: ChatId, challenge_id: ChallengeId, user_id: UserId
) -> Participant | None:
    """Return a person in a challenge, or None."""
    row = await session.get(ParticipantRow, (chat_id, challenge_id, user_id))
    if row is None:
        return None
    return _participant(row, can_write_to=await can_write_to(session, user_id))


async def participants(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId
) -> tuple[Participant, ...]:
    """Return the people in a challenge in the order they joined."""
    rows = await session.execute(
        select(ParticipantRow, _CAN_WRITE_TO)
        .outerjoin(PrivateChatRow, PrivateChatRow.chat_id == ParticipantRow.user_id)
        .where(ParticipantRow.chat_id == chat_id, ParticipantRow.challenge_id == challenge_id)
        .order_by(ParticipantRow.joined_at, ParticipantRow.user_id)
    )
    return tuple(_participant(row, can_write_to=can) for row, can in rows)


async def names_of_others(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId, user_id: UserId
) -> tuple[str, ...]:
    """Return the names of everybody else in a challenge."""
    names = await session.scalars(
        select(ParticipantRow.name).where(
            ParticipantRow.chat_id == chat_id,
            ParticipantRow.challenge_id == challenge_id,
            ParticipantRow.user_id != user_id,
        )
    )
    return tuple(names)


async def mark_can_write_to(session: AsyncSession, user_id: UserId, *, can: bool) -> None:
    """Remember whether the person has opened a private chat, or has closed it to the bot.

    Holds for all challenges of the person, those joined later too.
    """
    chat_id = ChatId(user_id)  # a private chat has its person's id
    await hold(session, chat_id)
    row = await session.get(PrivateChatRow, chat_id)
    if row is None:
        session.add(PrivateChatRow(chat_id=chat_id, can_write_to=can))
    else:
        row.can_write_to = can
    await session.flush()


async def add_organiser(
    session: AsyncSession, *, chat_id: ChatId, user_id: UserId, now: datetime
) -> None:
    """Name a person as organiser of a group; again changes nothing."""
    await hold(session, chat_id)
    if await session.get(GroupRow, chat_id) is None:
        await note_group(session, chat_id, "", is_active=True, now=now)
    if await session.get(OrganiserRow, (chat_id, user_id)) is None:
        session.add(OrganiserRow(chat_id=chat_id, user_id=user_id))
        await session.flush()


async def remove_organiser(session: AsyncSession, *, chat_id: ChatId, user_id: UserId) -> bool:
    """Name a person as organiser of a group no longer. False: the person was not named."""
    removed = await session.execute(
        delete(OrganiserRow)
        .where(OrganiserRow.chat_id == chat_id, OrganiserRow.user_id == user_id)
        .returning(OrganiserRow.user_id)
    )
    return removed.one_or_none() is not None


async def organisers(session: AsyncSession, chat_id: ChatId) -> tuple[tuple[UserId, bool], ...]:
    """Return the people named as organisers, by id, each with whether one can write to them."""
    query: Select[UserId, bool] = (
        select(OrganiserRow.user_id, _CAN_WRITE_TO)
        .outerjoin(PrivateChatRow, PrivateChatRow.chat_id == OrganiserRow.user_id)
        .where(OrganiserRow.chat_id == chat_id)
        .order_by(OrganiserRow.user_id)
    )
    return tuple((user_id, can) for user_id, can in await session.execute(query))


async def groups_organised(
    session: AsyncSession, user_id: UserId
) -> tuple[tuple[ChatId, str], ...]:
    """Return the groups a person is named as organiser of, with their titles, by title.

    Left out are those the bot cannot write to. Whether the person still may, the platform says.
    """
    query: Select[ChatId, str] = (
        select(GroupRow.chat_id, GroupRow.title)
        .join(OrganiserRow, OrganiserRow.chat_id == GroupRow.chat_id)
        .where(OrganiserRow.user_id == user_id, GroupRow.is_active.is_(True))
        .order_by(GroupRow.title, GroupRow.chat_id)
    )
    return tuple((chat_id, title) for chat_id, title in await session.execute(query))


async def can_write_to(session: AsyncSession, user_id: UserId) -> bool:
    """Say whether a person has opened a private chat with the bot."""
    row = await session.get(PrivateChatRow, ChatId(user_id))
    return row is not None and row.can_write_to


def _participant(row: ParticipantRow, *, can_write_to: bool) -> Participant:
    return Participant(
        chat_id=row.chat_id,
        challenge_id=row.challenge_id,
        user_id=row.user_id,
        name=row.name,
        division=row.division,
        language=row.language,
        joined_at=row.joined_at,
        can_write_to=can_write_to,
    )
