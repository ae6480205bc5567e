"""Take the answer to what is not sure in a day's text: by a button, in words, by a line anew."""

from __future__ import annotations

from bot.day_answers import (
    mark_of,
    means_another,
    movement_meant,
    with_line,
    with_movement,
    worse_by,
)
from bot.draft_text import tell_remarks
from bot.draft_wishes import Means
from bot.handlers.at_desk import Writer
from bot.handlers.define_movement import ask_pattern
from bot.handlers.questions import DayText
from bot.handlers.write_day import day_text, take_day
from bot.wording import lines


async def means(writer: Writer, wish: Means) -> None:
    """Put the movement that was pressed in the place of the word."""
    day = await day_text(writer, wish.day)
    doubts = () if day is None or mark_of(day.text) != wish.mark else day.jotted.doubts
    if day is None or not 0 <= wish.doubt < len(doubts):
        writer.refuse(writer.say("stale_button"))
        return
    doubt = doubts[wish.doubt]
    if wish.movement not in doubt.nearest or wish.movement not in day.library:
        writer.refuse(writer.say("stale_button"))
        return
    movement = day.library[wish.movement]
    await take_day(writer, wish.day, with_movement(day.text, doubt, movement))


async def answer(writer: Writer, number: int, said: str, message_id: int) -> None:
    """Take words as the answer to what is open in a day's text, or as the text itself.

    One line takes the place of the line that was asked about; several lines, or one that makes a
    day where that does not, are the day anew.
    """
    day = await day_text(writer, number)
    if day is None or day.question is None or "\n" in said.strip():
        await take_day(writer, number, said, message_id=message_id)
        return
    doubt = next(iter(day.jotted.doubts), None)
    if doubt is not None and means_another(said, doubt, day.library):
        await ask_pattern(writer, number, 0, day)
    elif doubt is not None and (movement := movement_meant(said, doubt, day.library)) is not None:
        await take_day(writer, number, with_movement(day.text, doubt, movement))
    elif (mended := _mended(day, said)) is not None:
        is_all = message_id if mended == said else None
        await take_day(writer, number, mended, message_id=is_all)
    else:
        text = writer.say("write_no_answer", text=said[:200], line=day.question.place.line)
        writer.tell(lines([text, tell_remarks(writer.say, day.text, day.jotted)]))


def _mended(day: DayText, said: str) -> str | None:
    """Give the text with the line anew, or the words alone; None if neither makes it better."""
    if day.question is None:
        return said
    mended = with_line(day.text, day.question.place, said.strip())
    after = day.read(mended)
    if after.day is None and day.read(said).day is not None:
        return said
    return None if worse_by(day.jotted, after) else mended
