"""What an organiser does: begin, plan, finish; a no-rep and its lifting; posts left in doubt."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from markupsafe import Markup
from telegram import Update

from bot.calls import Button
from bot.handlers.invite import division_lines, join_buttons
from bot.handlers.presses import Press, data, press
from bot.handlers.score import argument, refuse_unknown
from bot.running import Running
from bot.speaker import Spoken, spoken
from bot.timetable import instant, local_text, plan_days, plan_posts
from bot.turn import Turn
from bot.wording import Wording, lines
from content.challenge import Challenge as Content
from store import challenges, groups, people, posts
from store.values import (
    ChatId,
    Post,
    PostState,
    UserId,
)

# The commands that need to know the group's administrators before a transaction opens.
COMMANDS = ("begin", "plan", "norep", "reinstate", "finish", "help")
BUTTONS = ("b",)
_MOST_DAYS_AHEAD = 366


class Organiser:
    """Handlers for administrators; `content` is the challenge that /begin offers."""

    def __init__(self, content: Content) -> None:
        self._content = content

    async def on_begin(self, update: Update, turn: Turn) -> None:
        """Offer to start the challenge; the button says the date."""
        if (said := _by_administrator(update, turn)) is None:
            return
        running = await turn.open.shelf.of_chat(turn.session, ChatId(said.chat_id))
        if running is not None:
            title = running.content.head.title
            turn.reply(said, running.say("begin_running", title=title))
            return
        say, head = Wording(self._content.head.language), self._content.head
        start = self._start_date(argument(said.text), turn.now)
        if start is None:
            example = self._earliest(turn.now).isoformat()
            turn.reply(said, say("begin_bad_date", text=argument(said.text), example=example))
            return
        text = say(
            "begin_offer",
            title=head.title,
            days=len(self._content.days),
            date=_date_text(start),
            time=head.times.post,
            zone=head.time_zone,
        )
        label = str(say("button_begin", date=_date_text(start)).unescape())
        turn.reply(said, text, buttons=((Button(label, data("b", start.toordinal())),),))

    def _earliest(self, now: datetime) -> date:
        """Give the first local date whose post is still to come."""
        head = self._content.head
        today = now.astimezone(head.zone).date()
        passed = instant(today, head.times.post, head.zone) <= now
        return today + timedelta(days=1) if passed else today

    def _start_date(self, text: str, now: datetime) -> date | None:
        """Read the date behind /begin; without one, the earliest. None if it will not do."""
        earliest = self._earliest(now)
        if not text:
            return earliest
        try:
            wanted = date.fromisoformat(text)
        except ValueError:
            return None
        return self._offered_date(wanted.toordinal(), now)

    def _offered_date(self, ordinal: int, now: datetime) -> date | None:
        """Give the date with this number if a challenge may start on it."""
        earliest = self._earliest(now)
        days = ordinal - earliest.toordinal()
        return earliest + timedelta(days=days) if 0 <= days <= _MOST_DAYS_AHEAD else None

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
        start = self._offered_date(numbers[0], turn.now)
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
            start=start,
            thread_id=pressed.thread_id,
        )
        head = self._content.head
        text = running.say(
            "begun",
            title=head.title,
            date=_date_text(start),
            time=head.times.post,
            zone=head.time_zone,
            divisions=division_lines(running),
        )
        notes = []
        if not turn.open.rights.sees_all(pressed.chat_id):
            notes.append(running.say("begun_blind"))
        reachable = dict(await people.organisers(turn.session, running.stored.chat_id))
        if not any(reachable.values()):
            notes.append(running.say("begun_unreachable"))
        text = Markup("\n\n").join([text, *notes])
        turn.rewrite(pressed.chat_id, pressed.message_id, text, join_buttons(running))

    async def on_plan(self, update: Update, turn: Turn) -> None:
        """List the planned posts and how each went."""
        if (found := await asked_by_administrator(update, turn)) is None:
            return
        said, running = found
        stored = running.stored
        planned = await posts.posts_of(turn.session, stored.chat_id, stored.challenge_id)
        heading = running.say(
            "plan_heading", title=running.content.head.title, zone=running.content.head.time_zone
        )
        turn.reply(said, lines([heading, *(_plan_line(running, post) for post in planned)]))

    async def on_finish(self, update: Update, turn: Turn) -> None:
        """End the challenge; everything recorded stays."""
        if (found := await asked_by_administrator(update, turn)) is None:
            return
        said, running = found
        stored = running.stored
        await challenges.end_challenge(turn.session, stored.chat_id, stored.challenge_id, turn.now)
        turn.reply(said, running.say("finished", title=running.content.head.title))


async def begin_challenge(
    turn: Turn,
    content: Content,
    *,
    chat_id: int,
    organiser_id: int,
    start: date,
    thread_id: int | None,
) -> Running:
    """Put a challenge with its days and posts into a group's timetable."""
    days = plan_days(content.head, content.days, start)
    stored = await challenges.start_challenge(
        turn.session,
        chat_id=ChatId(chat_id),
        title=content.head.title,
        tz=content.head.time_zone,
        start_date=start,
        content=content.model_dump_json(),
        thread_id=thread_id,
        organiser_id=UserId(organiser_id),
        days=days,
        posts=plan_posts(days),
        now=turn.now,
    )
    # Every administrator is told when something needs a person.
    for user_id in {organiser_id, *turn.open.rights.administrators(chat_id)} - {turn.bot.id}:
        await people.add_organiser(
            turn.session, chat_id=ChatId(chat_id), user_id=UserId(user_id), now=turn.now
        )
    turn.open.replanned = True
    return await turn.open.shelf.open(turn.session, stored)


def _date_text(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B %Y}"


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


def _plan_line(running: Running, post: Post) -> Markup:
    state = Markup("")
    if post.state is not PostState.PLANNED:
        state = running.say(f"plan_state_{post.state}", note=post.note)
    return running.say(
        "plan_line",
        due=local_text(post.due_at, running.zone),
        day=post.day_number,
        kind=running.say(f"plan_kind_{post.kind}"),
        state=state,
    )
