"""When days open and close and what is posted when: wall-clock times of a zone to instants.

Clock changes: a time in the spring gap is taken with the offset before the gap, of a repeated
autumn hour the first counts. Source: RFC 5545, 3.3.5; `fold=0` of `datetime` does the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from content.challenge import Head, RestDay, WorkoutDay
from store.values import Day, PostPlan


class PostKind(StrEnum):
    """What is posted."""

    DAY = "day"  # the day's workout, or its rest
    REMINDER = "reminder"  # before a workout day closes
    STANDINGS = "standings"  # when a workout day has closed
    WEEK = "week"  # the final result, after the last make-up


# The result of a day is still news for a day.
STANDINGS_USEFUL = timedelta(hours=24)
_WEEK_USEFUL = timedelta(days=7)
_A_DAY = timedelta(days=1)


def instant(day: date, local_time: str, zone: ZoneInfo) -> datetime:
    """Turn a wall-clock time ("06:00") on a local date into an instant, aware, UTC."""
    local = datetime.combine(day, time.fromisoformat(local_time), tzinfo=zone)
    return local.astimezone(UTC)


def plan_days(
    head: Head, days: Sequence[WorkoutDay | RestDay], start_date: date
) -> tuple[Day, ...]:
    """Give every day its opening, closing and last moment to make it up.

    Args:
        head: Times, zone and make-up days of the challenge.
        days: In order; the first is on `start_date`, a local date.
        start_date: Local date of day 1.
    """
    return tuple(
        lay_day(head, number, start_date + timedelta(days=number - 1), is_rest=is_rest(day))
        for number, day in enumerate(days, start=1)
    )


def is_rest(day: WorkoutDay | RestDay) -> bool:
    """Say whether a written day is one without a workout."""
    return isinstance(day, RestDay)


def lay_day(
    head: Head, number: int, on_date: date, *, is_rest: bool, is_skipped: bool = False
) -> Day:
    """Put a day on a local date, with the times of the head."""
    closes_next_morning = timedelta(days=1 if head.times.close < head.times.post else 0)
    closes_on = on_date + closes_next_morning
    return Day(
        number=number,
        is_rest=is_rest,
        on_date=on_date,
        opens_at=instant(on_date, head.times.post, head.zone),
        closes_at=instant(closes_on, head.times.close, head.zone),
        make_up_until=instant(
            closes_on + timedelta(days=head.make_up_days), head.times.close, head.zone
        ),
        is_skipped=is_skipped,
    )


def plan_posts(head: Head, days: Sequence[Day]) -> tuple[PostPlan, ...]:
    """Give the posts of a challenge: each day, each workout day's result, the final result.

    A skipped day has none. A reminder comes when the head has a time for it that lies within the
    day, which a clock change may shorten.
    """
    posts = []
    last_result = days[0].opens_at
    for day in days:
        if day.is_skipped:
            continue
        posts.append(PostPlan(day.number, PostKind.DAY, day.opens_at, day.closes_at))
        last_result = max(last_result, day.make_up_until)
        if day.is_rest:
            continue
        remind_at = _reminder_at(head, day)
        if remind_at is not None:
            posts.append(PostPlan(day.number, PostKind.REMINDER, remind_at, day.closes_at))
        show_at = _standings_at(head, day)
        until = show_at + STANDINGS_USEFUL
        posts.append(PostPlan(day.number, PostKind.STANDINGS, show_at, until))
        last_result = max(last_result, show_at)
    until = last_result + _WEEK_USEFUL
    posts.append(PostPlan(days[-1].number, PostKind.WEEK, last_result, until))
    return tuple(posts)


def _reminder_at(head: Head, day: Day) -> datetime | None:
    if head.times.reminder is None:
        return None
    for on in (day.on_date, day.on_date + _A_DAY):
        remind_at = instant(on, head.times.reminder, head.zone)
        if day.opens_at < remind_at < day.closes_at:
            return remind_at
    return None


def _standings_at(head: Head, day: Day) -> datetime:
    if head.times.standings is None:
        return day.closes_at
    on = day.closes_at.astimezone(head.zone).date()
    show_at = instant(on, head.times.standings, head.zone)
    if show_at < day.closes_at:
        show_at = instant(on + _A_DAY, head.times.standings, head.zone)
    return max(show_at, day.closes_at)


def earliest_date(head: Head, now: datetime) -> date:
    """Give the first local date whose post is still to come."""
    today = now.astimezone(head.zone).date()
    passed = instant(today, head.times.post, head.zone) <= now
    return today + _A_DAY if passed else today


def day_at(days: Sequence[Day], when: datetime) -> Day | None:
    """Give the day that is on: the latest that has opened, or None before the first."""
    opened = [day for day in days if day.has_opened(when)]
    return opened[-1] if opened else None


def dates_of(days: Sequence[Day]) -> dict[int, date]:
    """Give the local dates of the days by number; a skipped day has none."""
    return {day.number: day.on_date for day in days if not day.is_skipped}


def closed_workouts(days: Sequence[Day], now: datetime) -> tuple[int, ...]:
    """Give the numbers of the workout days that have closed."""
    return tuple(day.number for day in days if day.is_scored and day.has_closed(now))


def local_text(when: datetime, zone: ZoneInfo) -> str:
    """Write an instant for people: "Tue 3 March, 05:45"."""
    local = when.astimezone(zone)
    return f"{local:%a} {local.day} {local:%B}, {local:%H:%M}"


def date_text(day: date) -> str:
    """Write a local date for people: "Tue 3 March"."""
    return f"{day:%a} {day.day} {day:%B}"
