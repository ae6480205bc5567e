"""What an organiser does in the private chat with the bot, for tests of writing."""

from __future__ import annotations

import io
import zipfile

from bot.draft_values import Desk
from bot.rehearsal.files import Upload
from bot.rehearsal.people import Json
from bot.rehearsal.start import Rehearsal, quiet
from store import drafts
from store.values import ChatId
from tests.bot import acts

GOOD = "Round the pier\nAMRAP 12: 10 push-ups, 20 air squats"
UNSURE = "Round the pier\nAMRAP 12: 10 push-ups, 20 lunges"
UNKNOWN = "Round the pier\nAMRAP 12: 10 push-ups, 12 crab reaches"
REST = "rest day: Walk, sleep."


async def write(play: Rehearsal, text: str, name: str = "Ines") -> str:
    """Write to the bot in private; give all it answered."""
    return "\n".join(await acts.say(play, name, text, place=acts.person(play, name)))


async def write_all(play: Rehearsal, *texts: str, name: str = "Ines") -> str:
    """Write one after the other; give what was answered last."""
    said = ""
    for text in texts:
        said = await write(play, text, name)
    return said


async def a_draft(play: Rehearsal, *days: str, name: str = "Ines") -> str:
    """Write a draft with these days; an empty one is left out."""
    head = ("/write", "Harbour week", "Lisbon", f"/write days {len(days)}")
    return await write_all(play, *head, *filter(None, days), name=name)


def labels(play: Rehearsal, name: str = "Ines") -> list[str]:
    rows = with_buttons(play, name)["reply_markup"]["inline_keyboard"]
    return [button["text"] for row in rows for button in row]


def with_buttons(play: Rehearsal, name: str = "Ines") -> Json:
    """Give the last message with buttons in a person's private chat."""
    found = play.room.messages(acts.person(play, name))
    return [message for message in found if acts.keys(message)][-1]


async def tap(play: Rehearsal, label: str, name: str = "Ines") -> str:
    """Press the button with a label; give what its message says then, or the refusal."""
    person, message = acts.person(play, name), with_buttons(play, name)
    rows = message["reply_markup"]["inline_keyboard"]
    [data] = [b["callback_data"] for row in rows for b in row if b["text"] == label]
    toasts = await press_data(play, name, message, data)
    if toasts[-1:] not in ([], [""]):
        return toasts[-1]
    [now] = [
        each for each in play.room.messages(person) if each["message_id"] == message["message_id"]
    ]
    return str(now["text"])


async def press_data(play: Rehearsal, name: str, message: Json, data: str) -> list[str]:
    before = len(play.room.toasts)
    play.room.press(acts.person(play, name), message["chat"]["id"], message["message_id"], data)
    await quiet(play)
    return [toast.text for toast in play.room.toasts[before:]]


async def send(play: Rehearsal, file_name: str, data: bytes, *, caption: str | None = None) -> str:
    """Send a file in private; give what was answered."""
    upload = Upload(file_name, data)
    said = await acts.say(play, "Ines", place=play.coach, document=upload, caption=caption)
    return "\n".join(said)


async def desk(play: Rehearsal, name: str = "Ines") -> Desk:
    async with play.database.work() as session:
        kept = await drafts.draft_of(session, ChatId(acts.person(play, name).user_id))
    return Desk() if kept is None else Desk.model_validate_json(kept)


def a_zip(files: dict[str, bytes]) -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return written.getvalue()
