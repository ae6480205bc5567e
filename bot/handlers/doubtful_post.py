"""An organiser says whether a post is there whose sending was interrupted."""

from __future__ import annotations

from telegram import Update

from bot.handlers.presses import press
from bot.posting import end_after, release_or_skip
from bot.timetable import PostKind
from bot.turn import Turn
from bot.wording import Wording
from store import groups, people, posts
from store.values import ChallengeId, ChatId, PostState


async def on_post_button(update: Update, turn: Turn) -> None:
    """Settle a post whose fate is unknown: `p:<chat>:<challenge>:<day>:<kind>:<1 or 0>`."""
    pressed = press(update)
    if pressed is None:
        return
    say = Wording()
    match pressed.parts:
        case [chat, challenge, day, kind, there] if kind in list(PostKind):
            numbers = pressed._replace(parts=[chat, challenge, day, there]).numbers(4)
        case _:
            numbers = None
    if numbers is None:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    chat_id, challenge_id, day_number, is_there = numbers
    chat_id = await groups.current_chat_id(turn.session, ChatId(chat_id))
    named = [user for user, _ in await people.organisers(turn.session, chat_id)]
    if pressed.user_id not in named:
        turn.toast(pressed.query_id, say("admin_only"))
        return
    found = [
        post
        for post in await posts.posts_of(turn.session, chat_id, ChallengeId(challenge_id))
        if (post.day_number, post.kind) == (day_number, pressed.parts[3])
    ]
    if not found or found[0].state is not PostState.UNKNOWN:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    if is_there:
        await posts.confirm(turn.session, found[0], message_id=None, now=turn.now)
        await end_after(turn.session, found[0], turn.now)
    else:
        await release_or_skip(turn.session, found[0], turn.now)
        turn.open.replanned = True
    turn.toast(pressed.query_id, say("post_settled"))
    turn.rewrite(pressed.chat_id, pressed.message_id, say("post_settled"))
