"""Write a post as the group sees it: its pieces and the buttons below the last one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import assert_never

from markupsafe import Markup
from sqlalchemy.ext.asyncio import AsyncSession

from bot.calls import Button, Rows
from bot.day_text import day_post
from bot.handlers.presses import data
from bot.messages import pieces
from bot.running import Running
from bot.standings_text import result_post, week_post
from bot.timetable import PostKind
from bot.wording import Wording
from store import people, standings

_MINUTES = 60


@dataclass(frozen=True, slots=True)
class PostText:
    """A post, cut to the platform's limit."""

    pieces: list[Markup]
    buttons: Rows = ()


async def post_text(
    session: AsyncSession, running: Running, number: int, kind: PostKind, now: datetime
) -> PostText:
    """Write a post as it is at this moment."""
    match kind:
        case PostKind.DAY:
            return day_as_posted(running, number)
        case PostKind.REMINDER:
            text = await _reminder(session, running, number, now)
        case PostKind.STANDINGS:
            text = await result_post(session, running, number, now)
        case PostKind.WEEK:
            text = await week_post(session, running, now)
        case _:
            assert_never(kind)
    return PostText(pieces(text))


def day_as_posted(running: Running, number: int) -> PostText:
    """Write the post of a day; it does not depend on the moment."""
    label = str(running.say("button_calendar"))
    stored = running.stored
    button = Button(label, data("c", stored.chat_id, stored.challenge_id))
    return PostText(pieces(day_post(running, number)), ((button,),))


async def _reminder(session: AsyncSession, running: Running, number: int, now: datetime) -> Markup:
    """Say how long a day is open and how many are in."""
    stored, day, say = running.stored, running.days[number - 1], running.say
    entries = await standings.entries_on_day(
        session, chat_id=stored.chat_id, challenge_id=stored.challenge_id, day_number=number
    )
    everyone = await people.participants(session, stored.chat_id, stored.challenge_id)
    count, total = sum(entries.values()), len(everyone)
    if count == 0:
        told = say("reminder_none")
    elif count >= total:
        told = say("reminder_all")
    else:
        told = say("reminder_of", count=count, people=total)
    return say(
        "reminder_post",
        day=number,
        left=time_left(say, day.closes_at - now),
        closes=f"{day.closes_at.astimezone(running.zone):%H:%M}",
        count=told,
        title=say("reminder_title") if count < total or not total else "",
    )


def time_left(say: Wording, left: timedelta) -> Markup:
    """Write a length of time in hours and minutes, rounded to the nearest minute, at least one."""
    minutes = max(round(left.total_seconds() / _MINUTES), 1)
    hours, rest = divmod(minutes, _MINUTES)
    if not hours:
        return say("left_minutes", count=rest)
    if not rest:
        return say("left_hours", count=hours)
    return say(
        "left_both",
        hours=say("left_hours", count=hours),
        minutes=say("left_minutes", count=rest),
    )
