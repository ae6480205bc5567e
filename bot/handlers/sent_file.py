"""A file that an organiser sends in private: shorthand, a day, or a whole challenge as a zip."""

from __future__ import annotations

import re
from pathlib import PurePosixPath

from telegram import Update

from bot.draft_text import tell_invalid, tell_unfit
from bot.draft_values import CHANGE, Awaited
from bot.drafting import draft_of, put_day
from bot.handlers import score
from bot.handlers.at_desk import Writer, desk_of, key
from bot.handlers.change_day import take_change_file, target_of
from bot.handlers.write_day import show_day, take_day
from bot.handlers.write_head import show_draft
from bot.received_file import NoFile, is_ours
from bot.speaker import Spoken, sent_file
from bot.turn import Turn
from content.bundle import read_bundle, read_day, read_text
from content.errors import ContentInvalid, FileRefused, Unfit
from content.loading import movement_library

_DAY = re.compile(r"(?:/?write\s+)?(?:day\s+)?(\d{1,3})", re.IGNORECASE)
_DAY_NAME = re.compile(r"day-(\d{1,3})\.(?:ya?ml|txt)")


async def on_file(update: Update, turn: Turn) -> None:
    """Take a file of a kind we know; whatever else was sent is left to the reader of messages."""
    message = update.effective_message
    document = message.document if message is not None else None
    said = sent_file(update)
    if document is None or said is None or not said.is_private:
        await score.on_message(update, turn)
        return
    writer = Writer(turn, said, await desk_of(turn, said.user_id))
    if not is_ours(document.file_name):
        await _not_ours(update, writer, said)
        return
    name = (document.file_name or "").lower()
    if isinstance(turn.open.file, NoFile):
        why = Unfit.SIZE if turn.open.file is NoFile.SIZE else turn.open.file
        writer.tell(writer.say(f"file_no_{why}", name=name[:80], most=1024))
        return
    try:
        await _take(writer, said, name, turn.open.file)
    except FileRefused as error:
        writer.tell(tell_unfit(writer.say, error))
    except ContentInvalid as error:
        writer.tell(tell_invalid(writer.say, error))


async def _not_ours(update: Update, writer: Writer, said: Spoken) -> None:
    """Leave a file alone that holds nothing for us; say so where a day was asked for."""
    if not said.text and writer.desk.awaited(writer.turn.now) is not None:
        writer.tell(writer.say("file_no_kind"))
    else:
        await score.on_message(update, writer.turn)


async def _take(writer: Writer, said: Spoken, name: str, data: bytes) -> None:
    suffix = PurePosixPath(name).suffix
    if suffix == ".zip":
        await _take_challenge(writer, data)
        return
    number = _day_meant(writer, said, name)
    if number is None:
        writer.tell(writer.say("file_which_day"))
    elif suffix == ".txt":
        await take_day(writer, number, read_text(data))
    elif number == CHANGE:
        running = await target_of(writer)
        if running is None:
            writer.tell(writer.say("plan_change_over"))
            return
        shipped = movement_library()
        own = [each for key, each in running.content.movements.items() if key not in shipped]
        await take_change_file(writer, read_day(data, running.content.head, own))
    elif not 1 <= number <= len(writer.draft.days):
        count = len(writer.draft.days)
        writer.tell(writer.say("write_no_such_day", day=number, days=count))
    else:
        day = read_day(data, writer.draft.head, writer.draft.movements)
        writer = await writer.put(put_day(writer.draft, number, day))
        await show_day(writer, number)


def _day_meant(writer: Writer, said: Spoken, name: str) -> int | None:
    """Give the day by the caption, else by what was asked for, else by the file's name."""
    if (found := _DAY.fullmatch(said.text.strip())) is not None:
        return int(found[1])
    waits = writer.desk.awaited(writer.turn.now)
    if waits is not None and waits.what is Awaited.DAY and not said.text.strip():
        return waits.day
    found = _DAY_NAME.fullmatch(name)
    return int(found[1]) if found is not None else None


async def _take_challenge(writer: Writer, data: bytes) -> None:
    """Make a draft of it; one that is there already is not thrown away for it."""
    draft = writer.desk.draft
    if draft is not None and any(not each.is_blank for each in draft.days):
        discard = key("discard", writer.say("button_write_discard"))
        writer.tell(writer.say("file_draft_there"), buttons=((discard,),))
        return
    bundle = read_bundle(data)
    writer = await writer.put(draft_of(bundle.content, bundle.own))
    count = len(bundle.content.days)
    await show_draft(writer, writer.say("file_taken", count=count))
