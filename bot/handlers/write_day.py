"""Write a day of the draft: read its shorthand, keep it whatever is wrong, read it back."""

from __future__ import annotations

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.day_text import day_post
from bot.draft_text import one_day, tell_day, tell_draft, tell_next, tell_remarks
from bot.draft_values import CHANGE, Awaited, Draft, Waits
from bot.drafting import Step, clear_day, jot_day, library_for, next_step
from bot.handlers.at_desk import Writer, key
from bot.handlers.change_day import read_change, take_change
from bot.handlers.draft_buttons import back_button, draft_buttons, whole_buttons
from bot.handlers.questions import DayText, kept_text, question_buttons
from bot.messages import pieces
from bot.wording import Wording, lines
from content.challenge import RestDay, WorkoutDay
from content.shorthand.values import Jotted


async def show_day(writer: Writer, number: int) -> None:
    """Show a day of the draft, and take the next message for its text."""
    if not _is_there(writer, number):
        return
    draft, say = writer.draft, writer.say
    entry = draft.days[number - 1]
    writer = await writer.put(draft, writer.waits(Awaited.DAY, number))
    if entry.is_blank:
        writer.tell(say("write_day_ask", day=number), buttons=((back_button(say),),))
    elif entry.text:
        _, jotted = jot_day(draft, number, entry.text)
        _read_back(writer, number, jotted, shown=True)
    elif entry.day is not None:
        told = _told(writer, number, entry.day)
        text = lines([told, "", say("write_day_again", day=number)])
        writer.tell(text, buttons=_day_buttons(say, number, draft))


def _is_there(writer: Writer, number: int) -> bool:
    count = len(writer.draft.days)
    if 1 <= number <= count:
        return True
    writer.refuse(writer.say("write_no_such_day", day=number, days=count))
    return False


async def clear(writer: Writer, number: int) -> None:
    """Take out what was written for a day; what was sent stays in the chat above."""
    if _is_there(writer, number):
        writer = await writer.put(clear_day(writer.draft, number))
        told = writer.say("write_day_cleared", day=number)
        text = lines([told, "", tell_draft(writer.say, writer.draft)])
        writer.tell(text, buttons=draft_buttons(writer.say, writer.draft))


def preview(writer: Writer, number: int) -> None:
    """Show a day as the group will see it."""
    if not _is_there(writer, number):
        return
    day, say = writer.draft.days[number - 1].day, writer.say
    if day is None:
        writer.refuse(say("write_day_not_made", day=number))
        return
    post = day_post(one_day(say, writer.draft, number, day), number)
    for piece in pieces(post):
        writer.turn.say(writer.by.chat_id, piece)
    writer.tell(say("write_previewed", day=number), buttons=((back_button(say),),))


async def take_day(
    writer: Writer, number: int, text: str, *, message_id: int | None = None
) -> None:
    """Take a text for a day of the draft, or with CHANGE for the running challenge's.

    `message_id`: of the message that holds all of it, so that an edit of that is taken too.
    """
    if number == CHANGE:
        await take_change(writer, text, message_id=message_id)
        return
    if not _is_there(writer, number):
        return
    draft, jotted = jot_day(writer.draft, number, text, message_id=message_id)
    waits: Waits | None = writer.waits(Awaited.DAY, number)
    following = next_step(draft)
    if not jotted.problems and not jotted.doubts:
        is_next = following.step is Step.DAY
        waits = writer.waits(Awaited.DAY, following.day) if is_next else None
    writer = await writer.put(draft, waits)
    _read_back(writer, number, jotted)


def _read_back(writer: Writer, number: int, jotted: Jotted, *, shown: bool = False) -> None:
    """Say what was understood of a day's text; `shown`: the text too, to be sent again."""
    say, draft = writer.say, writer.draft
    text = draft.days[number - 1].text
    day = DayText(number, text, jotted, library_for(draft, text), draft.divisions)
    parts: list[Markup] = []
    if jotted.whole_day is not None:
        parts.append(_told(writer, number, jotted.whole_day, jotted))
    else:
        parts.append(say("write_day_not_made", day=number))
    if shown or jotted.whole_day is None:
        parts.append(lines([say("write_text_is"), kept_text(text)]))
    if day.question is not None:
        parts.append(tell_remarks(say, text, jotted))
        parts.append(say("write_mend", day=number))
    elif shown:
        parts.append(say("write_day_again", day=number))
    else:
        parts.append(tell_next(say, draft))
    buttons = (*question_buttons(say, day), *_day_buttons(say, number, draft))
    writer.tell(Markup("\n\n").join(parts), buttons=buttons)


def _told(
    writer: Writer, number: int, day: WorkoutDay | RestDay, jotted: Jotted | None = None
) -> Markup:
    return tell_day(one_day(writer.say, writer.draft, number, day), jotted)


def _day_buttons(say: Wording, number: int, draft: Draft) -> Rows:
    first = (
        key(f"preview {number}", say("button_write_preview")),
        key(f"clear {number}", say("button_write_clear")),
        back_button(say),
    )
    following = next_step(draft)
    onward: tuple[Button, ...]
    if following.step is Step.DAY and following.day != number:
        onward = (key(str(following.day), say("button_write_next", day=following.day)),)
    else:
        onward = whole_buttons(say, draft)
    return (first, onward) if onward else (first,)


async def day_text(writer: Writer, number: int) -> DayText | None:
    """Give the text of a day, read; None if there is none."""
    text = writer.desk.text_of(number)
    if not text:
        return None
    if number == CHANGE:
        return await read_change(writer, text)
    draft = writer.draft
    _, jotted = jot_day(draft, number, text)
    return DayText(number, text, jotted, library_for(draft, text), draft.divisions)
