"""Begin a challenge in a group: which dates will do, what is stored, what the group reads."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from markupsafe import Markup

from bot.calls import Rows
from bot.handlers.invite import division_lines, join_buttons
from bot.handlers.order import group_name
from bot.handlers.presses import Press
from bot.planning import MOST_DAYS_AHEAD
from bot.running import Running
from bot.timetable import earliest_date, local_text, plan_days, plan_posts
from bot.turn import Turn
from bot.wording import Wording
from content.challenge import Challenge as Content
from store import challenges, people, plans
from store.values import ChatId, UserId


def offered_date(content: Content, ordinal: int, now: datetime) -> date | None:
    """Give the date with this number if a challenge may start on it."""
    earliest = earliest_date(content.head, now)
    days = ordinal - earliest.toordinal()
    return earliest + timedelta(days=days) if 0 <= days <= MOST_DAYS_AHEAD else None


def full_date_text(day: date) -> str:
    """Write a date for people: "Monday 2 March 2026"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


async def begin_challenge(
    turn: Turn,
    content: Content,
    *,
    chat_id: int,
    organiser_id: int,
    organiser_name: str,
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
        posts=plan_posts(content.head, days),
        now=turn.now,
    )
    # Every administrator is told when something needs a person.
    for user_id in {organiser_id, *turn.open.rights.administrators(chat_id)} - {turn.bot.id}:
        await people.add_organiser(
            turn.session, chat_id=ChatId(chat_id), user_id=UserId(user_id), now=turn.now
        )
    running = await turn.open.shelf.open(turn.session, stored)
    when = local_text(days[0].opens_at, running.zone)
    await plans.note_change(
        turn.session,
        stored,
        by=UserId(organiser_id),
        by_name=organiser_name,
        what=running.say("plan_did_begun", day=1, when=when).striptags(),
        at=turn.now,
    )
    turn.open.replanned = True
    return running


async def begin_at_press(
    turn: Turn, pressed: Press, content: Content, target: ChatId, start: date
) -> None:
    """Begin a challenge in a group by a button, pressed there or elsewhere, and say so."""
    is_there = pressed.chat_id == target
    latest = await challenges.latest_challenge(turn.session, target)
    topic = pressed.thread_id if is_there else latest.thread_id if latest is not None else None
    running = await begin_challenge(
        turn,
        content,
        chat_id=target,
        organiser_id=pressed.user_id,
        organiser_name=pressed.name,
        start=start,
        thread_id=topic,
    )
    text, buttons = await announce(turn, running)
    if is_there:
        turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)
        return
    turn.say(target, text, buttons=buttons, thread_id=topic)
    told = running.say(
        "begun_elsewhere",
        title=content.head.title,
        group=await group_name(turn, running),
        date=full_date_text(start),
        time=content.head.times.post,
        zone=content.head.time_zone,
    )
    turn.rewrite(pressed.chat_id, pressed.message_id, told)


async def free_groups(turn: Turn, user_id: UserId) -> list[tuple[ChatId, str]]:
    """Give the groups a person organises in which no challenge is running, with their names."""
    unnamed = str(Wording()("plan_in_group_unnamed"))
    return [
        (chat_id, title or unnamed)
        for chat_id, title in await people.groups_organised(turn.session, user_id)
        if turn.open.rights.is_administrator(chat_id, user_id)
        and await challenges.running_challenge(turn.session, chat_id) is None
    ]


async def announce(turn: Turn, running: Running) -> tuple[Markup, Rows]:
    """Write what the group reads of a challenge that was begun, with the buttons to join."""
    head, stored = running.content.head, running.stored
    text = running.say(
        "begun",
        title=head.title,
        date=full_date_text(stored.start_date),
        time=head.times.post,
        zone=head.time_zone,
        divisions=division_lines(running),
    )
    notes = []
    if not turn.open.rights.sees_all(stored.chat_id):
        notes.append(running.say("begun_blind"))
    reachable = dict(await people.organisers(turn.session, stored.chat_id))
    if not any(reachable.values()):
        notes.append(running.say("begun_unreachable"))
    return Markup("\n\n").join([text, *notes]), join_buttons(running)
