"""Ask for the review of a draft, or the picture of one of its days; both come a little later."""

from __future__ import annotations

from bot.draft_text import tell_next
from bot.drafting import challenge_of
from bot.handlers.at_desk import Writer
from bot.handlers.presses import Press
from bot.studio import Study, Wanted


def ask_for_review(writer: Writer) -> None:
    """Have the draft reviewed."""
    _ask(writer, Wanted.REVIEW)


def ask_for_picture(writer: Writer, number: int) -> None:
    """Have a day's picture drawn."""
    if 1 <= number <= len(writer.draft.days):
        _ask(writer, Wanted.PICTURE, number)
    else:
        count = len(writer.draft.days)
        writer.refuse(writer.say("write_no_such_day", day=number, days=count))


def _ask(writer: Writer, wanted: Wanted, day: int = 0) -> None:
    content = challenge_of(writer.draft)
    if content is None:
        told = tell_next(writer.say, writer.draft)
        writer.refuse(writer.say("write_not_complete", next=told))
        return
    writer.turn.open.studies.append(Study(writer.by.chat_id, content, wanted, day))
    waiting = writer.say("review_coming")
    if isinstance(writer.by, Press):
        writer.turn.toast(writer.by.query_id, waiting)
    else:
        writer.tell(waiting)
