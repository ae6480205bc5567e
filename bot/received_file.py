"""Fetch the file that somebody sent to the bot, before a transaction opens."""

from __future__ import annotations

import logging
from enum import StrEnum
from pathlib import PurePosixPath
from typing import Any

from telegram import Bot
from telegram.error import TelegramError

from content.bundle import MOST_ZIP_BYTES

log = logging.getLogger(__name__)

KINDS = (".txt", ".yaml", ".yml", ".zip")


class NoFile(StrEnum):
    """Why there are no bytes. All but NONE have a text "file_no_..."."""

    NONE = "none"  # no file of a kind that we take came
    SIZE = "size"
    FETCH = "fetch"


def is_ours(name: str | None) -> bool:
    """Say whether a file of this name is of a kind that we take."""
    return PurePosixPath(name or "").suffix.lower() in KINDS


async def received_file(bot: Bot, raw: dict[str, Any]) -> bytes | NoFile:
    """Fetch what came with an update, if it came in private and is of a kind and size we take.

    What the platform says of its size is not believed: no more is kept than we take.
    """
    message = raw.get("message") or {}
    document = message.get("document")
    if not document or message.get("chat", {}).get("type") != "private":
        return NoFile.NONE
    if not is_ours(document.get("file_name")):
        return NoFile.NONE
    if int(document.get("file_size") or 0) > MOST_ZIP_BYTES:
        return NoFile.SIZE
    try:
        file = await bot.get_file(document["file_id"])
        data = bytes(await file.download_as_bytearray())
    except TelegramError as error:
        log.warning("a file was not fetched: %s", type(error).__name__)
        return NoFile.FETCH
    return NoFile.SIZE if len(data) > MOST_ZIP_BYTES else data
