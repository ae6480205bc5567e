"""Change a challenge's plan: take it from the store, apply the rule, put it back, say so."""

from __future__ import annotations

from dataclasses import dataclass

from bot.calls import Rows
from bot.handlers.order import Order
from bot.handlers.plan_views import back_button, tell_button
from bot.plan_text import Told, tell_change, tell_refusal
from bot.plan_values import Change, Plan, PostNow, Refusal
from bot.planning import change_plan, posts_after
from bot.running import Running
from bot.timetable import PostKind
from bot.turn import Turn
from store import plans, posts
from store.values import Post, PostState, UserId

_BEGUN = {PostState.CLAIMED, PostState.SENT, PostState.UNKNOWN}


@dataclass(frozen=True, slots=True)
class Made:
    """A change that was made: the challenge and its plan before and after, and what is said."""

    running: Running  # as it is now
    before: Running
    old: Plan
    kept: tuple[Post, ...]  # the posts before
    told: Told
    number: int  # of the line in the history


async def replan(order: Order, change: Change) -> None:
    """Make a change and say so; or say why it cannot be."""
    made = await make_change(order, change)
    if made is not None:
        await order.tell(made.told.now, buttons=change_buttons(order, made.number))


def change_buttons(order: Order, number: int) -> Rows:
    """Give the buttons below a change that was made."""
    back = back_button(order)
    # In the group everybody has just read it.
    return ((tell_button(order, number), back),) if order.is_private else ((back,),)


async def make_change(order: Order, change: Change) -> Made | None:
    """Make a change in the open transaction; days, posts and history go together or not at all.

    None: it was refused, and the organiser is told why.
    """
    turn, running = order.turn, order.running
    stored = await plans.challenge_to_change(
        turn.session, running.stored.chat_id, running.stored.challenge_id
    )
    running = await turn.open.shelf.open(turn.session, stored)  # as it is, now that it is ours
    kept = await posts.posts_of(turn.session, stored.chat_id, stored.challenge_id)
    old = plan_of(running, kept)
    new = change_plan(old, change, turn.now)
    if isinstance(new, Refusal):
        await order.refuse(tell_refusal(order.say, new, running.zone))
        return None
    changed = await plans.replan(
        turn.session,
        stored,
        content=new.content.model_dump_json(),
        tz=new.content.head.time_zone,
        paused_at=new.paused_at,
        days=new.days,
        posts=posts_after(new, kept, turn.now),
    )
    if isinstance(change, PostNow) and change.number in old.given_up:
        [given_up] = [post for post in kept if _is_day(post, change.number)]
        await posts.plan_again(turn.session, given_up, turn.now)
    told = tell_change(order.say, change, old, new, turn.now)
    number = await note_change(
        turn, running, user_id=order.user_id, name=order.by.name, what=told.line
    )
    turn.open.replanned = True
    now_running = await turn.open.shelf.open(turn.session, changed)
    return Made(now_running, running, old, kept, told, number)


def plan_of(running: Running, kept: tuple[Post, ...]) -> Plan:
    """Give a challenge's plan as the rules see it."""
    day_posts = {post.day_number: post.state for post in kept if post.kind == PostKind.DAY}
    return Plan(
        content=running.content,
        days=running.days,
        paused_at=running.stored.paused_at,
        begun=frozenset(number for number, state in day_posts.items() if state in _BEGUN),
        given_up=frozenset(
            number for number, state in day_posts.items() if state is PostState.SKIPPED
        ),
    )


async def note_change(turn: Turn, running: Running, *, user_id: int, name: str, what: str) -> int:
    """Write a line of the plan's history and give its number."""
    return await plans.note_change(
        turn.session, running.stored, by=UserId(user_id), by_name=name, what=what, at=turn.now
    )


def _is_day(post: Post, number: int) -> bool:
    return (post.day_number, post.kind) == (number, PostKind.DAY)
