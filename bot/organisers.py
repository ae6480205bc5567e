"""Tell a group's organisers something in private."""

from __future__ import annotations

import logging

from markupsafe import Markup
from sqlalchemy.ext.asyncio import AsyncSession

from bot.calls import Call, Rows, Say
from store import people
from store.values import ChatId

log = logging.getLogger(__name__)


async def to_organisers(
    session: AsyncSession, chat_id: ChatId, text: Markup, *, buttons: Rows = ()
) -> list[Call]:
    """Give a private message for every organiser who has opened a chat with the bot."""
    calls: list[Call] = [
        Say(user_id, str(text), buttons=buttons, quiet=False)
        for user_id, can_write_to in await people.organisers(session, chat_id)
        if can_write_to
    ]
    if not calls:
        log.warning("no organiser of chat %s can be written to", chat_id)
    return calls
