"""The buttons below a draft."""

from __future__ import annotations

from bot.calls import Button, Rows
from bot.draft_values import Draft
from bot.drafting import Step, is_complete, next_step
from bot.handlers.at_desk import key
from bot.wording import Wording

_MOST_DAYS = 28  # with a button each
_A_ROW = 7


def back_button(say: Wording) -> Button:
    """Give the button that shows the whole draft again."""
    return key("", say("button_write_back"))


def draft_buttons(say: Wording, draft: Draft) -> Rows:
    """Give the days, the parts of the head, and what can be done with the whole."""
    days = [key(str(n), _day_label(draft, n)) for n in range(1, len(draft.days) + 1)]
    rows = [tuple(days[at : at + _A_ROW]) for at in range(0, min(len(days), _MOST_DAYS), _A_ROW)]
    head = tuple(
        key(words, say(f"button_write_{words}"))
        for words in ("title", "zone", "divisions", "times")
    )
    whole = whole_buttons(say, draft)
    rest = (key("help", say("button_write_help")), key("discard", say("button_write_discard")))
    following = next_step(draft)
    onward: tuple[Button, ...] = ()
    if following.step in {Step.DAY, Step.MEND, Step.ANSWER}:
        label = say("button_write_next", day=following.day)
        onward = (key(str(following.day), label),)
    return tuple(row for row in (onward, *rows, head, whole, rest) if row)


def whole_buttons(say: Wording, draft: Draft) -> tuple[Button, ...]:
    """Give what can be done with a complete draft; nothing before."""
    if not is_complete(draft):
        return ()
    return tuple(key(words, say(f"button_write_{words}")) for words in ("review", "begin", "file"))


def _day_label(draft: Draft, number: int) -> str:
    each = draft.days[number - 1]
    if each.day is None:
        return f"{number} ?" if not each.is_blank else f"{number} -"
    return f"{number} ?" if each.is_unsure else f"{number} ✓"
