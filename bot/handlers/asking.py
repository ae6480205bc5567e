"""Commands of participants: /today, /easier, /score, /places, /mine, /help, and private /start."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace

from markupsafe import Markup
from telegram import Update

from bot.handlers.answer import answer
from bot.handlers.earlier import has_earlier, offer_earlier
from bot.handlers.mine import mine_text
from bot.handlers.presses import replied_question
from bot.handlers.score import argument, handle_text, nothing_on, refuse_unknown, scene_of
from bot.reading.values import About, Question
from bot.speaker import Spoken, spoken
from bot.standings_text import places_text
from bot.talk import Talk
from bot.turn import Turn
from bot.wording import Wording, lines
from store import people
from store.values import UserId


async def on_today(update: Update, turn: Turn) -> None:
    """Show today's workout for the asker's division."""
    await _with_talk(update, turn, lambda talk: answer(talk, Question(About.TODAY)))


async def on_places(update: Update, turn: Turn) -> None:
    """Show how things stand; behind the command a day, or "earlier" for what has ended."""
    said = spoken(update)
    if said is not None and argument(said.text).lower() == "earlier":
        await offer_earlier(turn, said)
        return

    async def places(talk: Talk) -> None:
        wanted = argument(talk.said.text)
        number = int(wanted) if wanted.isdecimal() and len(wanted) < 4 else talk.today.number  # noqa: PLR2004
        day = talk.running.day(number)
        if day is None or not day.has_opened(turn.now):
            talk.reply(talk.say("no_such_day", name=talk.said.name, day=number))
        else:
            text = await places_text(turn.session, talk.running, number, turn.now)
            note = None
            if await has_earlier(turn, talk.running):
                note = talk.say("earlier_note")
            talk.reply(lines([text, note]))

    await _with_talk(update, turn, places)


async def on_mine(update: Update, turn: Turn) -> None:
    """Show the asker's own scores, places and streak."""

    async def mine(talk: Talk) -> None:
        talk.reply(await mine_text(turn, talk.running, talk.person))

    await _with_talk(update, turn, mine)


async def on_easier(update: Update, turn: Turn) -> None:
    """Show the easier ways of the movement named behind the command."""

    async def easier(talk: Talk) -> None:
        name = argument(talk.said.text)
        if not name and talk.task is not None:
            example = talk.task.movements[0].plural
            talk.reply(talk.say("easier_needs_text", movement=example))
            return
        found = talk.running.reader.movements_named(name, await scene_of(talk))
        one = found[0] if len(found) == 1 else None
        await answer(talk, Question(About.OPTION, movement=one, among=found))

    await _with_talk(update, turn, easier)


async def on_score(update: Update, turn: Turn) -> None:
    """Read what stands behind /score; here an unreadable score is not met with silence."""
    if (said := spoken(update)) is None:
        refuse_unknown(update, turn)
        return
    if text := argument(said.text):
        asked = await replied_question(update, turn)  # "/score the first" chooses too
        await handle_text(turn, replace(said, text=text), expected=True, asked=asked)
    else:
        turn.reply(said, Wording()("score_needs_text"))


async def on_help(update: Update, turn: Turn) -> None:
    """Say what can be said to the bot."""
    if (said := spoken(update)) is None:
        return
    say = Wording()
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    parts: list[Markup] = []
    if running is None:
        parts.append(say("help_none"))
    else:
        parts.append(running.say("help_group", title=running.content.head.title))
    if await _organises(turn, said):
        parts.append(say("help_organiser"))
    turn.reply(said, Markup("\n\n").join(parts))


async def _organises(turn: Turn, said: Spoken) -> bool:
    """Say whether somebody organises this group, or in private any."""
    if said.is_private:
        return bool(await people.groups_organised(turn.session, UserId(said.user_id)))
    return turn.open.rights.is_administrator(said.chat_id, said.user_id)


async def on_start(update: Update, turn: Turn) -> None:
    """Note that a person can be written to in private, and greet."""
    if (said := spoken(update)) is None:
        return
    if not said.is_private:
        await on_help(update, turn)
        return
    await people.mark_can_write_to(turn.session, UserId(said.user_id), can=True)
    say = Wording()
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    more = say("help_none") if running is None else None
    if await _organises(turn, said):
        more = say("help_organiser")
    turn.reply(said, lines([say("start_private", name=said.name), more]))


async def _with_talk(update: Update, turn: Turn, act: Callable[[Talk], Awaitable[None]]) -> None:
    """Act for somebody in a challenge that has begun; else say that there is none."""
    if (said := spoken(update)) is None:
        return
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id, ended_too=True)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        turn.reply(said, nothing_on(running, Wording()))
        return
    person = await turn.participant(running, said.user_id)
    await act(Talk(turn, running, said, day, person))
