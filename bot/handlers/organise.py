"""What an organiser does: begin and finish; and whether somebody is one."""

from __future__ import annotations

from datetime import date, datetime

from telegram import Update

from bot.calls import Button
from bot.handlers.begin import (
    announce,
    begin_challenge,
    full_date_text,
    offered_date,
)
from bot.handlers.begin_draft import draft_offer
from bot.handlers.presses import Press, data, press
from bot.handlers.replan import note_change
from bot.handlers.score import argument, refuse_unknown
from bot.running import Running
from bot.speaker import Spoken, spoken
from bot.timetable import earliest_date
from bot.turn import Turn
from bot.wording import Wording, lines
from content.challenge import Challenge as Content
from store import challenges, groups, people
from store.values import ChatId, UserId

# The commands that need to know the group's administrators before a transaction opens.
COMMANDS = ("begin", "plan", "write", "norep", "reinstate", "finish", "help")
BUTTONS = ("b", "d", "k", "l")


class Organiser:
    """Handlers for administrators; `content` is the challenge that /begin offers."""

    def __init__(self, content: Content) -> None:
        self._content = content

    async def on_begin(self, update: Update, turn: Turn) -> None:
        """Offer to start the challenge; the button says the date."""
        if (said := _by_administrator(update, turn)) is None:
            return
        await _note_organiser(update, turn, said)
        running = await turn.open.shelf.of_chat(turn.session, ChatId(said.chat_id))
        if running is not None:
            title = running.content.head.title
            turn.reply(said, running.say("begin_running", title=title))
            return
        say, head = Wording(self._content.head.language), self._content.head
        start = self._start_date(argument(said.text), turn.now)
        if start is None:
            example = earliest_date(self._content.head, turn.now).isoformat()
            turn.reply(said, say("begin_bad_date", text=argument(said.text), example=example))
            return
        text = say(
            "begin_offer",
            title=head.title,
            days=len(self._content.days),
            date=full_date_text(start),
            time=head.times.post,
            zone=head.time_zone,
        )
        label = str(say("button_begin", date=full_date_text(start)).unescape())
        rows = [(Button(label, data("b", start.toordinal())),)]
        own = await draft_offer(turn, said.user_id, said.chat_id, start)
        if own is not None:
            text = lines([text, say("begin_offer_draft")])
            rows.append((own,))
        turn.reply(said, text, buttons=tuple(rows))

    def _start_date(self, text: str, now: datetime) -> date | None:
        """Read the date behind /begin; without one, the earliest. None if it will not do."""
        if not text:
            return earliest_date(self._content.head, now)
        try:
            wanted = date.fromisoformat(text)
        except ValueError:
            return None
        return offered_date(self._content, wanted.toordinal(), now)

    async def on_begin_button(self, update: Update, turn: Turn) -> None:
        """Start the challenge on the button's date: `b:<date as a number>`."""
        if (pressed := press(update)) is None:
            return
        say = Wording(self._content.head.language)
        numbers = pressed.numbers(1)
        if not turn.open.rights.is_administrator(pressed.chat_id, pressed.user_id):
            turn.toast(pressed.query_id, say("admin_only"))
            return
        running = await turn.open.shelf.of_chat(turn.session, ChatId(pressed.chat_id))
        if running is not None or numbers is None:
            turn.toast(pressed.query_id, say("stale_button"))
            return
        start = offered_date(self._content, numbers[0], turn.now)
        if start is None:
            turn.toast(pressed.query_id, say("stale_button"))
            return
        turn.toast(pressed.query_id)
        chat = update.effective_chat
        title = (chat.title if chat is not None else None) or ""
        await groups.note_group(
            turn.session, ChatId(pressed.chat_id), title, is_active=True, now=turn.now
        )
        await self._begin(turn, pressed, start)

    async def _begin(self, turn: Turn, pressed: Press, start: date) -> None:
        running = await begin_challenge(
            turn,
            self._content,
            chat_id=pressed.chat_id,
            organiser_id=pressed.user_id,
            organiser_name=pressed.name,
            start=start,
            thread_id=pressed.thread_id,
        )
        text, buttons = await announce(turn, running)
        turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)

    async def on_finish(self, update: Update, turn: Turn) -> None:
        """End the challenge; everything recorded stays."""
        if (found := await asked_by_administrator(update, turn)) is None:
            return
        said, running = found
        stored = running.stored
        await challenges.end_challenge(turn.session, stored.chat_id, stored.challenge_id, turn.now)
        await note_change(
            turn,
            running,
            user_id=said.user_id,
            name=said.name,
            what=running.say("plan_did_finished").striptags(),
        )
        turn.reply(said, running.say("finished", title=running.content.head.title))


async def _note_organiser(update: Update, turn: Turn, said: Spoken) -> None:
    """Remember that the person organises the group, so that a draft can begin from private."""
    chat_id = ChatId(said.chat_id)
    chat = update.effective_chat
    title = (chat.title if chat is not None else None) or ""
    await groups.note_group(turn.session, chat_id, title, is_active=True, now=turn.now)
    await people.add_organiser(
        turn.session, chat_id=chat_id, user_id=UserId(said.user_id), now=turn.now
    )


def _by_administrator(update: Update, turn: Turn) -> Spoken | None:
    """Give what was said if an administrator of the group said it; else refuse, and give None."""
    said = spoken(update)
    if said is None:
        refuse_unknown(update, turn)
        return None
    if said.is_private or not turn.open.rights.is_administrator(said.chat_id, said.user_id):
        turn.reply(said, Wording()("admin_only"))
        return None
    return said


async def asked_by_administrator(
    update: Update, turn: Turn, *, ended_too: bool = False
) -> tuple[Spoken, Running] | None:
    """Give what an administrator said and the group's challenge; else say what is missing."""
    if (said := _by_administrator(update, turn)) is None:
        return None
    running = await turn.open.shelf.of_chat(
        turn.session, ChatId(said.chat_id), ended_too=ended_too
    )
    if running is None:
        turn.reply(said, Wording()("no_challenge"))
        return None
    return said, running
