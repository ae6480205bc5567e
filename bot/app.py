"""Build the bot and everything it stands on; start and stop it. The one place that wires."""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from telegram import (
    BotCommand,
    BotCommandScopeAllChatAdministrators,
    BotCommandScopeAllPrivateChats,
    Update,
)
from telegram.error import InvalidToken, TelegramError
from telegram.ext import (
    Application,
    ApplicationBuilder,
    CallbackQueryHandler,
    ChatMemberHandler,
    CommandHandler,
    ContextTypes,
    MessageHandler,
    filters,
)

from bot.alarm import Alarm
from bot.fetching import Fetcher, TokenRefused
from bot.handlers import (
    asking,
    buttons,
    calendar,
    choice,
    clock,
    copy_challenge,
    doubtful_post,
    earlier,
    groups,
    join,
    judge,
    kept,
    organise,
    plan,
    sent_file,
    take_out,
    weather,
    write,
)
from bot.inbox import Inbox, TakenElsewhere, chat_of
from bot.organisers import to_organisers
from bot.outbox import Outbox, owe_calls
from bot.posting import Poster
from bot.received_file import received_file
from bot.rights import Rights
from bot.running import Shelf
from bot.stopping import Stop
from bot.studio import Studio
from bot.turn import Open, Turn, opened
from bot.wording import Wording
from content.challenge import Challenge as Content
from store import asks, inbox, people, posts
from store import groups as known_groups
from store.engine import Database
from store.values import ChatId, UserId
from store.values import Update as Waiting

log = logging.getLogger(__name__)

Clock = Callable[[], datetime]
_TRIM_EVERY = timedelta(hours=1)  # it takes the write lock, and nothing is that old that soon
_KEEP_ASKS = timedelta(days=14)  # longer than anything can be made up in most challenges
_LONGEST_ID = 18  # signs of a chat's id. Source: Bot API, 52 significant bits
_KEEP_UPDATES = timedelta(days=3)  # done ones; the platform repeats nothing older than a day

COMMANDS = {
    "join": "take part and choose a division",
    "today": "today's workout for you",
    "clock": "the day's clock as sound, e.g. /clock 4 with a pace for 4 rounds",
    "easier": "easier ways, e.g. /easier lunges",
    "score": "write a score, e.g. /score 3 rounds + 45",
    "places": "how things stand",
    "mine": "your scores, places and streak",
    "calendar": "the days as a file for your calendar",
    "weather": "heat, cold or bad air: the usual measures, e.g. /weather 34 60",
    "kept": "in private: what I keep about you, and its deletion",
    "help": "what you can say to me",
}
ORGANISER_COMMANDS = {
    "begin": "start the challenge in this group",
    "plan": "the plan, and changes of it",
    "norep": "as a reply to a score: it does not count",
    "reinstate": "as a reply to a score: it stands again",
    "finish": "end the challenge",
}
# The menu of a private chat: there anybody may be somebody's organiser.
PRIVATE_COMMANDS = {
    "write": "write a challenge of your own",
    "plan": "the plan of a group you organise",
}


def real_clock() -> datetime:
    """Give the real time, aware, UTC."""
    return datetime.now(UTC)


class Rungbell:
    """The running bot.

    Args:
        token: Of the bot.
        api_url: Bot API address up to the token; a rehearsal's or the platform's.
        database: Migrated and open; closed by whoever opened it.
        content: The challenge that /begin offers.
        clock: Aware, UTC.
    """

    def __init__(
        self,
        *,
        token: str,
        api_url: str,
        database: Database,
        content: Content,
        clock: Clock = real_clock,
    ) -> None:
        self._clock = clock
        self._database = database
        self.application = _application(token, api_url, content)
        bot = self.application.bot
        self.shelf = Shelf()
        self._rights = Rights(bot, clock)
        self._owing = asyncio.Event()
        self._outbox = Outbox(bot, database, clock, ready=self._owing.set)
        self._poster = Poster(
            bot, database, self.shelf, clock, is_caught_up=lambda: self._fetcher.is_caught_up
        )
        self._alarm = Alarm(self.wake, clock)
        self._stop = Stop()
        self.inbox = Inbox(
            database, clock, handle=self._handle, give_up=self._give_up, stop=self._stop
        )
        self._fetcher = Fetcher(api_url, token, self.inbox.receive, self._stop)
        self._waking = asyncio.Lock()
        self._trimmed_at: datetime | None = None
        self._studio = Studio(database, clock, self._owing.set)
        self._tasks: list[asyncio.Task[None]] = []
        self._failed: asyncio.Future[None] | None = None

    async def start(self) -> None:
        """Connect, tell the platform our commands, and begin to work.

        Raises:
            TokenRefused: The platform does not know the token.
        """
        try:
            await self.application.initialize()
            await self.application.bot.delete_webhook()  # polling is refused while one is set
        except InvalidToken:
            raise TokenRefused from None  # the library's words hold the token
        me = self.application.bot.bot
        self._rights.note_privacy(off=bool(me.can_read_all_group_messages))
        await self._register_commands()
        await self._poster.ask_about_interrupted()
        self._failed = asyncio.get_running_loop().create_future()
        for work in (self._fetcher.run, self.inbox.run, self._send_owed):
            task = asyncio.create_task(work())
            task.add_done_callback(self._ended)
            self._tasks.append(task)
        self._owing.set()  # what an earlier run still owed
        self._alarm.start()
        log.info("started as bot %s", me.id)

    async def run(self) -> None:
        """Work until cancelled, or until something cannot go on.

        Raises:
            TokenRefused: The platform stopped knowing the token.
        """
        assert self._failed is not None, "start() comes first"  # noqa: S101 - a programming error
        await self._failed

    async def stop(self) -> None:
        """Fetch no more, finish what has begun, let go of everything."""
        self._stop.ask()
        await self._alarm.stop()  # a post on its way gets there
        await self._outbox.stop()
        await self._studio.stop()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        self._tasks.clear()
        await self.application.shutdown()
        await self.application.bot.shutdown()  # of a start that failed the former closes nothing

    async def wake(self) -> datetime | None:
        """Do everything that is due: posts and owed answers.

        Returns:
            When something is due next, or None if nothing is planned.
        """
        async with self._waking:
            return await self._wake()

    async def _wake(self) -> datetime | None:
        now = self._clock()
        put_off = await self._poster.post_due()
        wait = await self._outbox.send_all()
        if self._trimmed_at is None or now - self._trimmed_at >= _TRIM_EVERY:
            await self._trim(now)
        async with self._database.reading() as session:
            due_at = await posts.next_due_at(session)
        later = [self._clock() + each for each in (put_off, wait) if each is not None]
        if put_off is not None:  # what is due already waits for the platform
            return min(later)
        return min([*later, due_at] if due_at is not None else later, default=None)

    async def _trim(self, now: datetime) -> None:
        async with self._database.work() as session:
            await inbox.trim(session, now - _KEEP_UPDATES)
            await asks.trim_asks(session, now - _KEEP_ASKS)
            await session.commit()
        self._trimmed_at = now

    async def settle(self) -> None:
        """Wait until everything received is handled and everything due is done."""
        await self.inbox.settle()
        await self._studio.settle()
        await self.wake()
        while await self._outbox.made():
            await self.wake()

    def _ended(self, task: asyncio.Task[None]) -> None:
        if self._failed is None or self._failed.done() or task.cancelled():
            return
        error = task.exception()
        if error is not None:
            self._failed.set_exception(error)

    async def _register_commands(self) -> None:
        bot = self.application.bot
        everyone = [BotCommand(name, text) for name, text in COMMANDS.items()]
        organisers = [BotCommand(name, text) for name, text in ORGANISER_COMMANDS.items()]
        in_private = [BotCommand(name, text) for name, text in PRIVATE_COMMANDS.items()]
        try:
            await bot.set_my_commands(everyone)
            await bot.set_my_commands(
                [*everyone, *organisers], scope=BotCommandScopeAllChatAdministrators()
            )
            await bot.set_my_commands(
                [*everyone, *in_private], scope=BotCommandScopeAllPrivateChats()
            )
        except TelegramError as error:  # menus are a convenience; the commands work without
            log.warning("commands not registered: %s", error)

    async def _send_owed(self) -> None:
        while not self._stop.is_asked:
            await self._stop.or_result(self._owing.wait())
            self._owing.clear()
            wait = await self._outbox.send_all()
            if wait is not None:
                self._alarm.ring_soon()

    async def _handle(self, waiting: Waiting) -> None:
        """Handle one update: its effect, the answers it owes, and its being done in one go."""
        raw = json.loads(waiting.payload)
        update = Update.de_json(raw, self.application.bot)
        for chat_id in await self._chats_to_judge(raw):
            await self._rights.load(chat_id)  # the network stays out of the transaction
        file = await received_file(self.application.bot, raw)
        async with self._database.work() as session:
            if not await inbox.take(session, waiting.update_id):
                raise TakenElsewhere
            now = self._clock()
            with opened(
                Open(
                    session,
                    now,
                    self.shelf,
                    self._rights,
                    update_id=waiting.update_id,
                    file=file,
                )
            ) as turn:
                await self.application.process_update(update)
            if turn.failure is not None:
                raise turn.failure
            heard = update.message is not None and await known_groups.note_heard(
                session, waiting.chat_id, update.message.date
            )
            await owe_calls(session, turn.calls, chat_id=waiting.chat_id, now=now)
            await inbox.mark_done(session, waiting.update_id, now)
            await session.commit()
        if turn.calls:
            self._owing.set()
        self._studio.begin(turn.studies)
        if turn.replanned or heard:
            self._alarm.ring_soon()

    async def _chats_to_judge(self, raw: dict[str, Any]) -> list[ChatId]:
        """Give the chats whose administrators have to be known to handle an update.

        Those the update stands in and those its button names, as far as we know them; for a
        private command all groups that the person has organised.
        """
        if not _asks_for_rights(raw):
            return []
        here = chat_of(raw)
        async with self._database.reading() as session:
            if here < 0:
                found = {here}
            else:
                named = await people.groups_organised(session, UserId(here))
                found = {chat_id for chat_id, _ in named}
            for chat_id in _chats_named(raw):
                found.add(await known_groups.current_chat_id(session, chat_id))
            return sorted(
                [
                    chat
                    for chat in found
                    if chat == here or await known_groups.is_known(session, chat)
                ]
            )

    async def _give_up(self, waiting: Waiting, error: Exception) -> None:
        """An update failed for good: it is kept, and the organisers are told."""
        async with self._database.work() as session:
            group = await known_groups.group_title(session, waiting.chat_id)
            text = Wording()("organiser_error", group=group, reference=waiting.update_id)
            calls = await to_organisers(session, waiting.chat_id, text)
            await owe_calls(session, calls, chat_id=waiting.chat_id, now=self._clock())
            await session.commit()
        log.error("update %s set aside: %s", waiting.update_id, type(error).__name__)
        self._owing.set()


def _application(
    token: str, api_url: str, content: Content
) -> Application[Any, Any, Any, Any, Any, Any]:
    """Wire handlers: one function for each thing a person does."""
    application = (
        ApplicationBuilder()
        .token(token)
        .base_url(api_url)
        .base_file_url(_file_url(api_url))
        .updater(None)
        .context_types(ContextTypes(context=Turn))
        .build()
    )
    organiser = organise.Organiser(content)
    fresh = filters.UpdateType.MESSAGE  # an edited command is not given again
    commands = {
        "join": join.on_join_command,
        "today": asking.on_today,
        "clock": clock.on_clock,
        "easier": asking.on_easier,
        "score": asking.on_score,
        "places": asking.on_places,
        "mine": asking.on_mine,
        "weather": weather.on_weather,
        "kept": kept.on_kept,
        "help": asking.on_help,
        "start": asking.on_start,
        "begin": organiser.on_begin,
        "calendar": calendar.on_calendar,
        "plan": plan.on_plan,
        "write": write.on_write,
        "norep": judge.on_norep,
        "reinstate": judge.on_reinstate,
        "finish": organiser.on_finish,
    }
    for name, handler in commands.items():
        application.add_handler(CommandHandler(name, handler, filters=fresh))
    presses = {
        "a": choice.on_choice,
        "b": organiser.on_begin_button,
        "c": calendar.on_calendar_button,
        "d": write.on_draft_button,
        "e": earlier.on_earlier_button,
        "j": join.on_join_button,
        "k": copy_challenge.on_copy_button,
        "l": plan.on_plan_button,
        "n": clock.on_clock_button,
        "f": kept.on_kept_button,
        "m": buttons.on_movement,
        "p": doubtful_post.on_post_button,
        "w": take_out.on_take_out,
    }
    for letter, handler in presses.items():
        application.add_handler(CallbackQueryHandler(handler, pattern=f"^{letter}:"))
    application.add_handler(CallbackQueryHandler(buttons.on_unknown))
    application.add_handler(
        ChatMemberHandler(groups.on_my_membership, ChatMemberHandler.MY_CHAT_MEMBER)
    )
    application.add_handler(ChatMemberHandler(groups.on_membership, ChatMemberHandler.CHAT_MEMBER))
    words = (filters.TEXT | filters.CAPTION) & ~filters.COMMAND
    application.add_handler(MessageHandler(filters.StatusUpdate.MIGRATE, groups.on_migration))
    application.add_handler(MessageHandler(fresh & filters.Document.ALL, sent_file.on_file))
    application.add_handler(MessageHandler(fresh & words, write.on_message))
    edited_words = words | filters.Regex(r"(?i)^/(score|write|plan)(@\w+)?\s")
    application.add_handler(
        MessageHandler(filters.UpdateType.EDITED_MESSAGE & edited_words, write.on_edit)
    )
    application.add_error_handler(_note_failure)
    return application


def _file_url(api_url: str) -> str:
    """Give where files are fetched: `/file` stands before the last part of the address.

    Source: Bot API, getFile.
    """
    before, _, last = api_url.rpartition("/")
    return f"{before}/file/{last}"


async def _note_failure(_update: object, turn: Turn) -> None:
    """Hand a handler's error to whoever opened the turn: it rolls back and tries again."""
    error = turn.error
    turn.open.failure = error if isinstance(error, Exception) else RuntimeError("handler failed")


def _asks_for_rights(raw: dict[str, Any]) -> bool:
    """Say whether handling an update needs to know the group's administrators."""
    press = raw.get("callback_query")
    if press:
        return str(press.get("data", "")).partition(":")[0] in organise.BUTTONS
    words = str(raw.get("message", {}).get("text", "")).split(maxsplit=1)
    if not words or not words[0].startswith("/"):
        return False
    # As the library reads it: letter case does not matter, any white space ends it.
    return words[0][1:].partition("@")[0].lower() in organise.COMMANDS


def _chats_named(raw: dict[str, Any]) -> list[ChatId]:
    """Give the groups in a button's data: their ids are the numbers below zero."""
    parts = str(raw.get("callback_query", {}).get("data", "")).split(":")
    numbers = [part for part in parts if part.startswith("-") and part[1:].isdecimal()]
    return [ChatId(int(part)) for part in numbers if len(part) <= _LONGEST_ID]
