"""What people write: read it, and record, ask, answer, warn or be silent."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup
from telegram import Update

from bot.calls import Rows
from bot.handlers.alarm import alarm_for, alarm_for_unknown
from bot.handlers.answer import answer
from bot.handlers.ask_back import ask_back, join_first
from bot.handlers.record import Claim, own_score, record, take_out_button, withdraw_moved
from bot.reading.reader import Scene, day_number, emergency_signs
from bot.reading.values import Ask, Caution, Question, Said, ScoreRead
from bot.running import Running, stored_score
from bot.score_text import example_score, score_text
from bot.speaker import Spoken, is_anonymous, spoken
from bot.talk import Talk
from bot.timetable import day_of_date
from bot.turn import Turn
from bot.wording import Wording
from store import asks, results
from store.values import ChatId, Day, Result, ResultState, UserId


async def on_message(update: Update, turn: Turn) -> None:
    """Read a message; whatever is not for us gets no answer."""
    if (said := spoken(update)) is not None:
        await handle_text(turn, said)
    elif is_anonymous(update) and not await alarm_for_unknown(update, turn):
        await _refuse_anonymous(update, turn)


async def on_edit(update: Update, turn: Turn) -> None:
    """Read an edited message again, if its words have changed; /score may stand in front."""
    if (said := spoken(update)) is None:
        return
    if said.text.startswith("/"):
        said = replace(said, text=argument(said.text))
    before = await results.change_of_message(turn.session, ChatId(said.chat_id), said.message_id)
    if before is not None and before.raw_text == said.text:
        return  # something else about it changed, a link's preview for example
    await _close_question(turn, said)
    await handle_text(turn, said, before=before, is_edit=True)


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
    before: Result | None = None,
    is_edit: bool = False,
    expected: bool = False,
) -> None:
    """Read what a person said and act on it.

    Args:
        turn: The open turn.
        said: The words; behind /score only the rest.
        before: The result that an earlier text of the same message gave.
        is_edit: The message was there before; questions in it are not answered again.
        expected: The person said that this is a score, so silence would be wrong.
    """
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id, when=said.said_at)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        if signs := emergency_signs(said.text):  # those come first even where no reader is
            await alarm_for(turn, said, signs)
        elif expected:
            turn.reply(said, nothing_on(running, Wording()))
        return
    person = await turn.participant(running, said.user_id)
    talk = Talk(turn, running, said, day, person)
    scene = await scene_of(talk)
    reading = running.reader.read(said.text, scene)
    match reading:
        case Caution(signs=signs):
            await alarm_for(turn, said, signs)
        case ScoreRead() | Ask():
            await _scored(talk, scene, reading, before)
        case Question() if not is_edit:
            await answer(talk, reading)
        case _:
            if before is not None and before.state is ResultState.COUNTED:
                _edited_away(talk, before)
            elif expected:
                _not_read(talk)
            elif said.is_private and not is_edit:
                talk.reply(talk.say("nothing_found"))  # silence would look like a dead bot


def nothing_on(running: Running | None, wording: Wording) -> Markup:
    """Say why there is no day to speak about."""
    if running is None:
        return wording("no_challenge")
    head = running.content.head
    first = running.days[0].opens_at.astimezone(running.zone)
    date = f"{first:%A} {first.day} {first:%B}"
    return wording("not_started", title=head.title, date=date, time=head.times.post)


async def scene_of(talk: Talk) -> Scene:
    """Gather what the reader may know."""
    previous = None
    if talk.person is not None:
        previous = await own_score(talk.turn, talk.running, talk.today, talk.said.user_id)
    return Scene(
        today=talk.today.number,
        days=talk.running.written,
        division=talk.division,
        previous=stored_score(previous.result) if previous is not None else None,
        # Before the morning's post the day that is on is already yesterday's.
        by_calendar=day_of_date(talk.running.days, talk.said.said_at, talk.running.zone),
    )


async def _scored(
    talk: Talk, scene: Scene, reading: ScoreRead | Ask, before: Result | None
) -> None:
    day = _target_day(talk, scene, reading.said)
    if day is None:
        return
    if talk.person is None:
        await join_first(talk, day, reading)
        return
    if isinstance(reading, Ask):
        await ask_back(talk, day, reading, before)
        return
    said = talk.said
    claim = Claim(
        score=reading.score,
        day=day,
        division=reading.said.division or talk.person.division,
        raw_text=said.text,
        message_chat_id=said.chat_id,
        message_id=said.message_id,
        said_at=said.settled_at,
    )
    recorded = await record(talk.turn, talk.running, talk.person, claim)
    if recorded.is_recorded and before is not None and before.day_number != day.number:
        await withdraw_moved(talk.turn, talk.running, talk.person, before.day_number)
    buttons: Rows = ()
    if recorded.is_recorded:
        buttons = take_out_button(talk.running, day, talk.person, said.message_id)
    talk.reply(recorded.text, buttons=buttons)


def _target_day(talk: Talk, scene: Scene, about: Said) -> Day | None:
    """Give the day a score is for; if there is none to score, say so and give None."""
    number = day_number(about.day, scene)
    day = talk.running.day(number)
    if day is None or day.opens_at > talk.said.said_at:
        talk.reply(talk.say("no_such_day", name=talk.said.name, day=number))
    elif day.is_rest:
        talk.reply(talk.say("rest_day", name=talk.said.name, day=number))
    else:
        return day
    return None


def _edited_away(talk: Talk, before: Result) -> None:
    """A message that was a score is none any more: say so, do not guess."""
    day = talk.running.day(before.day_number)
    score = score_text(stored_score(before.result))
    text = talk.say("edited_away", score=score, day=before.day_number)
    if day is not None and talk.person is not None:
        button = take_out_button(talk.running, day, talk.person, talk.said.message_id)
        talk.reply(text, buttons=button)


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
    scene = Scene(today=day.number, days=running.written, division=running.division_of(None))
    if isinstance(running.reader.read(text, scene), ScoreRead | Ask):
        refuse_unknown(update, turn)
