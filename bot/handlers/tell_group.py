"""Tell the group of a change that an organiser made in private."""

from __future__ import annotations

from bot.handlers.order import Order
from bot.handlers.plan_views import back_button
from store import plans


async def tell_group(order: Order, number: int) -> None:
    """Say a line of the plan's history in the group, once."""
    turn, stored, say = order.turn, order.running.stored, order.say
    what = await plans.tell_change(
        turn.session, stored.chat_id, stored.challenge_id, number, turn.now
    )
    if what is None:
        await order.refuse(say("plan_told_already"))
        return
    turn.say(stored.chat_id, say("plan_told_group", what=what), thread_id=stored.thread_id)
    await order.tell(say("plan_told"), buttons=((back_button(order),),))
