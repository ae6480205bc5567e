"""Show an organiser in private exactly what the group will see of a day."""

from __future__ import annotations

from bot.handlers.order import Order
from bot.handlers.presses import Press
from bot.plan_text import tell_refusal
from bot.plan_values import Refusal, Why
from bot.post_text import day_as_posted
from bot.timetable import local_text
from store import people


async def preview(order: Order, number: int) -> None:
    """Send the very text of a day's post, its buttons named above it."""
    running, say, turn = order.running, order.say, order.turn
    day = running.day(number)
    if day is None:
        values = {"day": number, "days": len(running.days)}
        refusal = Refusal(Why.NO_SUCH_DAY, values)
        await order.refuse(tell_refusal(say, refusal, running.zone))
        return
    if not order.is_private and not await people.can_write_to(turn.session, order.user_id):
        await order.refuse(say("plan_preview_unreachable"))
        return
    post = day_as_posted(running, number)
    labels = "] [".join(button.text for row in post.buttons for button in row)
    buttons = say("plan_preview_buttons", labels=labels)
    when = local_text(day.opens_at, running.zone)
    turn.say(order.user_id, say("plan_preview", day=number, when=when, buttons=buttons))
    for piece in post.pieces:
        turn.say(order.user_id, piece)
    if isinstance(order.by, Press):
        turn.toast(order.by.query_id, say("plan_previewed", day=number))
    elif not order.is_private:
        turn.reply(order.by, say("plan_previewed", day=number))
