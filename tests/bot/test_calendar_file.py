"""The calendar file, read back by the library and judged by zone rules of another one."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import StringIO

import pytest
from dateutil import rrule, tz
from icalendar import Calendar

from bot.calendar_file import Entry, calendar_file, length_of
from bot.timetable import plan_days
from tests.content.builders import a_head, a_rest_day, a_workout_day

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
ID = "0123456789abcdef"
WORKOUT = a_workout_day([{"movement": "push-up", "reps": 8}])  # 14 min, 1 min of warm-up


def a_file(start="2026-03-25", *, zone="Europe/Berlin", revision=0, change=None, text="A day"):
    """Seven days; `change` makes other days of them."""
    head = a_head(time_zone=zone)
    days = plan_days(head, [WORKOUT] * 7, date.fromisoformat(start))
    if change is not None:
        days = [change(day) for day in days]
    entries = [Entry(day, length_of(WORKOUT), summary=text, description=text) for day in days]
    return calendar_file(
        entries, title="Days", calendar_id=ID, zone=head.zone, revision=revision, now=NOW
    )


def events(text):
    return Calendar.from_ical(text).walk("VEVENT")


@pytest.mark.parametrize(
    ("zone", "start"),
    [
        # Each week holds the clock change. Source: reference for the rules as in test_timetable.
        pytest.param("Europe/Berlin", "2026-03-25", id="berlin_spring"),
        pytest.param("Europe/Berlin", "2026-10-22", id="berlin_autumn"),
        pytest.param("America/New_York", "2026-03-05", id="new_york"),
        pytest.param("Australia/Sydney", "2026-04-02", id="sydney"),
        pytest.param("Asia/Kathmandu", "2026-04-02", id="no_change"),
    ],
)
def test_every_day_starts_at_its_local_time_as_other_rules_have_it(zone, start):
    """Source: dateutil's recurrence rules and its own reading of the zone database."""
    found = events(a_file(start, zone=zone))

    first = datetime.combine(date.fromisoformat(start), datetime.min.time()).replace(hour=6)
    wall = list(rrule.rrule(rrule.DAILY, dtstart=first, count=7))
    assert [event.start.replace(tzinfo=None) for event in found] == wall
    assert [event.start.astimezone(UTC) for event in found] == [
        each.replace(tzinfo=tz.gettz(zone)).astimezone(UTC) for each in wall
    ]
    assert {event["DTSTART"].params["TZID"] for event in found} == {zone}


@pytest.mark.parametrize("start", ["2026-03-25", "2026-10-22"])
def test_the_file_brings_its_zone_along_with_the_clock_change(start):
    """Source: dateutil's reading of VTIMEZONE (RFC 5545, 3.6.5), which knows the file alone."""
    text = a_file(start)
    block = text[text.index("BEGIN:VTIMEZONE") : text.index("END:VTIMEZONE")] + "END:VTIMEZONE\r\n"
    zones = tz.tzical(StringIO(block.replace("\r\n", "\n")))

    for event in events(text):
        there = event.start.replace(tzinfo=zones.get("Europe/Berlin"))
        assert there.astimezone(UTC) == event.start.astimezone(UTC)


def test_an_event_lasts_as_long_as_warm_up_and_work():
    [first, *_] = events(a_file())

    assert first.end - first.start == timedelta(minutes=15)


def test_lengths_count_what_the_day_says():
    timed = a_workout_day(
        [{"movement": "push-up", "reps": 8}], score="time", shape="once", cap="12 min"
    )
    rounds = {"rounds": 8, "work": "20 s", "rest": "10 s"}
    intervals = a_workout_day(
        [{"movement": "push-up"}], score="lowest_round", shape="open", intervals=rounds
    )

    lengths = [length_of(day) for day in (timed, intervals, a_rest_day())]

    assert lengths == [timedelta(minutes=13), timedelta(minutes=5), timedelta()]


def test_after_a_move_the_same_events_come_with_a_higher_sequence():
    before = {event["UID"]: event for event in events(a_file(revision=1))}
    later = timedelta(days=3)

    after = {
        event["UID"]: event
        for event in events(
            a_file(revision=2, change=lambda day: replace(day, opens_at=day.opens_at + later))
        )
    }

    assert after.keys() == before.keys()
    assert len(after) == 7
    for uid, event in after.items():
        assert (before[uid]["SEQUENCE"], event["SEQUENCE"]) == (1, 2)
        assert event.start.astimezone(UTC) - before[uid].start.astimezone(UTC) == later


def test_a_day_called_off_is_cancelled_and_one_that_waits_is_tentative():
    def change(day):
        return replace(day, is_skipped=day.number == 2, is_held=day.number == 3)

    found = [event["STATUS"] for event in events(a_file(change=change))]

    assert found[:4] == ["CONFIRMED", "CANCELLED", "TENTATIVE", "CONFIRMED"]


NASTY = "Ladders; 3, 2 \\ 1 “go”\nEND:VEVENT\r\nBEGIN:VALARM é" + "🔔" * 60


def test_any_text_is_escaped_folded_and_read_back():
    """Source: RFC 5545, 3.1 (75 octets a line, CRLF) and 3.3.11 (escapes)."""
    text = a_file(text=NASTY)

    lines = text.split("\r\n")
    assert all(len(line.encode()) <= 75 for line in lines)
    assert not any("\n" in line or "\r" in line for line in lines)
    found = events(text)
    assert len(found) == 7
    assert {str(event["SUMMARY"]).replace("\r\n", "\n") for event in found} == {
        NASTY.replace("\r\n", "\n")
    }
    assert not any(event.subcomponents for event in found)


def test_what_a_calendar_needs_is_there():
    """Source: RFC 5545, 3.6 and 3.6.1."""
    calendar = Calendar.from_ical(a_file())

    assert (calendar["VERSION"], bool(calendar["PRODID"])) == ("2.0", True)
    for event in calendar.walk("VEVENT"):
        assert event["DTSTAMP"].dt == NOW
        assert str(event["UID"]).endswith(f"-{ID}@rungbell")
