"""Methods about getting updates: long polls and the webhook, and the delivery to a webhook."""

from __future__ import annotations

import asyncio
import re
from typing import Annotated, Final
from urllib.parse import urlsplit

import httpx

from bot.rehearsal.errors import bad_request
from bot.rehearsal.method import Method, Nothing, by_name
from bot.rehearsal.people import Json
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import AsJson, Boolean, Integer, Shape
from bot.rehearsal.updates import MOST_AT_ONCE, Update

LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")
_SHORTEST_WAIT_S: Final = 1.0  # Bot API server: repeats at once, then with doubling waits
_LONGEST_WAIT_S: Final = 60.0
_SECRET_HEADER: Final = "X-Telegram-Bot-Api-Secret-Token"  # noqa: S105 - a header's name


class GetUpdates(Shape):
    """Parameters of getUpdates."""

    offset: Integer = 0
    limit: Integer = MOST_AT_ONCE
    timeout: Integer = 0
    allowed_updates: Annotated[list[str] | None, AsJson] = None


class DeleteWebhook(Shape):
    """Parameters of deleteWebhook."""

    drop_pending_updates: Boolean = False


class SetWebhook(DeleteWebhook):
    """Parameters of setWebhook."""

    url: str
    max_connections: Integer | None = None
    allowed_updates: Annotated[list[str] | None, AsJson] = None
    secret_token: str | None = None


async def get_updates(room: Room, wish: GetUpdates) -> list[Update]:
    """Give what waits, or wait for it; which kinds is remembered until told otherwise."""
    if wish.allowed_updates is not None and not room.updates.webhook_url:
        room.updates.allowed = tuple(wish.allowed_updates)
    return await room.updates.poll(offset=wish.offset, limit=wish.limit, timeout_s=wish.timeout)


def set_webhook(room: Room, wish: SetWebhook) -> bool:
    """Deliver to a URL from now on. Plain HTTP is fine here, and nothing leaves this machine."""
    if wish.url and (
        urlsplit(wish.url).hostname not in LOOPBACK
        or urlsplit(wish.url).scheme not in ("http", "https")
    ):
        raise bad_request("bad webhook: the rehearsal delivers to this machine only")
    if wish.secret_token and not re.fullmatch(r"[A-Za-z0-9_-]{1,256}", wish.secret_token):
        raise bad_request("secret token contains unallowed characters")
    if not 1 <= (wish.max_connections or 1) <= 100:  # noqa: PLR2004 - Bot API, setWebhook
        raise bad_request("max_connections must be from 1 to 100")
    if wish.allowed_updates is not None:
        room.updates.allowed = tuple(wish.allowed_updates)
    if wish.drop_pending_updates:
        room.updates.drop_pending()
    room.updates.set_webhook(wish.url, secret_token=wish.secret_token or "")
    return True


def delete_webhook(room: Room, wish: DeleteWebhook) -> bool:
    """Go back to long polls."""
    if wish.drop_pending_updates:
        room.updates.drop_pending()
    room.updates.set_webhook("")
    return True


def get_webhook_info(room: Room, _: Nothing) -> Json:
    """Tell how delivery goes."""
    updates = room.updates
    info: Json = {
        "url": updates.webhook_url,
        "has_custom_certificate": False,
        "pending_update_count": len(updates.pending),
    }
    if updates.allowed:
        info["allowed_updates"] = list(updates.allowed)
    if updates.last_error:
        info["last_error_date"], info["last_error_message"] = updates.last_error
    return info


async def deliver_to_webhook(room: Room) -> None:
    """Send updates to the webhook whenever there is one. Never ends."""
    while True:
        while not room.updates.webhook_url:
            await room.updates.wait_for_change()
        async with httpx.AsyncClient(trust_env=False) as client:
            await _deliver_all(client, room)


async def _deliver_all(client: httpx.AsyncClient, room: Room) -> None:
    """Send one update at a time, repeating until it is taken, as long as there is a webhook."""
    updates = room.updates
    wait_s = 0.0
    while updates.webhook_url:
        if not updates.pending:
            await updates.wait_for_change()
            continue
        update = updates.pending[0]
        error = await _deliver(client, room, update)
        if error is None:
            wait_s = 0.0
            updates.take(update)
        else:
            updates.last_error = (room.now_s(), error)
            await asyncio.sleep(wait_s)
            wait_s = min(max(wait_s * 2, _SHORTEST_WAIT_S), _LONGEST_WAIT_S)


async def _deliver(client: httpx.AsyncClient, room: Room, update: Update) -> str | None:
    """Send one update and give what went wrong, or None."""
    secret = room.updates.secret_token
    headers = {_SECRET_HEADER: secret} if secret else {}
    try:
        answer = await client.post(room.updates.webhook_url, json=update, headers=headers)
    except httpx.HTTPError as exc:
        return f"Connection failed: {type(exc).__name__}"
    if answer.is_success:
        return None
    return f"Wrong response from the webhook: {answer.status_code} {answer.reason_phrase}"


METHODS = by_name(
    Method("getUpdates", GetUpdates, get_updates),
    Method("setWebhook", SetWebhook, set_webhook),
    Method("deleteWebhook", DeleteWebhook, delete_webhook),
    Method("getWebhookInfo", Nothing, get_webhook_info),
)
