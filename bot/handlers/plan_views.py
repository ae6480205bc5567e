"""What an organiser sees of the plan: the timetable, a day, the times, the changes so far."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.handlers.order import Order
from bot.handlers.presses import data
from bot.plan_text import tell_refusal
from bot.plan_values import Plan, Refusal, Why
from bot.running import Running
from bot.timetable import PostKind, date_text, earliest_date, local_text
from bot.wording import lines
from store import plans, posts
from store.values import Day, Post, PostState

_MOST_LINES = 48  # of a timetable: it has to fit into one message, which buttons rewrite
_MOST_DAYS = 24  # with a button each
_A_ROW = 4
_MOST_CHANGES = 30
_HALF_AN_HOUR = timedelta(minutes=30)
_USUAL_REMINDERS = ("19:00", "18:00", "20:00", "12:00")


def _key(order: Order, label: str, words: str, **values: object) -> Button:
    """Give a button that does what the words behind /plan do."""
    stored = order.running.stored
    text = str(order.say(label, **values).unescape())
    return Button(text, data("l", stored.chat_id, stored.challenge_id, words))


def back_button(order: Order) -> Button:
    """Give the button that shows the whole plan again."""
    return _key(order, "button_plan_back", "")


def tell_button(order: Order, change_number: int) -> Button:
    """Give the button that tells the group of a change."""
    return _key(order, "button_plan_tell", f"tell {change_number}")


async def show_plan(order: Order) -> None:
    """Show the posts and how each went, with a button for every day that can be changed."""
    running, now = order.running, order.turn.now
    stored = running.stored
    kept = await posts.posts_of(order.turn.session, stored.chat_id, stored.challenge_id)
    heading = order.say(
        "plan_heading", title=running.content.head.title, zone=running.content.head.time_zone
    )
    paused = None
    if stored.paused_at is not None:
        paused = order.say("plan_paused_note", since=local_text(stored.paused_at, running.zone))
    text = lines([heading, paused, *_timetable(running, kept)])
    await order.tell(text, buttons=_plan_buttons(order, now))


def _timetable(running: Running, kept: Iterable[Post]) -> list[Markup]:
    """Give a line for each post and each day called off, those around now if there are many."""
    rows = [(post.due_at, _post_line(running, post)) for post in kept]
    is_done = [post.state is not PostState.PLANNED for post in kept]
    first = max(is_done.index(False) - 1, 0) if False in is_done else 0
    rows += [(day.opens_at, _called_off(running, day)) for day in running.days if day.is_skipped]
    told = [line for _, line in sorted(rows, key=lambda row: row[0])]
    if len(told) <= _MOST_LINES:
        return told
    shown = told[first : first + _MOST_LINES]
    later = len(told) - first - len(shown)
    before = [running.say("plan_earlier", count=first)] if first else []
    return [*before, *shown, *([running.say("plan_later", count=later)] if later > 0 else [])]


def _post_line(running: Running, post: Post) -> Markup:
    state = Markup("")
    if post.state is not PostState.PLANNED:
        state = running.say(f"plan_state_{post.state}", note=post.note)
    is_rest = post.kind == PostKind.DAY and running.days[post.day_number - 1].is_rest
    return running.say(
        "plan_line",
        due=local_text(post.due_at, running.zone),
        day=post.day_number,
        kind=running.say("plan_kind_rest" if is_rest else f"plan_kind_{post.kind}"),
        state=state,
    )


def _called_off(running: Running, day: Day) -> Markup:
    return running.say("plan_called_off", date=date_text(day.on_date), day=day.number)


def _plan_buttons(order: Order, now: datetime) -> Rows:
    plan = _plan(order)
    days = [
        _key(order, "button_plan_day", f"day {day.number}", day=day.number)
        for day in plan.ahead(now)[:_MOST_DAYS]
    ]
    rows = [tuple(days[at : at + _A_ROW]) for at in range(0, len(days), _A_ROW)]
    is_paused = plan.paused_at is not None
    turn = (
        _key(order, "button_plan_resume", "resume")
        if is_paused
        else _key(order, "button_plan_pause", "pause")
    )
    looks = [
        _key(order, "button_plan_times", "times"),
        _key(order, "button_plan_history", "history"),
        _key(order, "button_plan_help", "help"),
    ]
    return (*rows, (turn, *looks))


def _plan(order: Order) -> Plan:
    running = order.running
    return Plan(running.content, running.days, running.stored.paused_at)


async def show_day(order: Order, number: int) -> None:
    """Show a day that is not out, with what can be done with it."""
    if (day := await day_ahead(order, number)) is None:
        return
    key = "plan_day_view"
    if day.is_skipped:
        key = "plan_day_view_skipped"
    elif day.is_held:
        key = "plan_day_view_held"
    text = order.say(
        key,
        day=number,
        title=order.running.written[number].title,
        when=local_text(day.opens_at, order.running.zone),
        closes=local_text(day.closes_at, order.running.zone),
    )
    example = max(
        day.on_date + timedelta(days=1), earliest_date(order.running.content.head, order.turn.now)
    )
    words = order.say("plan_day_view_words", day=number, example=example.isoformat())
    await order.tell(lines([text, words]), buttons=_day_buttons(order, day))


async def day_ahead(order: Order, number: int) -> Day | None:
    """Give a day that is not out, or say why it cannot be changed and give None."""
    plan, now = _plan(order), order.turn.now
    day = order.running.day(number)
    if day in plan.ahead(now):
        return day
    values = {"day": number, "days": len(plan.days)}
    why = Why.OUT
    if day is None:
        why = Why.NO_SUCH_DAY
    elif day.is_skipped:
        why = Why.OVER
    await order.refuse(tell_refusal(order.say, Refusal(why, values), order.running.zone))
    return None


def _day_buttons(order: Order, day: Day) -> Rows:
    number = day.number
    if day.is_skipped:
        back = _key(order, "button_plan_unskip", f"unskip {number}")
        return ((back,), (back_button(order),))
    plan, now = _plan(order), order.turn.now
    moves = []
    for label, days in (("button_plan_earlier", -1), ("button_plan_later", 1)):
        to = day.on_date + timedelta(days=days)
        before = [each for each in plan.days[: number - 1] if not each.is_skipped]
        if to >= earliest_date(plan.content.head, now) and (not before or to > before[-1].on_date):
            words = f"move {number} {to.isoformat()}"
            moves.append(_key(order, label, words, date=date_text(to)))
    first = [_key(order, "button_plan_preview", f"preview {number}")]
    if not day.is_held and day == plan.coming(now)[0]:
        first.append(_key(order, "button_plan_now", f"ask {number}"))
    first.append(_key(order, "button_plan_skip", f"skip {number}"))
    return tuple(row for row in (tuple(first), tuple(moves), (back_button(order),)) if row)


async def show_now_question(order: Order, number: int) -> None:
    """Ask whether a day is to be posted at once: a press by mistake could not be undone."""
    if (day := await day_ahead(order, number)) is None:
        return
    when = local_text(day.opens_at, order.running.zone)
    sure = _key(order, "button_plan_now_sure", f"now {number}", day=number)
    text = order.say("plan_ask_now", day=number, when=when)
    await order.tell(text, buttons=((sure,), (back_button(order),)))


async def show_words(order: Order) -> None:
    """Show what can be written behind /plan."""
    back: Rows = ((back_button(order),),)
    await order.tell(order.say("plan_help", list=order.say("plan_words")), buttons=back)


async def show_times(order: Order) -> None:
    """Show the times of day, with buttons for the changes made most often."""
    head, say = order.running.content.head, order.say
    times = head.times
    text = say(
        "plan_times_view",
        zone=head.time_zone,
        post=times.post,
        close=times.close,
        reminder=times.reminder or say("plan_times_off"),
        standings=times.standings or say("plan_times_at_close"),
    )
    posts_at = [
        _key(order, "button_plan_post", f"post {at}", time=at)
        for at in (_shifted(times.post, -_HALF_AN_HOUR), _shifted(times.post, _HALF_AN_HOUR))
    ]
    reminders = [_key(order, "button_plan_reminder_off", "reminder off")]
    if times.reminder is None:
        fits = [at for at in _USUAL_REMINDERS if times.is_open_at(at)]
        reminders = [
            _key(order, "button_plan_reminder", f"reminder {at}", time=at) for at in fits[:1]
        ]
    rows = (tuple(posts_at), tuple(reminders), (back_button(order),))
    await order.tell(text, buttons=tuple(row for row in rows if row))


def _shifted(local_time: str, by: timedelta) -> str:
    at = datetime.fromisoformat(f"2000-01-01T{local_time}") + by
    return f"{at:%H:%M}"


async def show_history(order: Order) -> None:
    """Show who changed what and when, the latest last."""
    running, say = order.running, order.say
    stored = running.stored
    found = await plans.changes_of_plan(order.turn.session, stored.chat_id, stored.challenge_id)
    heading = say(
        "plan_history_heading",
        title=running.content.head.title,
        zone=running.content.head.time_zone,
    )
    told = [
        say(
            "plan_history_line",
            at=local_text(change.at, running.zone),
            name=change.by_name or say("plan_history_nobody"),
            what=change.what,
        )
        for change in found[-_MOST_CHANGES:]
    ]
    buttons: Rows = ((back_button(order),),) if stored.ended_at is None else ()
    await order.tell(lines([heading, *(told or [say("plan_history_none")])]), buttons=buttons)
