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
    STANDINGS = "standings"  # when a workout day closes
    WEEK = "week"  # the final result, after the last make-up


# The result of a day is still news for a day.
_STANDINGS_USEFUL = timedelta(hours=24)
_WEEK_USEFUL = timedelta(days=7)


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
    closes_next_morning = timedelta(days=1 if head.times.close < head.times.post else 0)
    planned = []
    for index, day in enumerate(days):
        on = start_date + timedelta(days=index)
        closes_on = on + closes_next_morning
        planned.append(
            Day(
                number=index + 1,
                is_rest=isinstance(day, RestDay),
                opens_at=instant(on, head.times.post, head.zone),
                closes_at=instant(closes_on, head.times.close, head.zone),
                make_up_until=instant(
                    closes_on + timedelta(days=head.make_up_days), head.times.close, head.zone
                ),
            )
        )
    return tuple(planned)


def plan_posts(days: Sequence[Day]) -> tuple[PostPlan, ...]:
    """Give the posts of a challenge: each day, each workout day's result, the final result."""
    posts = []
    for day in days:
        posts.append(PostPlan(day.number, PostKind.DAY, day.opens_at, day.closes_at))
        if not day.is_rest:
            until = day.closes_at + _STANDINGS_USEFUL
            posts.append(PostPlan(day.number, PostKind.STANDINGS, day.closes_at, until))
    last = days[-1]
    posts.append(
        PostPlan(last.number, PostKind.WEEK, last.make_up_until, last.make_up_until + _WEEK_USEFUL)
    )
    return tuple(posts)


def day_at(days: Sequence[Day], when: datetime) -> Day | None:
    """Give the day that is on: the latest that has opened, or None before the first."""
    opened = [day for day in days if day.opens_at <= when]
    return opened[-1] if opened else None


def day_of_date(days: Sequence[Day], when: datetime, zone: ZoneInfo) -> int:
    """Give the number of the day whose local date an instant falls on; it may be out of range."""
    first = days[0].opens_at.astimezone(zone).date()
    return (when.astimezone(zone).date() - first).days + 1


def closed_workouts(days: Sequence[Day], now: datetime) -> tuple[int, ...]:
    """Give the numbers of the workout days that have closed."""
    return tuple(day.number for day in days if not day.is_rest and day.closes_at <= now)


def local_text(when: datetime, zone: ZoneInfo) -> str:
    """Write an instant for people: "Tue 3 March, 05:45"."""
    local = when.astimezone(zone)
    return f"{local:%a} {local.day} {local:%B}, {local:%H:%M}"
