"""Let a stored challenge begin anew on another date, in its group or in another one."""

from __future__ import annotations

from datetime import date

from telegram import Update

from bot.calls import Button
from bot.handlers.begin import (
    begin_at_press,
    free_groups,
    full_date_text,
    offered_date,
)
from bot.handlers.order import Order, group_name
from bot.handlers.presses import data, press
from bot.plan_text import tell_refusal
from bot.plan_values import Refusal, Why
from bot.running import Running
from bot.timetable import earliest_date
from bot.turn import Turn
from bot.wording import Wording
from store import challenges, groups
from store.errors import NoSuchChallenge
from store.values import ChallengeId, ChatId


async def offer_copy(order: Order, on: date) -> None:
    """Offer to begin the group's latest challenge on a date: here, in private in any group."""
    content, say = order.running.content, order.say
    if offered_date(content, on.toordinal(), order.turn.now) is None:
        earliest = earliest_date(content.head, order.turn.now)
        why = Why.PAST if on < earliest else Why.FAR
        refusal = Refusal(why, {"date": on, "earliest": earliest})
        await order.refuse(tell_refusal(say, refusal, order.running.zone))
        return
    if not order.is_private and order.running.stored.ended_at is None:
        await order.refuse(say("begin_running", title=content.head.title))
        return
    targets = await _free_groups(order)
    if not targets:
        await order.refuse(say("plan_copy_no_room"))
        return
    stored = order.running.stored
    rows = tuple(
        (
            Button(
                str(say("button_plan_copy", group=title).unescape()),
                data("k", stored.chat_id, stored.challenge_id, chat_id, on.toordinal()),
            ),
        )
        for chat_id, title in targets
    )
    text = say(
        "plan_copy_offer",
        title=content.head.title,
        days=len(content.days),
        date=full_date_text(on),
        time=content.head.times.post,
        zone=content.head.time_zone,
    )
    await order.tell(text, buttons=rows)


async def _free_groups(order: Order) -> list[tuple[ChatId, str]]:
    """Give where it can begin; other groups are named in private only."""
    if not order.is_private:
        return [(order.running.stored.chat_id, await group_name(order.turn, order.running))]
    return await free_groups(order.turn, order.user_id)


async def on_copy_button(update: Update, turn: Turn) -> None:
    """Begin it: `k:<chat of the original>:<challenge>:<chat>:<date as a number>`."""
    if (pressed := press(update)) is None:
        return
    say = Wording()
    numbers = pressed.numbers(4)
    if numbers is None:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    source, target = [
        await groups.current_chat_id(turn.session, ChatId(n)) for n in (numbers[0], numbers[2])
    ]
    rights = turn.open.rights
    if not all(rights.is_administrator(chat_id, pressed.user_id) for chat_id in (source, target)):
        turn.toast(pressed.query_id, say("admin_only"))
        return
    original = await _original(turn, source, ChallengeId(numbers[1]))
    is_running = await challenges.running_challenge(turn.session, target) is not None
    start = None
    if original is not None and not is_running:
        start = offered_date(original.content, numbers[3], turn.now)
    if original is None or start is None:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    turn.toast(pressed.query_id)
    await begin_at_press(turn, pressed, original.content, target, start)


async def _original(turn: Turn, chat_id: ChatId, challenge_id: ChallengeId) -> Running | None:
    try:
        stored = await challenges.challenge(turn.session, chat_id, challenge_id)
    except NoSuchChallenge:
        return None
    return await turn.open.shelf.open(turn.session, stored)
