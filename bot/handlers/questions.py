"""What is not sure in a day's text: the buttons to answer it, and the text to be sent again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from bot.calls import Button, Rows
from bot.day_answers import first_question, mark_of
from bot.draft_text import named
from bot.handlers.at_desk import key
from bot.wording import Wording, lines
from content.challenge import Division
from content.movement import Movement
from content.shorthand.jotting import jot
from content.shorthand.values import Doubt, Jotted, Mistake

_MOST_NEAR = 5
_A_ROW = 3
_MOST_SHOWN = 3000  # characters of a text that is shown again; all of it is kept


@dataclass(frozen=True, slots=True)
class DayText:
    """A day's text, read. `number` as in `Desk.text_of`."""

    number: int
    text: str
    jotted: Jotted
    library: Mapping[str, Movement]
    divisions: Sequence[Division]

    @property
    def question(self) -> Doubt | Mistake | None:
        """What stands first in it and has to be put right or answered."""
        return first_question(self.jotted)

    def read(self, text: str) -> Jotted:
        """Read another text for the same day."""
        return jot(text, library=self.library, divisions=self.divisions)


def question_buttons(say: Wording, day: DayText) -> Rows:
    """Give the buttons of the first word that is not sure: one question at a time."""
    doubt = next(iter(day.jotted.doubts), None)
    if doubt is None:
        return ()
    behind = f"{day.number}:0:{mark_of(day.text)}"
    keys = [
        key(f"is:{behind}:{each}", name)
        for each, name in named(day.library, doubt.nearest[:_MOST_NEAR])
    ]
    label = say("button_write_new", word=doubt.word[:30])
    return (*in_rows(keys), (key(f"new:{behind}", label),))


def in_rows(keys: Sequence[Button]) -> Rows:
    """Put buttons side by side, as many as a phone shows."""
    return tuple(tuple(keys[at : at + _A_ROW]) for at in range(0, len(keys), _A_ROW))


def kept_text(text: str) -> Markup:
    """Show a text as it was sent, to be copied; a line's tags close on it."""
    shown = text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]} …"
    return lines(
        Markup("<code>{}</code>").format(line) if line.strip() else escape("")
        for line in shown.splitlines()
    )
