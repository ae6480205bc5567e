"""One person writing: what is on the desk, how it is saved, how they are answered."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.draft_values import Awaited, Desk, Draft, Waits
from bot.handlers.presses import Press
from bot.messages import pieces
from bot.speaker import Spoken
from bot.turn import Turn
from bot.wording import Wording
from store import drafts
from store.values import ChatId, UserId


@dataclass(frozen=True, slots=True)
class Writer:
    """Words or a press of somebody, with what they are writing."""

    turn: Turn
    by: Spoken | Press
    desk: Desk

    @property
    def user_id(self) -> UserId:
        """Who it is; the private chat has the same id."""
        return UserId(self.by.user_id)

    @property
    def say(self) -> Wording:
        """The texts."""
        return Wording()

    @property
    def draft(self) -> Draft:
        """The draft; an empty one if none is begun."""
        return self.desk.draft or Draft()

    async def save(self, desk: Desk) -> Writer:
        """Keep what is on the desk from now on."""
        await save_desk(self.turn, self.user_id, desk)
        return replace(self, desk=desk)

    async def put(self, draft: Draft, waits: Waits | None = None) -> Writer:
        """Keep a changed draft, and what the next message is taken for."""
        return await self.save(
            self.desk.model_copy(update={"draft": draft, "waits": waits, "new": None})
        )

    def waits(self, what: Awaited, day: int = 0) -> Waits:
        """Say what the next message is taken for."""
        return Waits(what=what, day=day, since=self.turn.now)

    def tell(self, text: Markup, *, buttons: Rows = ()) -> None:
        """Owe the answer: to words a reply, to a button a new text of its message."""
        if isinstance(self.by, Spoken):
            self.turn.reply(self.by, text, buttons=buttons)
            return
        self.turn.toast(self.by.query_id)
        first, *rest = pieces(text)
        self.turn.rewrite(self.by.chat_id, self.by.message_id, first, () if rest else buttons)
        if rest:
            self.turn.say(self.by.chat_id, Markup("\n").join(rest), buttons=buttons)

    def refuse(self, text: Markup) -> None:
        """Owe the reason why nothing happens; a button's message stays as it is."""
        if isinstance(self.by, Press):
            self.turn.toast(self.by.query_id, text)
        else:
            self.tell(text)


def key(words: str, label: Markup | str) -> Button:
    """Give a button that does what the words behind /write do."""
    text = str(label.unescape()) if isinstance(label, Markup) else label
    return Button(text, f"d:{words}")


async def desk_of(turn: Turn, user_id: int) -> Desk:
    """Give what a person has on the desk, an empty one if nothing is there."""
    kept = await drafts.draft_of(turn.session, ChatId(user_id))
    return Desk() if kept is None else Desk.model_validate_json(kept)


async def save_desk(turn: Turn, user_id: int, desk: Desk) -> None:
    """Keep what a person has on the desk from now on."""
    written = desk.model_dump_json()
    await drafts.save_draft(turn.session, ChatId(user_id), written, now=turn.now)
