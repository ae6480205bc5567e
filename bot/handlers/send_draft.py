"""Send a draft as the folder of YAML files that `rungbell review` takes."""

from __future__ import annotations

import base64

from bot.calls import SendFile
from bot.draft_text import tell_next
from bot.drafting import challenge_of
from bot.handlers.at_desk import Writer
from bot.handlers.presses import Press
from content.bundle import pack


def send_draft(writer: Writer) -> None:
    """Owe the draft as a zip."""
    content = challenge_of(writer.draft)
    if content is None:
        told = tell_next(writer.say, writer.draft)
        writer.refuse(writer.say("write_not_complete", next=told))
        return
    writer.turn.owe(
        SendFile(
            writer.by.chat_id,
            "challenge.zip",
            base64.b64encode(pack(content)).decode(),
            encoding="base64",
            caption=str(writer.say("write_file_caption", title=content.head.title)),
        )
    )
    if isinstance(writer.by, Press):
        writer.turn.toast(writer.by.query_id)
