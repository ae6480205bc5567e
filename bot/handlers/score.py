"""What people write: read it, and record, ask, answer, warn or be silent."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import lru_cache

from markupsafe import Markup
from telegram import Update

from bot.handlers.alarm import alarm_for, alarm_for_unknown
from bot.handlers.answer import answer
from bot.handlers.choice import choose_in_words
from bot.handlers.presses import Asked, replied_question, running_behind
from bot.handlers.read_back import take_out_buttons
from bot.handlers.record import own_score
from bot.handlers.scored import scored
from bot.handlers.take_out import take_back
from bot.reading.normalise import normalise
from bot.reading.reader import Scene, could_matter, emergency_signs
from bot.reading.values import Ask, Caution, Chatter, Question, Reading, ScoreRead, TakeBack
from bot.running import Running, stored_score
from bot.score_text import example_score, score_text
from bot.speaker import Spoken, is_anonymous, is_to, spoken
from bot.talk import Talk
from bot.timetable import dates_of
from bot.turn import Turn
from bot.wording import Wording, lines
from store import asks, people, results
from store.values import ChatId, Day, Result, ResultState, UserId


async def on_message(update: Update, turn: Turn) -> None:
    """Read a message; whatever is not for us gets no answer."""
    if (said := spoken(update)) is not None:
        asked = await replied_question(update, turn)
        await handle_text(turn, said, asked=asked, to_us=is_to(update, turn.bot.bot))
    elif is_anonymous(update) and not await alarm_for_unknown(update, turn):
        await _refuse_anonymous(update, turn)


async def on_edit(update: Update, turn: Turn) -> None:
    """Read an edited message again, if its words have changed; /score may stand in front."""
    if (said := spoken(update)) is None:
        return
    if said.text.startswith("/"):
        said = replace(said, text=argument(said.text))
    key = (ChatId(said.chat_id), said.message_id)
    if await results.text_of_message(turn.session, *key) == said.text:
        return  # something else about it changed, a link's preview for example
    before = await results.results_of_message(turn.session, *key)
    await _close_question(turn, said)
    asked = await replied_question(update, turn)
    await handle_text(turn, said, before=before, is_edit=True, asked=asked)


def argument(text: str) -> str:
    """Give what stands behind a command."""
    return " ".join(text.split(maxsplit=1)[1:]).strip()


async def _close_question(turn: Turn, said: Spoken) -> None:
    """A question about words that are no longer there must not be answered."""
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    if running is None:
        return
    chat_id = running.stored.chat_id
    waiting = await asks.open_ask_of(turn.session, chat_id, UserId(said.user_id))
    if waiting is not None and waiting.message_id == said.message_id:
        await asks.close_ask(turn.session, chat_id, waiting.ask_id, turn.now)


async def handle_text(
    turn: Turn,
    said: Spoken,
    *,
    before: Sequence[Result] = (),
    is_edit: bool = False,
    expected: bool = False,
    asked: Asked | None = None,
    into: tuple[int, int] | None = None,
    to_us: bool = False,
) -> None:
    """Read what a person said and act on it.

    Args:
        turn: The open turn.
        said: The words; behind /score only the rest.
        before: The results that an earlier text of the same message gave.
        is_edit: The message was there before; questions in it are not answered again.
        expected: The person said that this is a score, so silence would be wrong.
        asked: The question of ours that the words reply to.
        into: A message of ours (chat, number) whose place the answer takes.
        to_us: The message names the bot or replies to it.
    """
    is_addressed = said.is_private or expected or asked is not None or into is not None
    if not (is_addressed or before or could_matter(said.text)):
        return  # most of what a group says; nothing need be fetched to know
    running = await _running_of(turn, said, asked)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        if signs := emergency_signs(said.text):  # those come first even where no reader is
            await alarm_for(turn, said, signs)
        elif expected:
            turn.reply(said, nothing_on(running, Wording()))
        return
    person = await turn.participant(running, said.user_id)
    talk = Talk(turn, running, said, day, person, into)
    scene = replace(await scene_of(talk), to_us=is_addressed or to_us, in_private=said.is_private)
    reading = running.reader.read(said.text, scene)
    if asked is not None:
        scene, reading = await _read_as_answer(talk, asked, scene, reading)
    if not is_edit and await choose_in_words(talk, reading, asked):
        return
    match reading:
        case Caution(signs=signs):
            await alarm_for(turn, said, signs)
        case ScoreRead() | Ask():
            await scored(talk, scene, reading, before)
        case TakeBack() if before or not is_edit:
            await take_back(talk, scene, reading, before)
        case Question() if not is_edit:
            await answer(talk, reading)
        case _:
            if standing := [each for each in before if each.state is ResultState.COUNTED]:
                _edited_away(talk, standing)
            elif expected:
                _not_read(talk)
            elif said.is_private and not is_edit:
                talk.reply(talk.say("nothing_found"))  # silence would look like a dead bot


async def _running_of(turn: Turn, said: Spoken, asked: Asked | None) -> Running | None:
    """Give the challenge words are about; in private a question may be of any of the person's."""
    if asked is not None and said.is_private:
        running = await running_behind(turn, [asked.chat_id])
        if running is not None and running.day_on(said.said_at) is not None:
            return running
    return await turn.running(chat_id=said.chat_id, user_id=said.user_id, when=said.said_at)


async def _read_as_answer(
    talk: Talk, asked: Asked, scene: Scene, reading: Reading
) -> tuple[Scene, Reading]:
    """Read words that reply to a question of ours.

    A score is one for the question's day and division unless it names others. In reply to
    somebody else's question it is about somebody else's score, so nothing for us.
    """
    question = await asks.ask_by_id(talk.turn.session, asked.chat_id, asked.ask_id)
    if question is None:
        return scene, reading
    if question.user_id != talk.said.user_id:
        is_theirs = isinstance(reading, ScoreRead | Ask | TakeBack)
        return scene, Chatter() if is_theirs else reading
    day = talk.running.day(question.day_number)
    here = (talk.running.stored.chat_id, talk.running.stored.challenge_id)
    is_here = (question.chat_id, question.challenge_id) == here
    if day is None or not is_here or not question.raw_text:  # trimmed, it knows no choices
        return scene, reading
    division = json.loads(question.choices)["division"] or talk.division
    there = replace(await scene_of(replace(talk, today=day)), division=division)
    again = talk.running.reader.read(talk.said.text, there)
    if _names_a_day(reading) or _names_a_day(again) or not isinstance(again, ScoreRead | Ask):
        return scene, reading
    beside = replace(again.said, division=again.said.division or division)
    return there, replace(again, said=beside)


def _names_a_day(reading: Reading) -> bool:
    return isinstance(reading, ScoreRead | Ask) and any(
        part.said.day is not None for part in (reading, *reading.also)
    )


def nothing_on(running: Running | None, wording: Wording) -> Markup:
    """Say why there is no day to speak about."""
    if running is None:
        return wording("no_challenge")
    head = running.content.head
    if running.stored.paused_at is not None:
        return wording("not_started_paused", title=head.title)
    days = [day for day in running.days if not day.is_skipped] or running.days
    first = days[0].opens_at.astimezone(running.zone)
    date = f"{first:%A} {first.day} {first:%B}"
    return wording("not_started", title=head.title, date=date, time=f"{first:%H:%M}")


async def scene_of(talk: Talk) -> Scene:
    """Gather what the reader may know."""
    previous = None
    if talk.person is not None:
        previous = await own_score(talk.turn, talk.running, talk.today, talk.said.user_id)
    score = stored_score(previous.result) if previous is not None else None
    scene = _scene(talk.running, talk.today, talk.said.said_at, division=talk.division)
    return replace(
        scene,
        previous=score,
        language=talk.said.language[:2].lower(),
        people=await _first_names_of_others(talk),
    )


async def _first_names_of_others(talk: Talk) -> frozenset[str]:
    stored, said = talk.running.stored, talk.said
    names = await people.names_of_others(
        talk.turn.session, stored.chat_id, stored.challenge_id, UserId(said.user_id)
    )
    return frozenset(map(_first_name, names)) - {_first_name(said.name), ""}


@lru_cache(maxsize=4096)
def _first_name(name: str) -> str:
    return normalise(name).text.partition(" ")[0]


def _scene(running: Running, today: Day, said_at: datetime, *, division: str) -> Scene:
    """Gather what does not depend on who writes."""
    return Scene(
        today=today.number,
        days=running.written,
        division=division,
        dates=dates_of(running.days),
        # Before the morning's post the day that is on is already yesterday's.
        said_on=said_at.astimezone(running.zone).date(),
        language=running.content.head.language,
    )


def _edited_away(talk: Talk, standing: Sequence[Result]) -> None:
    """A message that was a score is none any more: say so, do not guess."""
    text = lines(
        talk.say("edited_away", score=score_text(stored_score(each.result)), day=each.day_number)
        for each in standing
    )
    days = [talk.running.days[each.day_number - 1] for each in standing]
    if talk.person is not None:
        buttons = take_out_buttons(talk.running, talk.person, days, talk.said.message_id)
        talk.reply(text, buttons=buttons)


def _not_read(talk: Talk) -> None:
    task, name = talk.task, talk.said.name
    if task is None:
        talk.reply(talk.say("rest_day", name=name, day=talk.today.number))
    else:
        talk.reply(talk.say("score_not_read", name=name, example=example_score(task)))


def refuse_unknown(update: Update, turn: Turn) -> None:
    """Say that words under the name of the group or a channel can be credited to nobody."""
    message = update.effective_message
    if message is not None and is_anonymous(update):
        turn.say(message.chat_id, Wording()("anonymous"), reply_to=message.message_id)


async def _refuse_anonymous(update: Update, turn: Turn) -> None:
    """Refuse what may be a score; leave chatter alone."""
    message = update.effective_message
    text = (message.text or message.caption) if message is not None else None
    if message is None or not text:
        return
    running = await turn.running(chat_id=message.chat_id, user_id=0)
    day = running.day_on(message.date) if running is not None else None
    if running is None or day is None:
        return
    scene = _scene(running, day, message.date, division=running.division_of(None))
    if isinstance(running.reader.read(text, scene), ScoreRead | Ask):
        refuse_unknown(update, turn)
