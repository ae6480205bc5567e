"""An organiser's order about a group's plan: who gave it, where, and how it is answered."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bot.calls import Rows
from bot.handlers.presses import Press
from bot.messages import pieces
from bot.running import Running
from bot.speaker import Spoken
from bot.turn import Turn
from bot.wording import Wording, lines
from store import groups
from store.values import UserId


@dataclass(frozen=True, slots=True)
class Order:
    """Words behind /plan, or a button that carries such words; `running` may have ended."""

    turn: Turn
    running: Running
    by: Spoken | Press

    @property
    def user_id(self) -> UserId:
        """The organiser."""
        return UserId(self.by.user_id)

    @property
    def say(self) -> Wording:
        """The challenge's texts."""
        return self.running.say

    @property
    def is_private(self) -> bool:
        """Whether it was given to the bot alone."""
        return self.by.chat_id == self.by.user_id

    async def tell(self, text: Markup, *, buttons: Rows = ()) -> None:
        """Owe the answer: to words a reply, to a button a new text of its message.

        In private the group stands above it.
        """
        if self.is_private:
            text = lines([await self._group(), text])
        if isinstance(self.by, Press):
            self.turn.toast(self.by.query_id)
            self._rewrite(self.by, text, buttons)
        else:
            self.turn.reply(self.by, text, buttons=buttons)

    def _rewrite(self, pressed: Press, text: Markup, buttons: Rows) -> None:
        """Owe a new text for the button's message; what does not fit into it comes below."""
        first, *rest = pieces(text)
        chat_id, thread_id = pressed.chat_id, pressed.thread_id
        self.turn.rewrite(chat_id, pressed.message_id, first, () if rest else buttons)
        if rest:
            more = Markup("\n").join(rest)
            self.turn.say(chat_id, more, buttons=buttons, thread_id=thread_id)

    async def refuse(self, text: Markup) -> None:
        """Owe the reason why nothing happens; a button's message stays as it is."""
        if isinstance(self.by, Press):
            self.turn.toast(self.by.query_id, text)
        else:
            await self.tell(text)

    async def _group(self) -> Markup:
        return self.say("plan_in_group", group=await group_name(self.turn, self.running))


async def group_name(turn: Turn, running: Running) -> str:
    """Give what the group of a challenge is called."""
    title = await groups.group_title(turn.session, running.stored.chat_id)
    return title or str(running.say("plan_in_group_unnamed"))
