"""Publish planned posts: claim in the database, send, confirm. Never the same post twice silently.

The platform takes no idempotency key, so a crash between sending and confirming leaves an unknown
outcome. We err on the side of not sending: the organiser is asked.
"""

from __future__ import annotations

import logging
import traceback
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import assert_never

from markupsafe import Markup
from sqlalchemy.ext.asyncio import AsyncSession
from telegram import Bot

from bot.calls import Button, Rows, Say
from bot.organisers import to_organisers
from bot.outbox import owe_calls
from bot.post_text import PostText, post_text
from bot.running import Running, Shelf
from bot.sending import Later, Moved, NotReady, Outcome, Refused, Sent, Unknown, make_call
from bot.timetable import PostKind, local_text
from store import challenges, groups, inbox, posts
from store.engine import Database
from store.errors import ChatsBothInUse
from store.hold import hold
from store.values import ChatId, Post

log = logging.getLogger(__name__)

Key = tuple[int, int, int, str]

_BATCH = 50
_BACKLOG = timedelta(seconds=1)
_TRY_AGAIN = timedelta(minutes=5)  # a post that we fail to write
_LOUD = {PostKind.DAY, PostKind.REMINDER}  # what people may want to be called for


class Behind:
    """A result waits for words that were said before it and are still to be handled."""


class Poster:
    """Publishes whatever is due whenever it is woken.

    Args:
        is_caught_up: Says whether everything said before the start has been fetched; results
            wait for that, so that no score said in time is missing from them.
    """

    def __init__(
        self,
        bot: Bot,
        database: Database,
        shelf: Shelf,
        clock: Callable[[], datetime],
        *,
        is_caught_up: Callable[[], bool],
    ) -> None:
        self._bot = bot
        self._database = database
        self._shelf = shelf
        self._clock = clock
        self._held: dict[ChatId, datetime] = {}  # the platform told us to wait until then
        self._is_caught_up = is_caught_up
        self._failed: dict[Key, datetime] = {}  # posts not to be tried again before

    async def ask_about_interrupted(self) -> None:
        """At start: posts that were being sent when the program stopped go to the organisers."""
        async with self._database.work() as session:
            for post in await posts.claimed_before(session, self._clock()):
                await self._unknown(session, post, "stopped while sending")
            await session.commit()

    async def post_due(self) -> timedelta | None:
        """Publish everything that is due, the earliest first.

        Returns:
            How long to wait before trying again what the platform put off, or None.
        """
        behind: set[ChatId] = set()  # asked again at every call: it may be over at any moment
        while due := await self._due(behind):
            for post in due:
                if post.chat_id in self._held or post.chat_id in behind:
                    continue
                match await self._publish_apart(post):
                    case Behind():
                        behind.add(post.chat_id)
                    case Later(wait=wait):
                        self._held[post.chat_id] = self._clock() + wait
                    case Moved() | Refused(gone=True):
                        break  # what else is due may be so elsewhere now, or no longer
        now = self._clock()
        again = [at - now for at in (*self._failed.values(), *self._held.values())]
        return min([*again, _BACKLOG] if behind else again, default=None)

    async def _due(self, behind: set[ChatId]) -> list[Post]:
        now = self._clock()
        self._failed = {key: at for key, at in self._failed.items() if at > now}
        self._held = {chat_id: at for chat_id, at in self._held.items() if at > now}
        async with self._database.reading() as session:
            due = await posts.due_posts(
                session,
                now,
                limit=_BATCH + len(self._failed),
                exclude_chats=(*self._held, *behind),
            )
        return [post for post in due if _key(post) not in self._failed]

    async def _publish_apart(self, post: Post) -> Outcome | Behind | None:
        """Publish one post; what goes wrong in writing it must not hold up the others."""
        try:
            return await self._publish(post)
        except Exception as error:  # noqa: BLE001 - logged; the error's words may be a person's
            log.error(  # noqa: TRY400 - same
                "post %s failed: %s\n%s",
                _key(post),
                type(error).__name__,
                "".join(traceback.format_tb(error.__traceback__)),
            )
            self._failed[_key(post)] = self._clock() + _TRY_AGAIN
            return None

    async def _publish(self, post: Post) -> Outcome | Behind | None:
        now = self._clock()
        async with self._database.work() as session:
            await hold(session, post.chat_id)
            stored = await challenges.challenge(session, post.chat_id, post.challenge_id)
            running = await self._shelf.open(session, stored)
            if stored.paused_at is not None or await posts.post_as_it_is(session, post) != post:
                return None  # the plan was changed since we looked
            if post.kind != PostKind.DAY and await self._is_behind(session, post):
                return Behind()
            if now > post.useful_until:
                await self._skip(session, post, running, now)
                await session.commit()
                return None
            if not await posts.claim(session, post, now):
                return None
            text = await post_text(session, running, post.day_number, PostKind(post.kind), now)
            await session.commit()
        outcome = await self._send(post, text, running.stored.thread_id)
        async with self._database.work() as session:
            await hold(session, post.chat_id)
            await self._settle(session, post, running, outcome)
            await session.commit()
        return outcome

    async def _is_behind(self, session: AsyncSession, post: Post) -> bool:
        """Say whether words said before a result may still be on their way to it."""
        waiting = await inbox.waiting(session, limit=1, only_chat=post.chat_id)
        return bool(waiting) or not self._is_caught_up()

    async def _send(self, post: Post, text: PostText, thread_id: int | None) -> Outcome:
        """Send a post's pieces; the first one's outcome counts unless a later one goes wrong."""
        first: Sent | None = None
        for number, piece in enumerate(text.pieces, start=1):
            loud = post.kind in _LOUD and first is None
            buttons = text.buttons if number == len(text.pieces) else ()
            outcome = await make_call(
                self._bot,
                Say(
                    post.chat_id, str(piece), buttons=buttons, thread_id=thread_id, quiet=not loud
                ),
            )
            if not isinstance(outcome, Sent):
                # Part of it is out: trying the whole again would double that part.
                return outcome if first is None else Unknown(f"part of it: {outcome}")
            first = first or outcome
        return first or Sent(None)

    async def _settle(
        self,
        session: AsyncSession,
        post: Post,
        running: Running,
        outcome: Outcome,
    ) -> None:
        now = self._clock()
        match outcome:
            case Sent(message_id=message_id):
                await posts.confirm(session, post, message_id=message_id, now=now)
                await end_after(session, post, now)
            case Later() | NotReady():
                await release_or_skip(session, post, now)
            case Moved(new_chat_id=new):
                await self._follow(session, post, ChatId(new), now)
            case Refused(why=why, gone=True):
                # Like all others of a group we cannot write to, the post waits until we can.
                await groups.note_group(session, post.chat_id, "", is_active=False, now=now)
                await self._tell_of_failure(
                    session, post, running, why, key="organiser_post_waits"
                )
                if not await release_or_skip(session, post, now):
                    await end_after(session, post, now)
            case Refused(why=why):
                await posts.skip(session, post, why=why, now=now)
                await self._tell_of_failure(session, post, running, why)
                await end_after(session, post, now)
            case Unknown(why=why):
                await self._unknown(session, post, why)
            case _:
                assert_never(outcome)

    async def _tell_of_failure(
        self,
        session: AsyncSession,
        post: Post,
        running: Running,
        why: str,
        key: str = "organiser_post_failed",
    ) -> None:
        named = await _named(session, post, running)
        await self._tell(session, post, running.say(key, **named, why=why))

    async def _skip(
        self, session: AsyncSession, post: Post, running: Running, now: datetime
    ) -> None:
        await posts.skip(session, post, why="too late to be useful", now=now)
        due = local_text(post.due_at, running.zone)
        text = running.say(
            "organiser_post_skipped", **await _named(session, post, running), due=due
        )
        await self._tell(session, post, text)
        await end_after(session, post, now)

    async def _follow(self, session: AsyncSession, post: Post, new: ChatId, now: datetime) -> None:
        """Re-key a chat that moved; its posts are due there as they were here."""
        is_planned = await release_or_skip(session, post, now)
        try:
            await groups.move_chat(session, old=post.chat_id, new=new)
        except ChatsBothInUse as error:
            log.error("%s", error)  # noqa: TRY400 - ids only, nothing to trace
            if is_planned:
                await posts.skip(session, post, why="the group has moved", now=now)

    async def _unknown(self, session: AsyncSession, post: Post, why: str) -> None:
        await posts.mark_unknown(session, post, why)
        stored = await challenges.challenge(session, post.chat_id, post.challenge_id)
        running = await self._shelf.open(session, stored)
        key = f"{post.chat_id}:{post.challenge_id}:{post.day_number}:{post.kind}"
        buttons = (
            (
                Button(str(running.say("button_post_there")), f"p:{key}:1"),
                Button(str(running.say("button_post_again")), f"p:{key}:0"),
            ),
        )
        text = running.say("organiser_post_unknown", **await _named(session, post, running))
        await self._tell(session, post, text, buttons)

    async def _tell(
        self,
        session: AsyncSession,
        post: Post,
        text: Markup,
        buttons: Rows = (),
    ) -> None:
        """Owe the organisers a private message."""
        calls = await to_organisers(session, post.chat_id, text, buttons=buttons)
        await owe_calls(session, calls, chat_id=post.chat_id, now=self._clock())


async def release_or_skip(session: AsyncSession, post: Post, now: datetime) -> bool:
    """Plan a post again and give True; if its challenge has ended, skip it and give False."""
    is_planned = await posts.release(session, post)
    if not is_planned:
        await posts.skip(session, post, why="the challenge has ended", now=now)
    return is_planned


async def end_after(session: AsyncSession, post: Post, now: datetime) -> None:
    """End the challenge if this was its last post."""
    if post.kind == PostKind.WEEK:
        await challenges.end_challenge(session, post.chat_id, post.challenge_id, now)


def _key(post: Post) -> Key:
    return (post.chat_id, post.challenge_id, post.day_number, post.kind)


async def _named(session: AsyncSession, post: Post, running: Running) -> dict[str, object]:
    return {
        "kind": running.say(f"plan_kind_{post.kind}"),
        "day": post.day_number,
        "group": await groups.group_title(session, post.chat_id),
    }
