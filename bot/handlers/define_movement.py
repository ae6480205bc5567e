"""Define a movement that a day's text uses: its pattern, an easier way, what makes it count.

The answers become a line of the text, so that the text stays all there is to know of the day.
"""

from __future__ import annotations

from dataclasses import replace

from bot.day_answers import mark_of, singular, with_definition
from bot.draft_values import CHANGE, Awaited, NewMovement
from bot.draft_wishes import Define, Easier
from bot.drafting import jot_day
from bot.handlers.at_desk import Writer, key
from bot.handlers.questions import DayText, in_rows
from bot.handlers.write_day import day_text, take_day
from content.loading import movement_library
from content.movement import Pattern

_MOST_EASIER = 6
_LONGEST = 300


async def define(writer: Writer, wish: Define) -> None:
    """Ask for the pattern of a new movement; once that is said, for an easier way."""
    day = await day_text(writer, wish.day)
    doubts = () if day is None or mark_of(day.text) != wish.mark else day.jotted.doubts
    if day is None or not 0 <= wish.doubt < len(doubts):
        writer.refuse(writer.say("stale_button"))
        return
    if wish.pattern is None:
        await ask_pattern(writer, wish.day, wish.doubt, day)
        return
    word = doubts[wish.doubt].word[:_LONGEST]
    new = NewMovement(day=wish.day, word=word, pattern=wish.pattern)
    writer = await _waiting(writer, new, Awaited.OPTION)
    easy = [
        each
        for each in movement_library().values()
        if each.pattern is wish.pattern and not each.kit
    ]
    keys = [key(f"easier:{each.id}", each.name) for each in easy[:_MOST_EASIER]]
    writer.tell(writer.say("write_new_option", word=word), buttons=in_rows(keys))


async def ask_pattern(writer: Writer, number: int, index: int, day: DayText) -> None:
    """Ask what a new movement trains."""
    behind = f"new:{number}:{index}:{mark_of(day.text)}"
    keys = [key(f"{behind}:{pattern}", str(pattern)) for pattern in Pattern]
    word = day.jotted.doubts[index].word
    writer.tell(writer.say("write_new_pattern", word=word), buttons=in_rows(keys))


async def _waiting(writer: Writer, new: NewMovement, what: Awaited) -> Writer:
    update = {"new": new, "waits": writer.waits(what, new.day)}
    return await writer.save(writer.desk.model_copy(update=update))


async def easier(writer: Writer, wish: Easier) -> None:
    """Take a movement that a button names as the easier way."""
    movement = movement_library().get(wish.movement)
    if writer.desk.new is None or movement is None:
        writer.refuse(writer.say("stale_button"))
        return
    await take_option(writer, movement.plural)


async def take_option(writer: Writer, said: str) -> None:
    """Take the easier way of a new movement, and ask what makes it count."""
    new = writer.desk.new
    if new is None:
        writer.refuse(writer.say("stale_button"))
        return
    new = new.model_copy(update={"option": " ".join(said.split())[:_LONGEST]})
    writer = await _waiting(writer, new, Awaited.STANDARD)
    writer.tell(writer.say("write_new_standard", word=new.word))


async def take_standard(writer: Writer, said: str) -> None:
    """Take what makes a repetition count, and write the movement below the day's text."""
    new = writer.desk.new
    text = writer.desk.text_of(new.day) if new is not None else None
    if new is None or text is None or new.pattern is None or new.option is None:
        writer.refuse(writer.say("stale_button"))
        return
    one, plural = (
        with_definition(text, name=name, pattern=new.pattern, option=new.option, standard=said)
        for name in (singular(new.word), new.word)
    )
    day = await day_text(_with_text(writer, new.day, one), new.day)
    is_known = day is not None and new.word not in {each.word for each in day.jotted.doubts}
    await take_day(writer, new.day, one if is_known else plural)


def _with_text(writer: Writer, number: int, text: str) -> Writer:
    """Give the writer as if the day had that text; nothing is saved."""
    desk = writer.desk
    if number == CHANGE and desk.change is not None:
        change = desk.change.model_copy(update={"text": text})
        return replace(writer, desk=desk.model_copy(update={"change": change}))
    draft, _ = jot_day(writer.draft, number, text)
    return replace(writer, desk=desk.model_copy(update={"draft": draft}))
