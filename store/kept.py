"""Everything that is kept about one person, for the person."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import String, cast, or_, select

from store.tables import (
    AskRow,
    Base,
    ChallengeRow,
    ChangeRow,
    DraftRow,
    OrganiserRow,
    OwedRow,
    ParticipantRow,
    PlanChangeRow,
    PrivateChatRow,
    ResultRow,
    UpdateRow,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import UserId

Rows = list[dict[str, Any]]


async def kept_about(session: AsyncSession, user_id: UserId) -> dict[str, Rows]:
    """Return every row about a person, by table; instants aware, UTC.

    What others wrote is theirs: an update counts when the person sent it, and of changes that the
    person made to the results of others the results are left out.
    """
    conditions: dict[type[Base], ColumnElement[bool]] = {
        ParticipantRow: ParticipantRow.user_id == user_id,
        ResultRow: ResultRow.user_id == user_id,
        ChangeRow: or_(ChangeRow.user_id == user_id, ChangeRow.by == user_id),
        AskRow: AskRow.user_id == user_id,
        PrivateChatRow: PrivateChatRow.chat_id == user_id,
        OrganiserRow: OrganiserRow.user_id == user_id,
        OwedRow: OwedRow.chat_id == user_id,
        ChallengeRow: ChallengeRow.organiser_id == user_id,
        PlanChangeRow: PlanChangeRow.by == user_id,
        DraftRow: DraftRow.chat_id == user_id,
    }
    found: dict[str, Rows] = {}
    for kind, condition in conditions.items():
        rows = await session.scalars(
            select(kind).where(condition).order_by(*kind.__table__.primary_key)
        )
        found[kind.__tablename__] = [_row(row) for row in rows]
    for row in found["challenges"]:
        del row["content"]  # the programme, which says nothing about anybody
    for row in found["result_changes"]:
        if row["user_id"] != user_id:
            del row["before"], row["after"], row["user_id"]
    about = await updates_about(session, user_id, ())
    found["inbox"] = [_row(row) for row in about if _sender(row) == user_id]
    return found


def _sender(row: UpdateRow) -> object:
    """Give the id of whoever sent an update; None if it does not say."""
    for body in json.loads(row.payload).values():
        if isinstance(body, dict) and isinstance(sender := body.get("from"), dict):
            return sender.get("id")
    return None


async def updates_about(
    session: AsyncSession, user_id: UserId, names: Iterable[str]
) -> list[UpdateRow]:
    """Return the raw updates in which a person, or one of these names, appears.

    The database narrows them down by digits and letters; what a number or a text means, the JSON
    says. Names are looked for as they are written in JSON, which is how updates are stored.
    """
    names = tuple(names)
    spelt = [str(user_id), *(json.dumps(name)[1:-1] for name in names)]
    payload = cast(UpdateRow.payload, String)
    rows = await session.scalars(
        select(UpdateRow)
        .where(or_(*(payload.contains(part, autoescape=True) for part in spelt)))
        .order_by(UpdateRow.update_id)
    )
    return [row for row in rows if _appears(json.loads(row.payload), user_id, names)]


def _appears(value: object, user_id: UserId, names: tuple[str, ...]) -> bool:
    match value:
        case {"id": int() as found} if found == user_id:
            return True
        case dict():
            return any(_appears(each, user_id, names) for each in value.values())
        case list():
            return any(_appears(each, user_id, names) for each in value)
        case str():
            return any(name in value for name in names)
    return False


def _row(row: Base) -> dict[str, Any]:
    return {column.name: getattr(row, column.name) for column in row.__table__.columns}
