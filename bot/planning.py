"""What a plan becomes after a change, or why it cannot: values in, values out.

A day that is out keeps its times, whatever changes: people have been told them. All others are
laid anew from their dates and the head's times of day. Moving a day moves all later ones by as
many calendar days. A pause holds back what is not out; going on again shifts it, as a whole and
only as far as needed, so that its first post is still to come.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import assert_never

from pydantic import ValidationError

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
    is_over,
)
from bot.timetable import (
    STANDINGS_USEFUL,
    PostKind,
    earliest_date,
    is_rest,
    lay_day,
    plan_posts,
)
from content.challenge import Challenge as Content
from content.challenge import Times
from store.values import Day, Post, PostPlan, PostState

MOST_DAYS_AHEAD = 366


def change_plan(plan: Plan, change: Change, now: datetime) -> Plan | Refusal:
    """Give the plan after a change.

    Args:
        plan: As it is.
        change: What an organiser wants.
        now: Aware, UTC.
    """
    match change:
        case Move(number=number, to=to):
            return _move(plan, number, to, now)
        case Skip(number=number):
            return _skip(plan, number, now)
        case Unskip(number=number):
            return _unskip(plan, number, now)
        case Swap(one=one, other=other):
            return _swap(plan, one, other, now)
        case PostNow(number=number):
            return _post_now(plan, number, now)
        case WriteAnew(number=number, content=content):
            return _write_anew(plan, number, content, now)
        case _:
            return _change_whole(plan, change, now)


def _change_whole(
    plan: Plan, change: SetTime | SetZone | Pause | Resume, now: datetime
) -> Plan | Refusal:
    """Make a change that is about no single day."""
    match change:
        case SetTime(which=which, local_time=local_time):
            return _set_time(plan, which, local_time, now)
        case SetZone(name=name):
            return _set_zone(plan, name, now)
        case Pause():
            return _pause(plan, now)
        case Resume(on=on):
            return _resume(plan, on, now)
        case _:
            assert_never(change)


def posts_after(plan: Plan, stored: Sequence[Post], now: datetime) -> tuple[PostPlan, ...]:
    """Give the posts a plan should have, given those it has.

    What is not stored yet and due already is left out: it would come too late. A result that a
    pause held back is news still; a reminder or a day it held back too long is not.
    """
    known = {(post.day_number, post.kind): post for post in stored}
    found = []
    for post in plan_posts(plan.content.head, plan.days):
        before = known.get((post.day_number, post.kind))
        is_new = before is None or before.due_at >= now
        if post.due_at < now and is_new and (before is None or post.kind == PostKind.REMINDER):
            continue
        waits = before is not None and before.state is PostState.PLANNED and post.due_at < now
        if waits and post.kind in {PostKind.STANDINGS, PostKind.WEEK}:
            until = max(post.useful_until, now + STANDINGS_USEFUL)
            found.append(replace(post, useful_until=until))
        elif not (waits and post.kind == PostKind.REMINDER and post.useful_until <= now):
            found.append(post)
    return tuple(found)


def _changeable(plan: Plan, number: int, now: datetime) -> Day | Refusal:
    """Give a day that is not out, or say why it cannot be changed."""
    if not 1 <= number <= len(plan.days):
        return Refusal(Why.NO_SUCH_DAY, {"day": number, "days": len(plan.days)})
    day = plan.days[number - 1]
    if plan.is_out(day, now):
        return Refusal(Why.OUT, {"day": number})
    if is_over(day, now):
        return Refusal(Why.OVER, {"day": number})
    return day


def _laid(plan: Plan, day: Day) -> Day:
    """Lay a day anew by the plan's times."""
    laid = lay_day(
        plan.content.head,
        day.number,
        day.on_date,
        is_rest=is_rest(plan.content.days[day.number - 1]),
        is_skipped=day.is_skipped,
    )
    return replace(laid, is_held=day.is_held)


def _relaid(plan: Plan, now: datetime, *, ahead: Mapping[int, Day]) -> Plan:
    """Put changed days into a plan and lay all that are not out anew."""
    open_to_change = {day.number for day in plan.ahead(now)}
    days = tuple(
        _laid(plan, ahead.get(day.number, day)) if day.number in open_to_change else day
        for day in plan.days
    )
    return replace(plan, days=days)


def _shifted(plan: Plan, first: int, by: timedelta, now: datetime) -> Plan:
    """Shift a day and all later ones that are not out."""
    moved = {
        day.number: replace(day, on_date=day.on_date + by)
        for day in plan.ahead(now)
        if day.number >= first
    }
    return _relaid(plan, now, ahead=moved)


def _date_refused(plan: Plan, number: int, to: date, now: datetime) -> Refusal | None:
    """Say why a day's post cannot be on a date."""
    earliest = earliest_date(plan.content.head, now)
    if to < earliest:
        return Refusal(Why.PAST, {"date": to, "earliest": earliest})
    if to > earliest + timedelta(days=MOST_DAYS_AHEAD):
        return Refusal(Why.FAR, {"date": to})
    before = [day for day in plan.days[: number - 1] if not day.is_skipped]
    if before and to <= before[-1].on_date:
        other = before[-1]
        return Refusal(
            Why.BEFORE_OTHER, {"day": number, "other": other.number, "date": other.on_date}
        )
    return None


def _move(plan: Plan, number: int, to: date, now: datetime) -> Plan | Refusal:
    day = _changeable(plan, number, now)
    if isinstance(day, Refusal):
        return day
    if day.is_skipped:
        return Refusal(Why.SKIPPED, {"day": number})
    if to == day.on_date and not day.is_held:
        return Refusal(Why.SAME_DATE, {"day": number, "date": to})
    if (refused := _date_refused(plan, number, to, now)) is not None:
        return refused
    return _shifted(plan, number, to - day.on_date, now)


def _skip(plan: Plan, number: int, now: datetime) -> Plan | Refusal:
    day = _changeable(plan, number, now)
    if isinstance(day, Refusal):
        return day
    if day.is_skipped:
        return Refusal(Why.SKIPPED_ALREADY, {"day": number})
    return _relaid(plan, now, ahead={number: replace(day, is_skipped=True)})


def _unskip(plan: Plan, number: int, now: datetime) -> Plan | Refusal:
    day = _changeable(plan, number, now)
    if isinstance(day, Refusal):
        return day
    if not day.is_skipped:
        return Refusal(Why.NOT_SKIPPED, {"day": number})
    others = [each for each in plan.days if not each.is_skipped]
    wrong = [
        each
        for each in others
        if (each.number < number) != (each.on_date < day.on_date) or each.on_date == day.on_date
    ]
    if wrong:
        return Refusal(
            Why.DATE_TAKEN,
            {"day": number, "date": day.on_date, "other": wrong[0].number},
        )
    return _relaid(plan, now, ahead={number: replace(day, is_skipped=False)})


def _swap(plan: Plan, one: int, other: int, now: datetime) -> Plan | Refusal:
    for number in (one, other):
        day = _changeable(plan, number, now)
        if isinstance(day, Refusal):
            return day
        if day.is_skipped:
            return Refusal(Why.SKIPPED, {"day": number})
    if one == other:
        return Refusal(Why.SAME_DAY, {"day": one})
    written = list(plan.content.days)
    written[one - 1], written[other - 1] = written[other - 1], written[one - 1]
    content = plan.content.model_copy(update={"days": tuple(written)})
    return _relaid(replace(plan, content=content), now, ahead={})


def _write_anew(plan: Plan, number: int, content: Content, now: datetime) -> Plan | Refusal:
    """Let a day be done in another way, also one that is out: then it keeps its times and kind."""
    if not 1 <= number <= len(plan.days):
        return Refusal(Why.NO_SUCH_DAY, {"day": number, "days": len(plan.days)})
    old, new = plan.content.days[number - 1], content.days[number - 1]
    if old == new:
        return Refusal(Why.SAME_WRITTEN, {"day": number})
    if plan.is_out(plan.days[number - 1], now) and is_rest(old) != is_rest(new):
        return Refusal(Why.OUT_KIND, {"day": number})
    return _relaid(replace(plan, content=content), now, ahead={})


def _set_time(plan: Plan, which: str, local_time: str | None, now: datetime) -> Plan | Refusal:
    times = plan.content.head.times
    if getattr(times, which) == local_time:
        return Refusal(Why.SAME_TIME, {"which": which, "time": local_time})
    wanted = times.model_dump() | {which: local_time}
    if wanted["post"] == wanted["close"]:
        return Refusal(Why.CLOSE_IS_POST, {"time": local_time})
    try:
        changed = Times.model_validate(wanted)
    except ValidationError:
        return Refusal(Why.REMINDER, {"time": wanted["reminder"], **_span(wanted)})
    return _with_head(plan, {"times": changed}, now)


def _span(times: Mapping[str, object]) -> dict[str, object]:
    return {"post": times["post"], "close": times["close"]}


def _set_zone(plan: Plan, name: str, now: datetime) -> Plan | Refusal:
    if name == plan.content.head.time_zone:
        return Refusal(Why.SAME_ZONE, {"zone": name})
    return _with_head(plan, {"time_zone": name}, now)


def _with_head(plan: Plan, update: Mapping[str, object], now: datetime) -> Plan | Refusal:
    """Change the head; no day may come to lie in the past by that."""
    head = plan.content.head.model_copy(update=dict(update))
    content = plan.content.model_copy(update={"head": head})
    changed = _relaid(replace(plan, content=content), now, ahead={})
    coming = {day.number for day in plan.coming(now) if not day.is_held}
    late = [day for day in changed.days if day.number in coming and day.opens_at <= now]
    if late:
        return Refusal(Why.TIME_PAST, {"day": late[0].number, "at": late[0].opens_at})
    return changed


def _pause(plan: Plan, now: datetime) -> Plan | Refusal:
    if plan.paused_at is not None:
        return Refusal(Why.PAUSED_ALREADY)
    out = [day.opens_at for day in plan.days if day.number in plan.begun]
    paused_at = max([now, *out])  # what is being sent at this moment is out, not held
    days = tuple(replace(day, is_held=day.opens_at > paused_at) for day in plan.days)
    return replace(plan, days=days, paused_at=paused_at)


def _resume(plan: Plan, on: date | None, now: datetime) -> Plan | Refusal:
    if plan.paused_at is None:
        return Refusal(Why.NOT_PAUSED)
    freed = replace(plan, paused_at=None)
    held = plan.coming(now)
    if not held:
        return replace(freed, days=tuple(replace(day, is_held=False) for day in plan.days))
    first = held[0]
    to = max(first.on_date, earliest_date(plan.content.head, now)) if on is None else on
    if (refused := _date_refused(plan, first.number, to, now)) is not None:
        return refused
    going = _shifted(freed, first.number, to - first.on_date, now)
    return replace(going, days=tuple(replace(day, is_held=False) for day in going.days))


def _post_now(plan: Plan, number: int, now: datetime) -> Plan | Refusal:
    if plan.paused_at is not None:
        return Refusal(Why.PAUSED)
    if number in plan.given_up and plan.days[number - 1].has_opened(now):
        has_closed = plan.days[number - 1].has_closed(now)
        return Refusal(Why.OVER, {"day": number}) if has_closed else plan
    day = _changeable(plan, number, now)
    if isinstance(day, Refusal):
        return day
    if day.is_skipped:
        return Refusal(Why.SKIPPED, {"day": number})
    first = plan.coming(now)[0]
    if first.number != number:
        return Refusal(Why.NEXT_FIRST, {"day": number, "other": first.number})
    out = replace(day, opens_at=now, on_date=_date_if_posted(plan, day, now))
    days = tuple(out if each is day else each for each in plan.days)
    return replace(plan, days=days)


def _date_if_posted(plan: Plan, day: Day, now: datetime) -> date:
    """Give the date of a day that is posted early: today's, unless the day before has that."""
    today = now.astimezone(plan.content.head.zone).date()
    taken = [each.on_date for each in plan.days[: day.number - 1] if not each.is_skipped]
    if today < day.on_date and (not taken or taken[-1] < today):
        return today
    return day.on_date
