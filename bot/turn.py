"""One update being handled: its transaction, its instant, and the answers it comes to owe.

Handlers get it as the library's context argument. What they save and what they say are committed
together; nothing is sent before that.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Self

from markupsafe import Markup
from sqlalchemy.ext.asyncio import AsyncSession
from telegram.ext import Application, CallbackContext, ExtBot

from bot.calls import Call, React, Rewrite, Rows, Say, Toast
from bot.messages import pieces
from bot.organisers import to_organisers
from bot.received_file import NoFile
from bot.rights import Rights
from bot.running import Running, Shelf
from bot.speaker import Spoken
from bot.studio import Study
from store import people
from store.values import ChatId, Participant, UpdateId, UserId

Data = dict[Any, Any]


@dataclass(slots=True)
class Open:
    """What is open while one update is handled."""

    session: AsyncSession
    now: datetime
    shelf: Shelf
    rights: Rights
    calls: list[Call] = field(default_factory=list)
    failure: Exception | None = None
    update_id: UpdateId | None = None  # the one being handled
    replanned: bool = False  # posts were planned: the alarm clock must look again
    studies: list[Study] = field(default_factory=list)  # to be begun once all is committed
    file: bytes | NoFile = NoFile.NONE  # what came with the message


_OPEN: ContextVar[Open] = ContextVar("open_turn")


@contextmanager
def opened(turn: Open) -> Iterator[Open]:
    """Make a turn the one that handlers called inside get."""
    token = _OPEN.set(turn)
    try:
        yield turn
    finally:
        _OPEN.reset(token)


class Turn(CallbackContext[ExtBot[None], Data, Data, Data]):
    """The context argument of every handler."""

    open: Open

    @classmethod
    def from_update(
        cls, update: object, application: Application[Any, Self, Data, Data, Data, Any]
    ) -> Self:
        """Take up the turn that is open."""
        context = super().from_update(update, application)
        context.open = _OPEN.get()
        return context

    @property
    def session(self) -> AsyncSession:
        """The open transaction."""
        return self.open.session

    @property
    def now(self) -> datetime:
        """When the update is handled; a message also has the instant it was said."""
        return self.open.now

    def owe(self, call: Call) -> None:
        """Note an answer to be given once everything is committed."""
        self.open.calls.append(call)

    def say(
        self,
        chat_id: int,
        text: Markup,
        *,
        buttons: Rows = (),
        reply_to: int | None = None,
        quote: str | None = None,
        thread_id: int | None = None,
    ) -> None:
        """Owe a message; a long one is cut, the buttons go below the last piece."""
        parts = pieces(text)
        for number, part in enumerate(parts, start=1):
            self.owe(
                Say(
                    chat_id,
                    str(part),
                    buttons=buttons if number == len(parts) else (),
                    reply_to=reply_to if number == 1 else None,
                    quote=quote if number == 1 else None,
                    thread_id=thread_id,
                )
            )

    def reply(
        self, said: Spoken, text: Markup, *, buttons: Rows = (), quote: str | None = None
    ) -> None:
        """Owe a reply to what somebody said, where it was said.

        Args:
            said: What is replied to.
            text: The answer.
            buttons: Below it.
            quote: The slice of the words it rests on; shown if it is not all of them.
        """
        self.say(
            said.chat_id,
            text,
            buttons=buttons,
            reply_to=said.message_id,
            quote=None if quote == said.text.strip() else quote,
            thread_id=said.thread_id,
        )

    def react(self, said: Spoken, emoji: str, text: Markup, *, buttons: Rows = ()) -> None:
        """Owe a reaction on what somebody said; the reply only where reactions are not allowed."""
        instead = Say(
            said.chat_id,
            str(text),
            buttons=buttons,
            reply_to=said.message_id,
            thread_id=said.thread_id,
        )
        self.owe(React(said.chat_id, said.message_id, emoji, instead))

    def rewrite(self, chat_id: int, message_id: int, text: Markup, buttons: Rows = ()) -> None:
        """Owe a new text for a message of ours."""
        self.owe(Rewrite(chat_id, message_id, str(text), buttons))

    def toast(self, callback_query_id: str, text: Markup | str = "") -> None:
        """Owe the answer to a button press; plain text, cut to what the platform shows."""
        plain = text.striptags() if isinstance(text, Markup) else text
        self.owe(Toast(callback_query_id, plain[:190]))

    async def running(
        self,
        *,
        chat_id: int,
        user_id: int,
        when: datetime | None = None,
        ended_too: bool = False,
    ) -> Running | None:
        """Give the challenge a person speaks of: the group's, or in private their own.

        Args:
            chat_id: Where it was said.
            user_id: Who said it.
            when: When it was said; words that came late still find the challenge of then.
            ended_too: Without a running one, give the latest.
        """
        shelf, when = self.open.shelf, when or self.now
        if chat_id == user_id:
            own = await shelf.of_person(self.session, UserId(user_id), when, ended_too=ended_too)
            return own[0] if own else None
        running = await shelf.of_chat(self.session, ChatId(chat_id), ended_too=True)
        if running is None or ended_too or running.stored.ended_at is None:
            return running
        return running if when < running.stored.ended_at else None

    async def participant(self, running: Running, user_id: int) -> Participant | None:
        """Give the person's place in a challenge, or None if they have not joined."""
        return await people.participant(
            self.session,
            chat_id=running.stored.chat_id,
            challenge_id=running.stored.challenge_id,
            user_id=UserId(user_id),
        )

    async def tell_organisers(self, chat_id: int, text: Markup, *, buttons: Rows = ()) -> bool:
        """Owe a private message to every organiser who can get one; say whether any can."""
        calls = await to_organisers(self.session, ChatId(chat_id), text, buttons=buttons)
        self.open.calls.extend(calls)
        return bool(calls)
