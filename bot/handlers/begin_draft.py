"""Begin a draft in a group that the person organises, on a date; from private or from /begin."""

from __future__ import annotations

from datetime import date, timedelta

from bot.calls import Button
from bot.draft_text import tell_next
from bot.draft_wishes import Begin, BeginIn
from bot.drafting import challenge_of
from bot.handlers.at_desk import Writer, desk_of, key
from bot.handlers.begin import begin_at_press, free_groups, full_date_text, offered_date
from bot.handlers.draft_buttons import back_button
from bot.handlers.presses import Press
from bot.timetable import date_text, earliest_date
from bot.turn import Turn
from bot.wording import Wording
from content.challenge import Challenge as Content
from store import challenges, groups
from store.values import ChatId

_MOST_GROUPS = 8
_A_WEEK = 7


async def offer_begin(writer: Writer, wish: Begin) -> None:
    """Offer the groups where the draft can begin, on the date said or on two near ones."""
    turn, say = writer.turn, writer.say
    content = challenge_of(writer.draft)
    if content is None:
        writer.refuse(say("write_not_complete", next=tell_next(say, writer.draft)))
        return
    dates = _dates(content, wish.on, turn)
    if not dates:
        example = earliest_date(content.head, turn.now).isoformat()
        writer.refuse(say("write_begin_bad_date", example=example))
        return
    targets = await free_groups(turn, writer.user_id)
    if not targets:
        writer.refuse(say("write_begin_no_room"))
        return
    rows = [
        (_key(say, chat_id, title, on, writer.user_id),)
        for chat_id, title in targets[:_MOST_GROUPS]
        for on in dates
    ]
    text = say(
        "write_begin_offer",
        title=content.head.title,
        days=len(content.days),
        time=content.head.times.post,
        zone=content.head.time_zone,
    )
    writer.tell(text, buttons=(*rows, (back_button(say),)))


def _dates(content: Content, on: date | None, turn: Turn) -> list[date]:
    """Give the date said if it will do; without one, the earliest and the Monday after it."""
    if on is not None:
        found = offered_date(content, on.toordinal(), turn.now)
        return [] if found is None else [found]
    first = earliest_date(content.head, turn.now)
    monday = first + timedelta(days=-first.weekday() % _A_WEEK)
    return sorted({first, monday})


def _key(say: Wording, chat_id: int, group: str, on: date, owner: int) -> Button:
    label = say("button_write_begin_in", group=group, date=date_text(on))
    return key(f"begin:{chat_id}:{on.toordinal()}:{owner}", label)


async def draft_offer(turn: Turn, user_id: int, chat_id: int, start: date) -> Button | None:
    """Give the button that begins a person's own draft in a group, if it is complete."""
    draft = (await desk_of(turn, user_id)).draft
    content = challenge_of(draft) if draft is not None else None
    if content is None or offered_date(content, start.toordinal(), turn.now) is None:
        return None
    label = Wording()("button_begin_draft", title=content.head.title, date=full_date_text(start))
    return key(f"begin:{chat_id}:{start.toordinal()}:{user_id}", label)


async def begin_in(turn: Turn, pressed: Press, wish: BeginIn) -> None:
    """Begin the presser's draft, if it is still complete and the group still free."""
    say = Wording()
    if wish.owner != pressed.user_id:
        turn.toast(pressed.query_id, say("not_your_button"))
        return
    target = await groups.current_chat_id(turn.session, ChatId(wish.chat_id))
    if not turn.open.rights.is_administrator(target, pressed.user_id):
        turn.toast(pressed.query_id, say("admin_only"))
        return
    draft = (await desk_of(turn, pressed.user_id)).draft
    content = challenge_of(draft) if draft is not None else None
    is_running = await challenges.running_challenge(turn.session, target) is not None
    start = offered_date(content, wish.ordinal, turn.now) if content is not None else None
    if content is None or start is None or is_running:
        turn.toast(pressed.query_id, say("stale_button"))
        return
    turn.toast(pressed.query_id)
    await begin_at_press(turn, pressed, content, target, start)
