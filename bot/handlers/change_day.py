"""Change a day of a running challenge: take its text, read it back, use it when told to."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from bot.calls import Rows
from bot.day_answers import mark_of
from bot.day_changes import day_changes
from bot.draft_text import tell_day, tell_remarks
from bot.draft_values import CHANGE, Awaited, DayChange
from bot.draft_wishes import UseChange
from bot.handlers.at_desk import Writer, desk_of, key, save_desk
from bot.handlers.order import Order, group_name
from bot.handlers.questions import DayText, kept_text, question_buttons
from bot.handlers.replan import change_buttons, make_change
from bot.handlers.reread_day import keep_reread, read_again, tell_reread
from bot.handlers.rewrite_post import rewrite_post
from bot.plan_text import tell_refusal
from bot.plan_values import Refusal, Why, WriteAnew
from bot.plan_words import ChangeDay
from bot.reading.reader import Reader
from bot.running import Running
from bot.speaker import Spoken
from bot.turn import Turn
from bot.wording import lines
from bot.written import OneDay
from content.challenge import RestDay, WorkoutDay
from content.loading import assemble, movement_library
from content.movement import Movement
from content.shorthand.jotting import jot
from content.shorthand.values import Jotted
from content.shorthand.writing import NotInShorthand, shorthand_of
from store import groups
from store.values import ChatId

AnyDay = WorkoutDay | RestDay


async def keep_words(turn: Turn, user_id: int, wish: ChangeDay) -> str:
    """Keep a day's text until the person has said which group is meant; a button has no room.

    Returns:
        The words that ask for the change, short enough for a button.
    """
    desk = await desk_of(turn, user_id)
    change = DayChange(number=wish.number, text=wish.text)
    await save_desk(turn, user_id, desk.model_copy(update={"change": change, "waits": None}))
    return f"change {wish.number}"


async def start_change(order: Order, wish: ChangeDay) -> None:
    """Take a day's text, or show the day as it is and ask for one."""
    running, say = order.running, order.say
    if not order.is_private:
        await order.refuse(say("plan_change_in_private", day=wish.number))
        return
    if running.day(wish.number) is None:
        values = {"day": wish.number, "days": len(running.days)}
        await order.refuse(tell_refusal(say, Refusal(Why.NO_SUCH_DAY, values), running.zone))
        return
    writer = Writer(order.turn, order.by, await desk_of(order.turn, order.user_id))
    kept = writer.desk.change
    is_kept = kept is not None and kept.chat_id is None and kept.number == wish.number
    text = wish.text or (kept.text if kept is not None and is_kept else "")
    stored = running.stored
    change = DayChange(
        chat_id=stored.chat_id, challenge_id=stored.challenge_id, number=wish.number
    )
    writer = await _put(writer, change)
    if text:
        message_id = order.by.message_id if isinstance(order.by, Spoken) else None
        await take_change(writer, text, message_id=message_id)
    else:
        await _show_present(order, wish.number)


async def _put(writer: Writer, change: DayChange) -> Writer:
    update = {"change": change, "new": None, "waits": writer.waits(Awaited.DAY, CHANGE)}
    return await writer.save(writer.desk.model_copy(update=update))


async def _show_present(order: Order, number: int) -> None:
    running, say = order.running, order.say
    try:
        text = shorthand_of(
            running.written[number],
            library={**movement_library(), **running.content.movements},
            divisions=running.content.head.divisions,
        )
    except NotInShorthand:
        await order.tell(say("plan_change_ask", day=number))
        return
    asked = say("plan_change_ask_like", day=number)
    await order.tell(lines([asked, "", kept_text(text)]))


async def target_of(writer: Writer) -> Running | None:
    """Give the running challenge whose day is on the desk, wherever its group has moved."""
    change, turn = writer.desk.change, writer.turn
    if change is None or change.chat_id is None:
        return None
    chat_id = await groups.current_chat_id(turn.session, ChatId(change.chat_id))
    running = await turn.open.shelf.of_chat(turn.session, chat_id)
    if running is None or running.stored.challenge_id != change.challenge_id:
        return None
    return running


async def read_change(writer: Writer, text: str) -> DayText | None:
    """Read a text for the day on the desk; None if its challenge is over."""
    running = await target_of(writer)
    if running is None:
        return None
    library = {**movement_library(), **running.content.movements}
    divisions = running.content.head.divisions
    jotted = jot(text, library=library, divisions=divisions)
    return DayText(CHANGE, text, jotted, library, divisions)


async def take_change(writer: Writer, text: str, *, message_id: int | None = None) -> None:
    """Take a text for the day on the desk and read it back; it is not used yet."""
    day = await read_change(writer, text)
    running, change = await target_of(writer), writer.desk.change
    if day is None or running is None or change is None:
        writer.refuse(writer.say("plan_change_over"))
        return
    update = {
        "text": text,
        "day": day.jotted.whole_day,
        "movements": day.jotted.movements,
        "message_id": message_id or change.message_id,
    }
    writer = await _put(writer, change.model_copy(update=update))
    say, parts = writer.say, []
    if day.jotted.whole_day is not None:
        parts.append(await _told(writer, running, day.jotted))
    else:
        parts.append(say("write_day_not_made", day=change.number))
        parts.append(lines([say("write_text_is"), kept_text(text)]))
    if day.question is not None:
        parts.append(tell_remarks(say, text, day.jotted))
        parts.append(say("plan_change_mend"))
    buttons = (*question_buttons(say, day), *_use_button(writer))
    writer.tell(Markup("\n\n").join(parts), buttons=buttons)


async def take_change_file(writer: Writer, day: AnyDay) -> None:
    """Take a day that came as a file, and read it back; it is not used yet."""
    running, change = await target_of(writer), writer.desk.change
    if running is None or change is None:
        writer.refuse(writer.say("plan_change_over"))
        return
    update = {"text": "", "day": day, "movements": ()}
    writer = await _put(writer, change.model_copy(update=update))
    writer.tell(await _told(writer, running, None), buttons=_use_button(writer))


def _use_button(writer: Writer) -> Rows:
    change = writer.desk.change
    if change is None or change.day is None:
        return ()
    mark = mark_of(change.day.model_dump_json())
    return ((key(f"use:{mark}", writer.say("button_plan_use", day=change.number)),),)


def _changed(running: Running, change: DayChange, day: AnyDay) -> Running:
    """Give the challenge as if the day were used."""
    days = list(running.content.days)
    days[change.number - 1] = day
    content = assemble(running.content.head, days, _library(running, change))
    head = content.head
    reader = Reader(movements=content.movements, divisions=head.divisions, language=head.language)
    return replace(running, content=content, reader=reader)


def _library(running: Running, change: DayChange) -> dict[str, Movement]:
    new = {movement.id: movement for movement in change.movements}
    return {**movement_library(), **running.content.movements, **new}


async def _told(writer: Writer, running: Running, jotted: Jotted | None) -> Markup:
    """Read the day back, with what differs and what becomes of the results there are."""
    change, say = writer.desk.change, running.say
    if change is None or change.day is None:
        return Markup("")
    number, day = change.number, change.day
    after = _changed(running, change, day)
    library = _library(running, change)
    content = assemble(running.content.head, [day], library, first=number)
    differs = day_changes(
        say,
        running.written[number],
        day,
        divisions=running.content.head.divisions,
        movements=library,
    )
    is_out = running.days[number - 1].has_opened(writer.turn.now)
    parts = [
        say("plan_change_for", group=await group_name(writer.turn, running)),
        tell_day(OneDay(content, say, number, running.days), jotted),
        lines([say("plan_change_differs"), *(Markup("• ") + each for each in differs)])
        if differs
        else say("plan_no_same_written", day=number),
        say("plan_change_out" if is_out else "plan_change_ahead", day=number),
    ]
    if reread := await read_again(writer.turn, running, after, number):
        parts.append(tell_reread(running, reread, say("reread_will")))
    return Markup("\n\n").join(parts)


async def use_change(writer: Writer, wish: UseChange) -> None:
    """Use the day on the desk, if it is still the one the button was made for."""
    change, running = writer.desk.change, await target_of(writer)
    if change is None or change.day is None or running is None:
        writer.refuse(writer.say("stale_button"))
        return
    if mark_of(change.day.model_dump_json()) != wish.mark:
        writer.refuse(writer.say("stale_button"))
        return
    turn, rights = writer.turn, writer.turn.open.rights
    if not rights.is_administrator(running.stored.chat_id, writer.user_id):
        writer.refuse(writer.say("admin_only"))
        return
    order = Order(turn, running, writer.by)
    content = _changed(running, change, change.day).content
    made = await make_change(order, WriteAnew(change.number, content))
    if made is None:
        return
    await writer.save(writer.desk.model_copy(update={"change": None, "waits": None}))
    parts = [made.told.now]
    if (told := rewrite_post(turn, made, change.number)) is not None:
        parts.append(told)
    parts.extend(await keep_reread(turn, made, change.number, by=writer.user_id))
    buttons = change_buttons(order, made.number)
    await order.tell(Markup("\n\n").join(parts), buttons=buttons)
