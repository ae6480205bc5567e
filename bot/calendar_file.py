"""The days of a challenge as a calendar file (iCalendar, RFC 5545).

Every day keeps its UID, and every change of the plan raises SEQUENCE, so that taking the file
again moves the entries instead of doubling them. A day that was called off is there as cancelled.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from content.challenge import RestDay, WorkoutDay
from content.timing import intervals_s, warm_up_s
from store.values import Day

_PRODUCT = "-//Rungbell//Days of a challenge//EN"


@dataclass(frozen=True, slots=True)
class Entry:
    """A day as it stands in a calendar; the texts are plain."""

    day: Day
    length: timedelta  # from the post to the end of the work, as far as it is known
    summary: str
    description: str


def calendar_file(
    entries: list[Entry],
    *,
    title: str,
    calendar_id: str,
    zone: ZoneInfo,
    revision: int,
    now: datetime,
) -> str:
    """Write the file.

    Args:
        entries: One for each day, skipped ones too.
        title: Of the challenge.
        calendar_id: What names the challenge in UIDs; the same for all its files.
        zone: Starts are local times of it; the file brings its clock changes along.
        revision: Number of changes of the plan so far.
        now: When the file is made, aware, UTC.

    Returns:
        Text with CRLF line ends, folded at 75 octets.
    """
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", title)
    for entry in entries:
        event = Event()
        event.add("uid", f"day-{entry.day.number}-{calendar_id}@rungbell")
        event.add("dtstamp", now)
        event.add("sequence", revision)
        event.add("dtstart", entry.day.opens_at.astimezone(zone))
        event.add("dtend", (entry.day.opens_at + entry.length).astimezone(zone))
        event.add("summary", entry.summary)
        event.add("description", entry.description)
        event.add("status", _status(entry.day))
        event.add("transp", "TRANSPARENT")  # nobody is busy: the day can be done at any hour
        calendar.add_component(event)
    calendar.add_missing_timezones()
    return str(calendar.to_ical().decode())


def _status(day: Day) -> str:
    if day.is_skipped:
        return "CANCELLED"
    return "TENTATIVE" if day.is_held else "CONFIRMED"


def length_of(day: WorkoutDay | RestDay) -> timedelta:
    """Give how long warm-up and work last, as far as the day says; a rest day lasts a moment."""
    if isinstance(day, RestDay):
        return timedelta()
    warm_up, workout = day.warm_up, day.workout
    seconds = warm_up_s(len(warm_up.movements), work_s=warm_up.work_s, move_on_s=warm_up.move_on_s)
    if workout.intervals is not None:
        each = workout.intervals
        seconds += intervals_s(each.rounds, work_s=each.work_s, rest_s=each.rest_s)
    else:
        seconds += workout.window_s or workout.cap_s or 0
    return timedelta(seconds=seconds)
