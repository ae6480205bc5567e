"""/write, its buttons, and the messages that answer what it asked: find the wish and follow it."""

from __future__ import annotations

import re

from telegram import Update

from bot.draft_text import tell_bad_draft_words
from bot.draft_values import CHANGE, Awaited, Waits
from bot.draft_wishes import (
    Begin,
    BeginIn,
    DayWish,
    Define,
    Easier,
    KeyWish,
    Means,
    OfDay,
    Page,
    PutZone,
    SetCautions,
    SetCount,
    SetDivisions,
    SetTitle,
    Show,
    UseChange,
    WriteDay,
)
from bot.draft_words import read_draft_key, read_draft_words
from bot.handlers import score, write_head
from bot.handlers.alarm import alarm_for
from bot.handlers.answer_day import answer, means
from bot.handlers.at_desk import Writer, desk_of, key
from bot.handlers.begin_draft import begin_in, offer_begin
from bot.handlers.change_day import use_change
from bot.handlers.define_movement import define, easier, take_option, take_standard
from bot.handlers.draft_buttons import back_button
from bot.handlers.presses import press, replied_question
from bot.handlers.review_draft import ask_for_picture, ask_for_review
from bot.handlers.score import argument, refuse_unknown, scene_of
from bot.handlers.send_draft import send_draft
from bot.handlers.write_day import clear, preview, show_day, take_day
from bot.plan_values import SetTime
from bot.plan_words import BadWords
from bot.reading.reader import emergency_signs
from bot.reading.values import Question, ScoreRead
from bot.speaker import Spoken, spoken
from bot.talk import Talk
from bot.turn import Turn
from bot.wording import Wording
from content.shorthand.jotting import jot
from store import drafts
from store.values import ChatId

# What stands in front of a day's text: "/write 3", "/plan change 3:".
_BEHIND_COMMAND = re.compile(
    r"/(?:write|plan\s+change)(?:@\w+)?\s+(?:day\s+)?\d{1,3}\s*[:.)]?(?=\s|$)", re.IGNORECASE
)


async def on_write(update: Update, turn: Turn) -> None:
    """Start or go on with a draft; in private only, since nothing of it is out yet."""
    if (said := spoken(update)) is None:
        refuse_unknown(update, turn)
        return
    if not said.is_private:
        turn.reply(said, Wording()("write_in_private"))
        return
    writer = Writer(turn, said, await desk_of(turn, said.user_id))
    wish = read_draft_words(argument(said.text))
    if isinstance(wish, BadWords) and wish.key == "zone":
        await write_head.take_zone(writer, wish.text)
    elif isinstance(wish, BadWords):
        writer.tell(tell_bad_draft_words(writer.say, wish))
    else:
        await _follow(writer, wish)


async def on_draft_button(update: Update, turn: Turn) -> None:
    """Do what a button below a draft says: `d:<words>`."""
    if (pressed := press(update)) is None:
        return
    wish = read_draft_key(pressed.parts)
    if isinstance(wish, BeginIn):
        await begin_in(turn, pressed, wish)
        return
    if pressed.chat_id != pressed.user_id or isinstance(wish, BadWords):
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    writer = Writer(turn, pressed, await desk_of(turn, pressed.user_id))
    await _follow(writer, wish)


async def on_message(update: Update, turn: Turn) -> None:
    """Take a private message for what was asked of its writer; else it is no business of ours."""
    said = spoken(update)
    if said is None or not said.is_private or await replied_question(update, turn) is not None:
        await score.on_message(update, turn)
        return
    writer = Writer(turn, said, await desk_of(turn, said.user_id))
    waits = writer.desk.awaited(turn.now)
    if waits is None:
        await score.on_message(update, turn)
    elif signs := emergency_signs(_without_cautions(said.text)):
        await alarm_for(turn, said, signs)  # comes first, whatever was asked
    elif await _is_for_the_reader(writer, waits, said):
        await score.on_message(update, turn)
    else:
        await _take(writer, waits, said)


def _without_cautions(text: str) -> str:
    """Leave out the lines with which a day tells people when to stop."""
    kept = [line for line in text.splitlines() if not line.lstrip().lower().startswith("caution")]
    return "\n".join(kept)


async def _is_for_the_reader(writer: Writer, waits: Waits, said: Spoken) -> bool:
    """Say whether words are a participant's score or question rather than the day asked for.

    A score only where no text was sent for the day yet: later, a line of it may look like one.
    """
    if waits.what is not Awaited.DAY or "\n" in said.text:
        return False
    running = await writer.turn.running(chat_id=said.chat_id, user_id=said.user_id)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        return False
    person = await writer.turn.participant(running, said.user_id)
    if person is None:
        return False
    scene = await scene_of(Talk(writer.turn, running, said, day, person))
    reading = running.reader.read(said.text, scene)
    is_score = isinstance(reading, ScoreRead) and not writer.desk.text_of(waits.day)
    if not is_score and not (isinstance(reading, Question) and "?" in said.text):
        return False
    draft = writer.draft
    return jot(said.text, library=draft.library, divisions=draft.divisions).whole_day is None


async def on_edit(update: Update, turn: Turn) -> None:
    """Take an edited message for the day whose text it holds; else it is no business of ours."""
    said = spoken(update)
    number = None
    if said is not None and said.is_private:
        writer = Writer(turn, said, await desk_of(turn, said.user_id))
        number = writer.desk.day_of_message(said.message_id)
    if said is None or number is None:
        await score.on_edit(update, turn)
        return
    text = said.text
    if (found := _BEHIND_COMMAND.match(text)) is not None:
        text = text[found.end() :].strip()
    if text and text != writer.desk.text_of(number):
        await take_day(writer, number, text, message_id=said.message_id)


async def _take(writer: Writer, waits: Waits, said: Spoken) -> None:
    text = said.text
    match waits.what:
        case Awaited.TITLE:
            await write_head.set_title(writer, SetTitle(text))
        case Awaited.ZONE:
            await write_head.take_zone(writer, text)
        case Awaited.DAY:
            await answer(writer, waits.day, text, said.message_id)
        case Awaited.OPTION:
            await take_option(writer, text)
        case Awaited.STANDARD:
            await take_standard(writer, text)


async def _follow(writer: Writer, wish: KeyWish) -> None:
    """Do what was wished."""
    match wish:
        case Show(page=page):
            await _show(writer, page)
        case WriteDay(number=number, text=text) if text and number != CHANGE:
            message_id = writer.by.message_id if isinstance(writer.by, Spoken) else None
            await take_day(writer, number, text, message_id=message_id)
        case WriteDay(number=number):
            await show_day(writer, number)
        case DayWish(what=what, number=number):
            await _of_day(writer, what, number)
        case Means():
            await means(writer, wish)
        case Define():
            await define(writer, wish)
        case Easier():
            await easier(writer, wish)
        case UseChange():
            await use_change(writer, wish)
        case Begin():
            await offer_begin(writer, wish)
        case _:
            await _set(writer, wish)


async def _set(writer: Writer, wish: KeyWish) -> None:
    match wish:
        case SetTitle():
            await write_head.set_title(writer, wish)
        case PutZone(name=name):
            await write_head.put_zone(writer, name)
        case SetDivisions():
            await write_head.set_divisions(writer, wish)
        case SetCautions():
            await write_head.set_cautions(writer, wish)
        case SetTime():
            await write_head.set_time(writer, wish)
        case SetCount():
            await write_head.set_count(writer, wish)


async def _of_day(writer: Writer, what: OfDay, number: int) -> None:
    match what:
        case OfDay.SEE:
            preview(writer, number)
        case OfDay.CLEAR:
            await clear(writer, number)
        case OfDay.PICTURE:
            ask_for_picture(writer, number)


async def _show(writer: Writer, page: Page) -> None:
    say = writer.say
    match page:
        case Page.DRAFT:
            told = say("write_new") if writer.desk.draft is None else None
            await write_head.show_draft(writer, told)
        case Page.HELP:
            writer.tell(say("write_help"), buttons=((back_button(say),),))
        case Page.FILE:
            send_draft(writer)
        case Page.REVIEW:
            ask_for_review(writer)
        case Page.DISCARD:
            sure = key("discard sure", say("button_write_discard_sure"))
            writer.tell(say("write_discard"), buttons=((sure,), (back_button(say),)))
        case Page.DISCARD_SURE:
            await drafts.discard_draft(writer.turn.session, ChatId(writer.user_id))
            writer.tell(say("write_discarded"))
        case Page.TITLE | Page.ZONE | Page.DIVISIONS | Page.TIMES | Page.CAUTIONS:
            await write_head.ask_for(writer, page)
