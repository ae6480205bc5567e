"""One person's words in a running challenge, with all that is needed to answer them."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bot.calls import Rows
from bot.running import Running
from bot.speaker import Spoken
from bot.turn import Turn
from bot.wording import Wording
from content.task import Task
from store.values import Day, Participant


@dataclass(frozen=True, slots=True)
class Talk:
    """Who says what, on which day.

    `person` is None for somebody who has not joined. `into` is a message of ours (chat, number)
    whose place the answer takes.
    """

    turn: Turn
    running: Running
    said: Spoken
    today: Day
    person: Participant | None
    into: tuple[int, int] | None = None

    @property
    def say(self) -> Wording:
        """The challenge's texts."""
        return self.running.say

    @property
    def division(self) -> str:
        """The person's division; the challenge's first for somebody without one."""
        return self.running.division_of(self.person)

    @property
    def task(self) -> Task | None:
        """The person's work today, or None on a rest day."""
        return self.running.task(self.today.number, self.division)

    def reply(self, text: Markup, *, buttons: Rows = (), quote: str | None = None) -> None:
        """Owe a reply to the words, where they were said; `quote` is the slice it rests on."""
        if self.into is None:
            self.turn.reply(self.said, text, buttons=buttons, quote=quote)
        else:
            self.turn.rewrite(*self.into, text, buttons)
