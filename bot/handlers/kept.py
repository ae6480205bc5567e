"""What is kept about a person: as a file for them, and its deletion after a second press."""

from __future__ import annotations

import json
from datetime import date, datetime
from enum import IntEnum

from markupsafe import Markup
from telegram import Update

from bot.calls import Button, Rows, SendFile
from bot.handlers.presses import data, press
from bot.running import Running
from bot.speaker import spoken
from bot.turn import Turn
from bot.wording import Wording
from store import challenges
from store.kept import kept_about
from store.leaving import leave
from store.values import UserId

_FILE = "rungbell-kept-about-me.json"


class Wish(IntEnum):
    """What a button asks for."""

    KEEP = 0
    DELETE = 1
    DELETE_FOR_SURE = 2


async def on_kept(update: Update, turn: Turn) -> None:
    """Give a person everything that is kept about them, with a button to delete it."""
    if (said := spoken(update)) is None:
        return
    say = Wording()
    if not said.is_private:
        turn.reply(said, say("kept_in_private", name=said.name))
        return
    found = await kept_about(turn.session, UserId(said.user_id))
    if not any(rows for table, rows in found.items() if table != "inbox"):
        turn.reply(said, say("kept_nothing"))
        return
    turn.owe(SendFile(said.chat_id, _FILE, _as_file(found), str(say("kept_caption"))))
    titles = ", ".join(each.stored.title for each in await _joined(turn, said.user_id))
    text = say("kept_summary", challenges=titles) if titles else say("kept_summary_none")
    buttons = _buttons(said.user_id, ("button_kept_delete", Wish.DELETE))
    turn.say(said.chat_id, text, buttons=buttons)


async def on_kept_button(update: Update, turn: Turn) -> None:
    """Ask once more, delete, or leave it: `f:<person>:<wish>`."""
    if (pressed := press(update)) is None:
        return
    say, numbers = Wording(), pressed.numbers(2)
    if numbers is None or numbers[1] not in {*Wish}:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    if not pressed.user_id == pressed.chat_id == numbers[0]:
        turn.toast(pressed.query_id, say("not_your_button"))
        return
    turn.toast(pressed.query_id)
    buttons: Rows = ()
    match Wish(numbers[1]):
        case Wish.DELETE:
            joined = await _joined(turn, pressed.user_id)
            places = "".join(f"\n\n{_what_becomes_of(each)}" for each in joined)
            text = say("kept_sure", places=Markup(places))  # noqa: S704 - escaped line by line
            buttons = _buttons(
                pressed.user_id,
                ("button_kept_yes", Wish.DELETE_FOR_SURE),
                ("button_kept_no", Wish.KEEP),
            )
        case Wish.DELETE_FOR_SURE:
            await _delete(turn, UserId(pressed.user_id))
            text = say("kept_deleted")
        case Wish.KEEP:
            text = say("kept_stays")
    turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)


async def _delete(turn: Turn, user_id: UserId) -> None:
    joined = await _joined(turn, user_id)
    await leave(
        turn.session,
        user_id,
        keep={(each.stored.chat_id, each.stored.challenge_id) for each in joined if _keeps(each)},
        name=str(Wording()("nobodys_name")),
        now=turn.now,
        handling=turn.open.update_id,
    )


async def _joined(turn: Turn, user_id: int) -> list[Running]:
    """Give every challenge the person has joined, ended ones too."""
    stored = await challenges.challenges_of_person(turn.session, UserId(user_id), ended_too=True)
    return [await turn.open.shelf.open(turn.session, each) for each in stored]


def _keeps(running: Running) -> bool:
    return running.content.head.leaving == "keep_place"


def _what_becomes_of(running: Running) -> Markup:
    key = "kept_keeps_place" if _keeps(running) else "kept_removes"
    return running.say(key, title=running.content.head.title)


def _buttons(user_id: int, *wishes: tuple[str, Wish]) -> Rows:
    say = Wording()
    return tuple((Button(str(say(key)), data("f", user_id, int(wish))),) for key, wish in wishes)


def _as_file(found: object) -> str:
    """Write rows as JSON that people can read; half a sign becomes "?"."""
    text = json.dumps(found, ensure_ascii=False, indent=1, default=_plain)
    return text.encode("utf-8", "replace").decode()


def _plain(value: object) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} is no plain value")
