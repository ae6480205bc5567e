"""Edit the post of a day that was changed after it was out, with a note that says so."""

from __future__ import annotations

from markupsafe import Markup

from bot.day_changes import day_changes
from bot.handlers.replan import Made
from bot.messages import pieces
from bot.post_text import day_as_posted
from bot.timetable import PostKind, local_text
from bot.turn import Turn
from bot.wording import lines
from store.values import PostState


def rewrite_post(turn: Turn, made: Made, number: int) -> Markup | None:
    """Owe the edit of a day's post; a post of several messages is sent anew below itself.

    Returns:
        What the organiser is told; None if the day is not out.
    """
    say, running = made.running.say, made.running
    if not made.old.is_out(made.before.days[number - 1], turn.now):
        return None
    posts = {(each.day_number, each.kind): each for each in made.kept}
    post = posts.get((number, PostKind.DAY))
    if post is None or post.state is not PostState.SENT or post.message_id is None:
        return say("post_not_edited")
    note = _note(turn, made, number)
    was, now = day_as_posted(made.before, number), day_as_posted(running, number)
    chat_id = running.stored.chat_id
    whole = pieces(lines([note, "", *now.pieces]))
    if len(was.pieces) == len(now.pieces) == len(whole) == 1:
        turn.rewrite(chat_id, post.message_id, whole[0], now.buttons)
        return say("post_edited")
    turn.rewrite(chat_id, post.message_id, lines([note, say("post_see_below")]))
    turn.say(
        chat_id,
        lines([note, "", Markup("\n\n").join(now.pieces)]),
        buttons=now.buttons,
        reply_to=post.message_id,
        thread_id=running.stored.thread_id,
    )
    return say("post_sent_anew")


def _note(turn: Turn, made: Made, number: int) -> Markup:
    """Say when the day was changed, and what."""
    running = made.running
    old, new = made.before.content, running.content
    local = turn.now.astimezone(running.zone)
    is_today = local.date() == running.days[number - 1].on_date
    at = f"{local:%H:%M}" if is_today else local_text(turn.now, running.zone)
    what = day_changes(
        running.say,
        old.days[number - 1],
        new.days[number - 1],
        divisions=new.head.divisions,
        movements={**old.movements, **new.movements},
    )
    return running.say("post_changed_note", at=at, what=Markup("; ").join(what))
