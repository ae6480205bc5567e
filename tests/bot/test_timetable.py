"""Wall-clock times through clock changes, and the plan of days and posts."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from dateutil import rrule
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.timetable import (
    PostKind,
    closed_workouts,
    day_at,
    instant,
    local_text,
    plan_days,
    plan_posts,
)
from store.values import PostPlan
from tests.content.builders import a_head, a_rest_day, a_workout_day

A_WORKOUT = a_workout_day([{"movement": "push-up", "reps": 8}])


def utc(text):
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def some_days(start="2026-03-02", *, days="wwrw", **head: object):
    """Plan a challenge: `w` is a workout day, `r` a rest day."""
    written = [A_WORKOUT if kind == "w" else a_rest_day() for kind in days]
    return plan_days(a_head(**head), written, date.fromisoformat(start))


@pytest.mark.parametrize(
    ("zone", "day", "local_time", "expected"),
    [
        # Source: EU, last Sunday of March and October, 01:00 UTC: Directive 2000/84/EC.
        pytest.param("Europe/Berlin", "2026-03-28", "07:00", "2026-03-28 06:00", id="winter"),
        pytest.param("Europe/Berlin", "2026-03-29", "07:00", "2026-03-29 05:00", id="spring"),
        pytest.param("Europe/Berlin", "2026-10-24", "07:00", "2026-10-24 05:00", id="summer"),
        pytest.param("Europe/Berlin", "2026-10-25", "07:00", "2026-10-25 06:00", id="autumn"),
        pytest.param("Europe/Berlin", "2027-03-28", "07:00", "2027-03-28 05:00", id="next_spring"),
        pytest.param("Europe/Berlin", "2027-10-31", "07:00", "2027-10-31 06:00", id="next_autumn"),
        # Source: second Sunday of March, 02:00 local: 15 USC 260a.
        pytest.param(
            "America/New_York", "2026-03-07", "07:00", "2026-03-07 12:00", id="ny_winter"
        ),
        pytest.param(
            "America/New_York", "2026-03-08", "07:00", "2026-03-08 11:00", id="ny_spring"
        ),
        pytest.param(
            "America/New_York", "2026-11-01", "07:00", "2026-11-01 12:00", id="ny_autumn"
        ),
        # Source: first Sunday of April, 03:00 daylight: NSW, Standard Time Act 1987.
        pytest.param("Australia/Sydney", "2026-04-04", "07:00", "2026-04-03 20:00", id="sydney"),
        pytest.param(
            "Australia/Sydney", "2026-04-05", "07:00", "2026-04-04 21:00", id="sydney_autumn"
        ),
        pytest.param(
            "Australia/Sydney", "2026-10-04", "07:00", "2026-10-03 20:00", id="sydney_spring"
        ),
        # Source: RFC 5545, 3.3.5: in a gap the offset before it, of a repeated hour the first.
        pytest.param("America/New_York", "2007-03-11", "02:30", "2007-03-11 07:30", id="gap"),
        pytest.param("America/New_York", "2007-11-04", "01:30", "2007-11-04 05:30", id="fold"),
        pytest.param("Europe/Berlin", "2026-03-29", "02:30", "2026-03-29 01:30", id="berlin_gap"),
        pytest.param("Europe/Berlin", "2026-10-25", "02:30", "2026-10-25 00:30", id="berlin_fold"),
        # No midnight that day. Source: zone database.
        pytest.param("Africa/Cairo", "2026-04-24", "00:00", "2026-04-23 22:00", id="cairo"),
        pytest.param("Asia/Beirut", "2026-03-29", "00:00", "2026-03-28 22:00", id="beirut"),
        pytest.param("Asia/Beirut", "2027-03-28", "00:30", "2027-03-27 22:30", id="beirut_next"),
        pytest.param("America/Santiago", "2026-09-06", "00:00", "2026-09-06 04:00", id="santiago"),
        # The last hour of the day comes twice. Source: zone database.
        pytest.param("Africa/Cairo", "2026-10-29", "23:30", "2026-10-29 20:30", id="cairo_fold"),
        pytest.param("Asia/Beirut", "2026-10-24", "23:30", "2026-10-24 20:30", id="beirut_fold"),
        pytest.param(
            "America/Santiago", "2026-04-04", "23:30", "2026-04-05 02:30", id="santiago_fold"
        ),
        # Odd offsets. Source: zone database.
        pytest.param("Asia/Kathmandu", "2026-06-01", "06:00", "2026-06-01 00:15", id="kathmandu"),
        pytest.param("Asia/Kolkata", "2026-06-01", "06:00", "2026-06-01 00:30", id="kolkata"),
        pytest.param("Pacific/Chatham", "2026-06-01", "06:00", "2026-05-31 17:15", id="chatham"),
        pytest.param(
            "Australia/Lord_Howe", "2026-10-04", "02:15", "2026-10-03 15:45", id="half_hour_gap"
        ),
    ],
)
def test_wall_clock_times_through_clock_changes(zone, day, local_time, expected):
    assert instant(date.fromisoformat(day), local_time, ZoneInfo(zone)) == utc(expected)


def test_a_time_in_the_gap_is_shown_an_hour_later():
    """Source: RFC 5545, 3.3.5: 2007-03-11 02:30 in New York is 03:30 EDT."""
    zone = ZoneInfo("America/New_York")

    assert local_text(instant(date(2007, 3, 11), "02:30", zone), zone) == "Sun 11 March, 03:30"


YEAR = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]
ZONES = ["Europe/Berlin", "America/New_York", "Australia/Sydney", "Europe/Lisbon"]


@pytest.mark.parametrize("zone", ZONES)
def test_seven_every_morning_of_a_year_is_what_a_recurrence_rule_gives(zone):
    """Source: dateutil's recurrence rules (RFC 5545, DAILY) on the wall clock."""
    mornings = rrule.rrule(rrule.DAILY, dtstart=datetime(2026, 1, 1, 7), count=365)  # noqa: DTZ001 - wall clock
    expected = [m.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC) for m in mornings]

    assert [instant(day, "07:00", ZoneInfo(zone)) for day in YEAR] == expected


@pytest.mark.parametrize("zone", [*ZONES, "Africa/Cairo", "Asia/Beirut", "America/Santiago"])
@pytest.mark.parametrize("local_time", ["00:00", "00:30", "02:30", "07:00", "23:30"])
def test_no_day_of_a_year_is_skipped_or_doubled(zone, local_time):
    local = [
        instant(day, local_time, ZoneInfo(zone)).astimezone(ZoneInfo(zone)).date() for day in YEAR
    ]
    instants = [instant(day, local_time, ZoneInfo(zone)) for day in YEAR]
    gaps = {b - a for a, b in pairwise(instants)}

    assert local == YEAR
    assert gaps <= {timedelta(hours=h) for h in (23, 24, 25)}


def test_a_close_before_the_post_falls_on_the_next_morning():
    first = some_days(times={"post": "06:00", "close": "05:45"})[0]

    assert first.opens_at == utc("2026-03-02 05:00")
    assert first.closes_at == utc("2026-03-03 04:45")
    assert first.make_up_until == utc("2026-03-04 04:45")


def test_a_close_after_the_post_falls_on_the_same_evening():
    first = some_days(times={"post": "06:00", "close": "21:30"})[0]

    assert first.closes_at == utc("2026-03-02 20:30")
    assert first.make_up_until == utc("2026-03-03 20:30")


@pytest.mark.parametrize(("make_up_days", "until"), [(0, "03-03"), (1, "03-04"), (3, "03-06")])
def test_a_day_can_be_made_up_for_as_many_days_as_the_head_says(make_up_days, until):
    first = some_days(make_up_days=make_up_days)[0]

    assert first.make_up_until == utc(f"2026-{until} 04:45")


def test_days_are_numbered_from_one_and_know_their_rest():
    days = some_days(days="wrw")

    assert [(day.number, day.is_rest) for day in days] == [(1, False), (2, True), (3, False)]


def test_make_up_over_a_clock_change_ends_at_the_same_wall_clock():
    last = some_days("2026-03-28", days="w")[0]

    assert last.opens_at == utc("2026-03-28 05:00")
    assert last.closes_at == utc("2026-03-29 03:45")  # an hour of that night is missing
    assert last.make_up_until == utc("2026-03-30 03:45")


@settings(deadline=None)
@given(
    start=st.dates(date(2025, 1, 1), date(2027, 12, 1)),
    zone=st.sampled_from([*ZONES, "Africa/Cairo", "Asia/Kathmandu"]),
    post=st.times().map(lambda t: t.strftime("%H:%M")),
    close=st.times().map(lambda t: t.strftime("%H:%M")),
    count=st.integers(1, 20),
)
def test_a_day_closes_before_the_next_one_does_and_after_it_opened(
    start, zone, post, close, count
):
    if post == close:
        return
    head = {"time_zone": zone, "times": {"post": post, "close": close}}

    days = some_days(start.isoformat(), days="w" * count, **head)

    for day in days:
        # The gap can close a day that was open for minutes; it never closes before it opens.
        assert day.opens_at <= day.closes_at <= day.make_up_until
        assert day.closes_at - day.opens_at <= timedelta(hours=25)
    assert [day.opens_at for day in days] == sorted({day.opens_at for day in days})


def test_the_posts_of_a_challenge():
    one, two, rest, four = some_days(days="wwrw")

    posts = plan_posts(a_head(), [one, two, rest, four])

    assert [(p.day_number, p.kind, p.due_at) for p in posts] == [
        (1, PostKind.DAY, one.opens_at),
        (1, PostKind.STANDINGS, one.closes_at),
        (2, PostKind.DAY, two.opens_at),
        (2, PostKind.STANDINGS, two.closes_at),
        (3, PostKind.DAY, rest.opens_at),
        (4, PostKind.DAY, four.opens_at),
        (4, PostKind.STANDINGS, four.closes_at),
        (4, PostKind.WEEK, four.make_up_until),
    ]
    assert posts[0] == PostPlan(1, PostKind.DAY, one.opens_at, useful_until=one.closes_at)
    assert all(post.due_at < post.useful_until for post in posts)
    assert len({(post.day_number, post.kind) for post in posts}) == len(posts)


@pytest.mark.parametrize(
    ("when", "number"),
    [
        pytest.param("2026-03-02 04:59:59", None, id="before_the_first"),
        pytest.param("2026-03-02 05:00", 1, id="as_it_opens"),
        pytest.param("2026-03-03 04:50", 1, id="closed_and_the_next_not_open"),
        pytest.param("2026-03-03 05:00", 2, id="the_next"),
        pytest.param("2026-03-20 12:00", 4, id="long_after_the_last"),
    ],
)
def test_the_day_that_is_on(when, number):
    day = day_at(some_days(), utc(when))

    assert (day and day.number) == number


@pytest.mark.parametrize(
    ("now", "numbers"),
    [
        pytest.param("2026-03-03 04:44:59", (), id="none_yet"),
        pytest.param("2026-03-03 04:45", (1,), id="equal_counts_as_closed"),
        pytest.param("2026-03-05 12:00", (1, 2), id="a_rest_day_is_no_workout"),
        pytest.param("2026-03-06 05:00", (1, 2, 4), id="all"),
    ],
)
def test_closed_workouts(now, numbers):
    assert closed_workouts(some_days(), utc(now)) == numbers


def test_times_for_people_are_on_their_wall_clock():
    zone = ZoneInfo("Asia/Kolkata")

    assert local_text(utc("2026-03-02 20:15"), zone) == "Tue 3 March, 01:45"
    assert local_text(datetime.combine(date(2026, 12, 31), time(18, 30), UTC), zone) == (
        "Fri 1 January, 00:00"
    )
