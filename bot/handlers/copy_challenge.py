"""Let a stored challenge begin anew on another date, in its group or in another one."""

from __future__ import annotations

from datetime import date

from telegram import Update

from bot.calls import Button
from bot.handlers.begin import (
    announce,
    begin_challenge,
    full_date_text,
    offered_date,
)
from bot.handlers.order import Order, group_name
from bot.handlers.presses import Press, data, press
from bot.plan_text import tell_refusal
from bot.plan_values import Refusal, Why
from bot.running import Running
from bot.timetable import earliest_date
from bot.turn import Turn
from bot.wording import Wording
from store import challenges, groups, people
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
    turn = order.turn
    here = order.running.stored.chat_id
    if not order.is_private:
        return [(here, await group_name(turn, order.running))]
    found = []
    for chat_id, title in await people.groups_organised(turn.session, order.user_id):
        if not turn.open.rights.is_administrator(chat_id, order.user_id):
            continue
        if await challenges.running_challenge(turn.session, chat_id) is None:
            found.append((chat_id, title or str(order.say("plan_in_group_unnamed"))))
    return found


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
    await _begin(turn, pressed, original, target, start)


async def _original(turn: Turn, chat_id: ChatId, challenge_id: ChallengeId) -> Running | None:
    try:
        stored = await challenges.challenge(turn.session, chat_id, challenge_id)
    except NoSuchChallenge:
        return None
    return await turn.open.shelf.open(turn.session, stored)


async def _begin(
    turn: Turn, pressed: Press, original: Running, target: ChatId, start: date
) -> None:
    is_there = pressed.chat_id == target
    latest = await challenges.latest_challenge(turn.session, target)
    topic = pressed.thread_id if is_there else latest.thread_id if latest is not None else None
    running = await begin_challenge(
        turn,
        original.content,
        chat_id=target,
        organiser_id=pressed.user_id,
        organiser_name=pressed.name,
        start=start,
        thread_id=topic,
    )
    text, buttons = await announce(turn, running)
    if is_there:
        turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)
        return
    turn.say(target, text, buttons=buttons, thread_id=topic)
    head = running.content.head
    done = running.say(
        "plan_copied",
        title=head.title,
        group=await group_name(turn, running),
        date=full_date_text(start),
        time=head.times.post,
        zone=head.time_zone,
    )
    turn.rewrite(pressed.chat_id, pressed.message_id, done)
