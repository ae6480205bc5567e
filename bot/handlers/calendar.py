"""The days of a challenge as a calendar file: by /calendar, or the button below a day's post."""

from __future__ import annotations

from telegram import Update

from bot.calendar_file import Entry, calendar_file, length_of
from bot.calls import SendFile
from bot.handlers.presses import current_press
from bot.handlers.score import nothing_on, refuse_unknown
from bot.running import Running
from bot.speaker import spoken
from bot.timetable import local_text
from bot.turn import Turn
from bot.wording import Wording
from content.challenge import RestDay
from store import groups, people, plans
from store.values import Day, UserId

_NAME = "days.ics"


async def on_calendar(update: Update, turn: Turn) -> None:
    """Send the file in private; who cannot be written to gets it as a reply."""
    if (said := spoken(update)) is None:
        refuse_unknown(update, turn)
        return
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    if running is None:
        turn.reply(said, nothing_on(None, Wording()))
        return
    if said.is_private or not await people.can_write_to(turn.session, UserId(said.user_id)):
        file = await _file(
            turn, running, said.chat_id, reply_to=said.message_id, thread_id=said.thread_id
        )
        turn.owe(file)
        return
    turn.owe(await _file(turn, running, said.user_id))
    turn.reply(said, running.say("calendar_sent"))


async def on_calendar_button(update: Update, turn: Turn) -> None:
    """Send the file to whoever pressed, in private: `c:<chat>:<challenge>`."""
    if (found := await current_press(update, turn, 2)) is None:
        return
    pressed, _, running = found
    if pressed.chat_id != running.stored.chat_id:  # it stands below a post of the group
        turn.toast(pressed.query_id, running.say("stale_button"))
    elif await people.can_write_to(turn.session, UserId(pressed.user_id)):
        turn.owe(await _file(turn, running, pressed.user_id))
        turn.toast(pressed.query_id, running.say("calendar_sent"))
    else:
        turn.toast(pressed.query_id, running.say("calendar_unreachable"))


async def _file(
    turn: Turn,
    running: Running,
    chat_id: int,
    *,
    reply_to: int | None = None,
    thread_id: int | None = None,
) -> SendFile:
    stored = running.stored
    changes = await plans.changes_of_plan(turn.session, stored.chat_id, stored.challenge_id)
    group = await groups.group_title(turn.session, stored.chat_id)
    content = calendar_file(
        [_entry(running, day, group) for day in running.days],
        title=running.content.head.title,
        calendar_id=stored.calendar_id,
        zone=running.zone,
        revision=changes[-1].change_number if changes else 0,
        now=turn.now,
    )
    caption = running.say("calendar_caption", title=running.content.head.title)
    return SendFile(chat_id, _NAME, content, str(caption), reply_to=reply_to, thread_id=thread_id)


def _entry(running: Running, day: Day, group: str) -> Entry:
    written, say = running.written[day.number], running.say
    if isinstance(written, RestDay):
        description = say("calendar_rest")
    else:
        description = say(
            "calendar_workout",
            closes=local_text(day.closes_at, running.zone),
            make_up=local_text(day.make_up_until, running.zone),
            group=group or say("calendar_group"),
        )
    summary = say("calendar_summary", day=day.number, title=written.title)
    return Entry(day, length_of(written), str(summary.unescape()), str(description.unescape()))
