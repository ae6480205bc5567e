"""What a plan becomes after a change, through clock changes and pauses, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from dateutil import rrule
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.plan_values import (
    Change,
    Move,
    Pause,
    Plan,
    PostNow,
    Refusal,
    Resume,
    SetTime,
    SetZone,
    Skip,
    Swap,
    Unskip,
    Why,
    WriteAnew,
)
from bot.planning import change_plan, posts_after
from bot.timetable import PostKind, plan_days, plan_posts
from content.challenge import Challenge
from content.loading import movement_library
from store.values import ChallengeId, ChatId, Post, PostPlan, PostState
from tests.content.builders import a_head, a_rest_day, a_workout_day


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def local(text: str, zone: str = "Europe/Berlin") -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def a_plan(start: str = "2026-03-25", *, days: str = "wwrww", **head: object) -> Plan:
    """A challenge in Berlin from Wednesday 25 March on, `w` a workout day, `r` a rest day.

    The clocks go forward on Sunday 29 March, day 5. Source: Directive 2000/84/EC.
    """
    workout = a_workout_day([{"movement": "push-up", "reps": 8}])
    written = [
        (workout if kind == "w" else a_rest_day()).model_copy(update={"title": f"Text {number}"})
        for number, kind in enumerate(days, start=1)
    ]
    head_ = a_head(**head)
    content = Challenge(head=head_, days=tuple(written), movements=dict(movement_library()))
    return Plan(content, plan_days(head_, written, date.fromisoformat(start)))


EVE = local("2026-03-24 20:00")
DAY_2 = local("2026-03-26 12:00")  # day 2 is out


def changed(plan: Plan, *changes: Change, now: datetime = DAY_2) -> Plan:
    for change in changes:
        after = change_plan(plan, change, now)
        assert isinstance(after, Plan), after
        plan = after
    return plan


def dates(plan: Plan) -> list[str]:
    return [f"{day.on_date:%m-%d}" for day in plan.days]


def fires(plan: Plan) -> list[str]:
    """Give the instants of the days' posts."""
    return [f"{day.opens_at:%m-%d %H:%M}" for day in plan.days]


def stored(plans: tuple[PostPlan, ...], now: datetime, **kinds: PostState) -> list[Post]:
    """Give posts as the store has them: what was due is sent, unless told otherwise."""
    return [
        Post(
            ChatId(-1),
            ChallengeId(1),
            plan.day_number,
            str(plan.kind),
            plan.due_at,
            plan.useful_until,
            kinds.get(str(plan.kind), PostState.SENT if plan.due_at <= now else PostState.PLANNED),
            None,
            None,
            None,
            "",
        )
        for plan in plans
    ]


def test_moving_a_day_moves_all_later_ones_and_none_before():
    plan = changed(a_plan(), Move(3, date(2026, 3, 29)))

    assert dates(plan) == ["03-25", "03-26", "03-29", "03-30", "03-31"]


def test_moved_over_a_clock_change_posts_stay_at_their_wall_clock():
    """Source: EU, last Sunday of March, 01:00 UTC: Directive 2000/84/EC."""
    before = a_plan()
    after = changed(before, Move(3, date(2026, 3, 28)))

    assert fires(before) == [
        "03-25 05:00",
        "03-26 05:00",
        "03-27 05:00",
        "03-28 05:00",
        "03-29 04:00",
    ]
    assert fires(after)[2:] == ["03-28 05:00", "03-29 04:00", "03-30 04:00"]
    assert after.days[2].closes_at == utc("2026-03-29 03:45")
    assert after.days[2].make_up_until == utc("2026-03-30 03:45")


ZONES = ["Europe/Berlin", "America/New_York", "Australia/Sydney", "Africa/Cairo", "Asia/Kathmandu"]


@settings(deadline=None, max_examples=60)
@given(
    zone=st.sampled_from(ZONES),
    start=st.dates(date(2026, 2, 1), date(2026, 11, 20)),
    number=st.integers(1, 9),
    by=st.integers(1, 60),
    post=st.sampled_from(["00:00", "00:30", "02:30", "06:00", "23:30"]),
)
def test_a_move_fires_when_recurrence_rules_say(zone, start, number, by, post):
    """Source: dateutil's recurrence rules (RFC 5545, DAILY) on the wall clock."""
    times = {"post": post, "close": "05:45"}
    plan = a_plan(start.isoformat(), days="w" * 9, time_zone=zone, times=times)
    to = start + timedelta(days=number - 1 + by)

    after = changed(plan, Move(number, to), now=plan.days[0].opens_at - timedelta(days=2))

    wall = datetime.combine(to, datetime.strptime(post, "%H:%M").time())  # noqa: DTZ007 - wall clock
    later = rrule.rrule(rrule.DAILY, dtstart=wall, count=10 - number)
    expected = [each.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC) for each in later]
    assert [day.opens_at for day in after.days[number - 1 :]] == expected
    assert after.days[: number - 1] == plan.days[: number - 1]


def test_a_day_can_move_back_to_right_after_the_one_before():
    plan = changed(a_plan(), Move(3, date(2026, 3, 30)), Move(3, date(2026, 3, 27)))

    assert plan == a_plan()


def test_the_start_moves_as_day_one():
    plan = changed(a_plan(), Move(1, date(2026, 4, 1)), now=EVE)

    assert dates(plan) == ["04-01", "04-02", "04-03", "04-04", "04-05"]


def test_a_skipped_day_keeps_its_date_and_the_others_theirs():
    plan = changed(a_plan(), Skip(4))

    assert dates(plan) == dates(a_plan())
    assert [day.is_skipped for day in plan.days] == [False, False, False, True, False]
    assert not plan.days[3].has_opened(local("2026-03-28 12:00"))
    assert changed(plan, Unskip(4)) == a_plan()


def test_a_later_day_may_take_the_date_of_a_skipped_one():
    plan = changed(a_plan(), Skip(4), Move(5, date(2026, 3, 28)))

    assert dates(plan) == ["03-25", "03-26", "03-27", "03-28", "03-28"]
    assert change_plan(plan, Unskip(4), DAY_2) == Refusal(
        Why.DATE_TAKEN, {"day": 4, "date": date(2026, 3, 28), "other": 5}
    )


def test_swapped_days_exchange_what_was_written_and_nothing_else():
    plan = changed(a_plan(), Swap(3, 5))

    assert [day.title for day in plan.content.days] == [f"Text {n}" for n in (1, 2, 5, 4, 3)]
    assert [day.is_rest for day in plan.days] == [False, False, False, False, True]
    assert fires(plan) == fires(a_plan())
    assert changed(plan, Swap(5, 3)) == a_plan()


def test_swapping_a_rest_day_moves_the_result_to_the_workout_day():
    plan = changed(a_plan(), Swap(3, 5))

    results = [
        post.day_number
        for post in plan_posts(plan.content.head, plan.days)
        if post.kind == PostKind.STANDINGS
    ]
    assert results == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("change", "opens", "closes"),
    [
        pytest.param(SetTime("post", "07:30"), "03-27 06:30", "03-28 04:45", id="post"),
        pytest.param(SetTime("close", "21:30"), "03-27 05:00", "03-27 20:30", id="close"),
        pytest.param(SetTime("post", "05:00"), "03-27 04:00", "03-27 04:45", id="same_morning"),
        pytest.param(SetZone("Asia/Kathmandu"), "03-27 00:15", "03-28 00:00", id="zone"),
    ],
)
def test_times_change_for_days_that_are_not_out(change, opens, closes):
    plan = changed(a_plan(), change)

    third = plan.days[2]
    assert (f"{third.opens_at:%m-%d %H:%M}", f"{third.closes_at:%m-%d %H:%M}") == (opens, closes)
    assert plan.days[:2] == a_plan().days[:2]
    assert dates(plan) == dates(a_plan())


def test_a_reminder_comes_for_the_day_that_is_out_as_well():
    plan = changed(a_plan(), SetTime("reminder", "19:00"))
    before = stored(plan_posts(a_plan().content.head, a_plan().days), DAY_2)

    reminders = [
        (post.day_number, post.due_at)
        for post in posts_after(plan, before, DAY_2)
        if post.kind == PostKind.REMINDER
    ]
    assert reminders == [
        (2, local("2026-03-26 19:00")),
        (4, local("2026-03-28 19:00")),
        (5, local("2026-03-29 19:00")),
    ]


def test_a_reminder_set_for_an_hour_that_has_passed_comes_the_next_day():
    plan = changed(a_plan(), SetTime("reminder", "19:00"))
    before = stored(plan_posts(plan.content.head, plan.days), DAY_2)

    sooner = changed(plan, SetTime("reminder", "11:00"))

    due = [p for p in posts_after(sooner, before, DAY_2) if p.kind == PostKind.REMINDER]
    assert [post.day_number for post in due if post.due_at >= DAY_2] == [4, 5]
    assert 2 not in {post.day_number for post in due}


def test_results_may_come_after_the_close():
    head = a_plan(times={"post": "06:00", "close": "21:30", "standings": "08:00"}).content.head
    posts = plan_posts(head, a_plan(times=head.times.model_dump()).days)

    first = next(post for post in posts if post.kind == PostKind.STANDINGS)
    assert first.due_at == local("2026-03-26 08:00")


def test_the_final_result_never_comes_before_the_last_days_result():
    head = {"times": {"close": "21:30", "standings": "20:00"}, "make_up_days": 0}
    plan = a_plan(**head)

    posts = plan_posts(plan.content.head, plan.days)

    week = posts[-1]
    assert week.kind == PostKind.WEEK
    assert week.due_at == max(post.due_at for post in posts[:-1]) == local("2026-03-30 20:00")


def test_the_final_result_waits_for_the_last_day_that_takes_place():
    plan = changed(a_plan(), Skip(5))

    week = plan_posts(plan.content.head, plan.days)[-1]

    assert (week.day_number, week.due_at) == (5, plan.days[3].make_up_until)


def test_a_pause_holds_what_is_not_out():
    plan = changed(a_plan(), Pause())
    later = local("2026-03-28 12:00")

    assert [day.has_opened(later) for day in plan.days] == [True, True, False, False, False]
    assert plan.paused_at == DAY_2


@pytest.mark.parametrize(
    ("resumed_at", "expected"),
    [
        pytest.param("2026-03-26 20:00", "03-27", id="before_the_next_post_nothing_moves"),
        pytest.param("2026-03-27 05:59", "03-27", id="the_minute_before_too"),
        pytest.param("2026-03-27 06:00", "03-28", id="at_the_post_it_is_the_next_morning"),
        pytest.param("2026-03-28 23:00", "03-29", id="over_the_clock_change"),
        pytest.param("2026-04-05 05:00", "04-05", id="a_week_later_the_same_morning"),
    ],
)
def test_going_on_shifts_the_days_left_only_as_far_as_needed(resumed_at, expected):
    paused = changed(a_plan(), Pause())

    plan = changed(paused, Resume(), now=local(resumed_at))

    third = date.fromisoformat(f"2026-{expected}")
    assert [day.on_date for day in plan.days[2:]] == [third + timedelta(days=n) for n in range(3)]
    assert not any(day.is_held for day in plan.days)
    assert plan.days[:2] == a_plan().days[:2]


def test_going_on_from_a_date_of_choice():
    plan = changed(changed(a_plan(), Pause()), Resume(date(2026, 4, 6)), now=DAY_2)

    assert dates(plan)[2:] == ["04-06", "04-07", "04-08"]


def test_a_result_that_a_pause_held_back_is_news_still_and_a_reminder_is_not():
    plan = a_plan(times={"reminder": "19:00"})
    before = stored(plan_posts(plan.content.head, plan.days), DAY_2)
    now = local("2026-04-02 12:00")

    after = posts_after(changed(changed(plan, Pause()), Resume(), now=now), before, now)

    of_day_2 = {post.kind: post for post in after if post.day_number == 2}
    assert PostKind.REMINDER not in of_day_2
    assert of_day_2[PostKind.STANDINGS].due_at == local("2026-03-27 05:45")
    assert of_day_2[PostKind.STANDINGS].useful_until == now + timedelta(hours=24)


def test_what_is_being_sent_while_the_pause_comes_is_out():
    plan = a_plan()
    just_before = plan.days[2].opens_at - timedelta(milliseconds=5)

    paused = changed(replace(plan, begun=frozenset({1, 2, 3})), Pause(), now=just_before)

    assert [day.is_held for day in paused.days] == [False, False, False, True, True]


def test_posted_now_a_day_opens_now_and_closes_as_planned():
    now = local("2026-03-26 21:00")

    plan = changed(a_plan(), PostNow(3), now=now)

    assert plan.days[2].opens_at == now
    assert plan.days[2].closes_at == a_plan().days[2].closes_at
    assert dates(plan) == dates(a_plan())  # day 2 has that evening's date
    assert plan.days[3:] == a_plan().days[3:]


def test_posted_days_early_a_day_gets_the_date_of_its_post():
    now = local("2026-03-20 21:00")

    plan = changed(a_plan(), PostNow(1), now=now)

    assert dates(plan) == ["03-20", "03-26", "03-27", "03-28", "03-29"]


def test_a_post_that_was_refused_can_be_sent_by_hand_while_its_day_is_open():
    plan = replace(a_plan(), begun=frozenset({1}), given_up=frozenset({2}))

    assert changed(plan, PostNow(2)) == plan
    assert change_plan(plan, PostNow(2), plan.days[1].closes_at) == Refusal(Why.OVER, {"day": 2})


PAUSED = changed(a_plan(), Pause())
SKIPPED = changed(a_plan(), Skip(4))


@pytest.mark.parametrize(
    ("plan", "change", "why"),
    [
        pytest.param(a_plan(), Move(9, date(2026, 4, 1)), Why.NO_SUCH_DAY, id="no_such_day"),
        pytest.param(a_plan(), Skip(0), Why.NO_SUCH_DAY, id="no_day_0"),
        pytest.param(a_plan(), Move(2, date(2026, 4, 1)), Why.OUT, id="move_what_is_out"),
        pytest.param(a_plan(), Skip(1), Why.OUT, id="skip_what_is_over"),
        pytest.param(a_plan(), Swap(2, 3), Why.OUT, id="swap_what_is_out"),
        pytest.param(a_plan(), PostNow(2), Why.OUT, id="post_what_is_out"),
        pytest.param(a_plan(), Move(3, date(2026, 3, 20)), Why.PAST, id="into_the_past"),
        pytest.param(a_plan(), Move(3, date(2026, 3, 26)), Why.PAST, id="todays_post_has_passed"),
        pytest.param(a_plan(), Move(3, date(2027, 6, 1)), Why.FAR, id="too_far"),
        pytest.param(a_plan(), Move(3, date(2026, 3, 27)), Why.SAME_DATE, id="same_date"),
        pytest.param(a_plan(), Move(4, date(2026, 3, 27)), Why.BEFORE_OTHER, id="onto_another"),
        pytest.param(SKIPPED, Move(4, date(2026, 4, 1)), Why.SKIPPED, id="move_skipped"),
        pytest.param(SKIPPED, Swap(3, 4), Why.SKIPPED, id="swap_skipped"),
        pytest.param(SKIPPED, Skip(4), Why.SKIPPED_ALREADY, id="skip_twice"),
        pytest.param(a_plan(), Unskip(4), Why.NOT_SKIPPED, id="unskip_what_is_not"),
        pytest.param(a_plan(), Swap(3, 3), Why.SAME_DAY, id="swap_with_itself"),
        pytest.param(a_plan(), SetTime("post", "06:00"), Why.SAME_TIME, id="same_time"),
        pytest.param(a_plan(), SetTime("reminder", None), Why.SAME_TIME, id="off_already"),
        pytest.param(a_plan(), SetTime("close", "06:00"), Why.CLOSE_IS_POST, id="close_is_post"),
        pytest.param(a_plan(), SetTime("post", "05:45"), Why.CLOSE_IS_POST, id="post_is_close"),
        pytest.param(a_plan(), SetTime("reminder", "05:50"), Why.REMINDER, id="closed_then"),
        pytest.param(a_plan(), SetTime("reminder", "06:00"), Why.REMINDER, id="at_the_post"),
        pytest.param(a_plan(), SetZone("Europe/Berlin"), Why.SAME_ZONE, id="same_zone"),
        pytest.param(a_plan(), SetZone("Pacific/Auckland"), None, id="zone_still_ahead"),
        pytest.param(PAUSED, Pause(), Why.PAUSED_ALREADY, id="pause_twice"),
        pytest.param(PAUSED, PostNow(3), Why.PAUSED, id="post_in_a_pause"),
        pytest.param(PAUSED, Resume(date(2026, 3, 1)), Why.PAST, id="go_on_in_the_past"),
        pytest.param(a_plan(), Resume(), Why.NOT_PAUSED, id="go_on_twice"),
        pytest.param(a_plan(), PostNow(4), Why.NEXT_FIRST, id="not_the_next_one"),
    ],
)
def test_what_makes_no_sense_is_refused(plan, change, why):
    after = change_plan(plan, change, DAY_2)

    assert (after.why if isinstance(after, Refusal) else None) == why


def test_a_zone_or_time_that_puts_a_day_into_the_past_is_refused():
    now = local("2026-03-26 23:00")  # 11:00 on Friday in Auckland

    zone = change_plan(a_plan(), SetZone("Pacific/Auckland"), now)
    time = change_plan(a_plan(), SetTime("post", "05:30"), local("2026-03-27 05:40"))

    assert zone == Refusal(Why.TIME_PAST, {"day": 3, "at": utc("2026-03-26 17:00")})
    assert isinstance(time, Refusal)
    assert time.why is Why.TIME_PAST


def test_a_skipped_day_whose_date_has_passed_stays_so():
    plan = changed(a_plan(), Skip(3))

    assert change_plan(plan, Unskip(3), local("2026-03-27 08:00")) == Refusal(Why.OVER, {"day": 3})


def a_change(number: st.SearchStrategy[int]) -> st.SearchStrategy[Change]:
    on = st.dates(date(2026, 3, 20), date(2026, 5, 1))
    time = st.sampled_from(["05:00", "06:30", "12:00", "19:00", "21:30", "23:30"])
    which = st.sampled_from(["post", "reminder", "close", "standings"])
    return st.one_of(
        st.builds(Move, number, on),
        st.builds(Skip, number),
        st.builds(Unskip, number),
        st.builds(Swap, number, number),
        st.builds(SetTime, which, time),
        st.builds(SetZone, st.sampled_from(ZONES)),
        st.just(Pause()),
        st.builds(Resume, st.none() | on),
        st.builds(PostNow, number),
    )


@settings(deadline=None, max_examples=200)
@given(
    steps=st.lists(st.tuples(st.integers(0, 40), a_change(st.integers(1, 7))), max_size=12),
)
def test_after_any_changes_days_stay_in_order_and_what_is_out_stays_as_it_was(steps):
    plan, now = a_plan(days="wwrwwww"), EVE
    for hours, change in steps:
        now += timedelta(hours=hours)
        after = change_plan(plan, change, now)
        if isinstance(after, Refusal):
            continue
        out = [day for day in plan.days if day.has_opened(now)]
        assert [after.days[day.number - 1] for day in out] == out
        taking_place = [day for day in after.days if not day.is_skipped]
        for one, two in pairwise(taking_place):
            assert one.on_date < two.on_date
            assert one.opens_at <= two.opens_at
        for day in taking_place:
            assert day.opens_at <= day.closes_at <= day.make_up_until
            if not day.is_held and not day.has_opened(now):
                assert day.opens_at > now
        assert sorted(d.title for d in after.content.days) == [f"Text {n}" for n in range(1, 8)]
        posts = plan_posts(after.content.head, after.days)
        assert len({(post.day_number, post.kind) for post in posts}) == len(posts)
        plan = after


def written_anew(plan: Plan, number: int, *, rest: bool = False) -> WriteAnew:
    new = a_rest_day() if rest else a_workout_day([{"movement": "air-squat", "reps": 9}])
    days = list(plan.content.days)
    days[number - 1] = new
    return WriteAnew(number, plan.content.model_copy(update={"days": tuple(days)}))


def test_a_day_that_is_out_can_be_written_anew_and_keeps_its_times():
    plan = a_plan()

    after = changed(plan, written_anew(plan, 2), now=DAY_2)

    assert after.days == plan.days
    assert after.content.days[1] != plan.content.days[1]


def test_a_day_that_becomes_a_rest_day_loses_its_result():
    plan = a_plan()
    before = stored(plan_posts(plan.content.head, plan.days), DAY_2)

    after = changed(plan, written_anew(plan, 4, rest=True), now=DAY_2)

    assert after.days[3].is_rest
    kinds = {post.kind for post in posts_after(after, before, DAY_2) if post.day_number == 4}
    assert kinds == {PostKind.DAY}


@pytest.mark.parametrize(
    ("number", "rest", "why"),
    [
        pytest.param(6, False, Why.NO_SUCH_DAY, id="no_such_day"),
        pytest.param(0, False, Why.NO_SUCH_DAY, id="day_0"),
        pytest.param(2, True, Why.OUT_KIND, id="out_and_another_kind"),
        pytest.param(3, True, Why.SAME_WRITTEN, id="the_same"),
    ],
)
def test_a_day_is_not_written_anew_where_that_makes_no_sense(number, rest, why):
    plan = a_plan()
    change = WriteAnew(number, plan.content)
    if why is Why.OUT_KIND:
        change = written_anew(plan, number, rest=rest)

    refused = change_plan(plan, change, DAY_2)

    assert isinstance(refused, Refusal)
    assert refused.why is why
