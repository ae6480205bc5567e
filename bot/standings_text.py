"""Write results for the group: a day's places, the places so far, the final result."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from markupsafe import Markup
from sqlalchemy.ext.asyncio import AsyncSession

from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.timetable import closed_workouts, local_text
from bot.wording import lines
from store import people, standings, streaks
from store.values import UserId

_TOP = 10  # places named; the rest is counted and found with /mine
_WORTH_TELLING = 2  # a streak of one is just a day


async def result_post(
    session: AsyncSession, running: Running, number: int, now: datetime
) -> Markup:
    """Write the result of a closed day: each division's places, then the places so far."""
    say, day = running.say, running.days[number - 1]
    heading = say("standings_heading", number=number, title=running.written[number].title)
    parts = [heading, *await _day_tables(session, running, number, now)]
    make_up = local_text(day.make_up_until, running.zone)
    is_over = day.make_up_until <= now  # the result came late, or nothing is made up
    if len(parts) == 1:
        key = "standings_nobody_over" if is_over else "standings_nobody"
        parts.append(say(key, make_up=make_up))
    else:
        if not is_over:
            parts.append(say("standings_make_up", make_up=make_up))
        closed = [n for n in closed_workouts(running.days, now) if n <= number]
        if len(closed) > 1:
            parts.append(say("standings_overall", count=len(closed)))
            parts.extend(await _overall_tables(session, running, closed))
    return Markup("\n\n").join(parts)


async def week_post(session: AsyncSession, running: Running, now: datetime) -> Markup:
    """Write the final result."""
    say = running.say
    closed = closed_workouts(running.days, now)
    parts = [say("week_heading", title=running.content.head.title)]
    parts.extend(await _overall_tables(session, running, closed))
    everyone = await people.participants(
        session, running.stored.chat_id, running.stored.challenge_id
    )
    if everyone:
        parts.append(say("week_thanks", count=len(everyone)))
    return Markup("\n\n").join(parts)


async def places_text(
    session: AsyncSession, running: Running, number: int | None, now: datetime
) -> Markup:
    """Write how things stand now: the day that is on, then the places so far."""
    parts: list[Markup] = []
    if number is not None:
        title = running.written[number].title
        tables = await _day_tables(session, running, number, now)
        if tables:
            parts = [running.say("standings_heading", number=number, title=title), *tables]
    closed = closed_workouts(running.days, now)
    if closed:
        tables = await _overall_tables(session, running, closed)
        if tables:
            parts.extend([running.say("standings_overall", count=len(closed)), *tables])
    return Markup("\n\n").join(parts) if parts else running.say("places_none")


async def _day_tables(
    session: AsyncSession, running: Running, number: int, now: datetime
) -> list[Markup]:
    """Write one table per division that has a score on the day."""
    chat_id, challenge_id = running.stored.chat_id, running.stored.challenge_id
    going = {
        streak.user_id: streak.current
        for streak in await streaks.streaks(
            session, chat_id=chat_id, challenge_id=challenge_id, now=now
        )
    }
    entries = await standings.entries_on_day(
        session, chat_id=chat_id, challenge_id=challenge_id, day_number=number
    )
    tables = []
    for division in running.content.head.divisions:
        if not (count := entries.get(division.id, 0)):
            continue
        places = await standings.day_standings(
            session,
            chat_id=chat_id,
            challenge_id=challenge_id,
            day_number=number,
            division=division.id,
            limit=_TOP,
        )
        rows = [
            running.say(
                "standings_line",
                place=place.place,
                name=place.name,
                score=score_text(stored_score(place.result)),
                streak=_streak(running, going, place.user_id),
            )
            for place in places
        ]
        heading = running.say("standings_division", name=division.name, count=count)
        tables.append(lines([heading, *rows, _more(running, count - len(places))]))
    return tables


def _streak(running: Running, going: dict[UserId, int], user_id: UserId) -> Markup:
    current = going.get(user_id, 0)
    if current < _WORTH_TELLING:
        return Markup("")
    return running.say("standings_streak", count=current)


async def _overall_tables(
    session: AsyncSession, running: Running, day_numbers: Sequence[int]
) -> list[Markup]:
    tables = []
    for division in running.content.head.divisions:
        places = await standings.overall(
            session,
            chat_id=running.stored.chat_id,
            challenge_id=running.stored.challenge_id,
            division=division.id,
            day_numbers=day_numbers,
            discards=running.content.head.discards if len(day_numbers) > 1 else 0,
        )
        if not places:
            continue
        rows = [
            running.say(
                "overall_line",
                place=place.place,
                name=place.name,
                points=running.say("points", count=place.points),
                done=place.days_done,
            )
            for place in places[:_TOP]
        ]
        heading = running.say("day_division", name=division.name)
        tables.append(lines([heading, *rows, _more(running, len(places) - len(rows))]))
    return tables


def _more(running: Running, count: int) -> Markup | None:
    return running.say("standings_more", count=count) if count > 0 else None
