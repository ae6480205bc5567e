"""What people write: read it, and record, ask, answer, warn or be silent."""

from __future__ import annotations

import json
from collections.abc import Sequence

from markupsafe import Markup
from telegram import Update

from bot.calls import Button
from bot.handlers.answer import answer
from bot.handlers.invite import invitation, join_buttons
from bot.handlers.presses import data
from bot.handlers.record import Claim, own_score, record, take_out_button
from bot.reading.reader import Scene, day_number
from bot.reading.values import Ask, Caution, Chatter, Question, Said, ScoreRead, Why
from bot.running import Running, stored_score
from bot.score_text import example_score, score_text
from bot.speaker import Spoken, is_anonymous, spoken
from bot.talk import Talk
from bot.turn import Turn
from bot.wording import Wording, lines
from content import ladder as arithmetic
from content.score import RoundsAndReps, Score, score_to_json
from content.units import clock_text
from content.workout import Shape
from store import asks, results
from store.values import Ask as StoredAsk
from store.values import ChatId, Day, Result, ResultState, UserId


async def on_message(update: Update, turn: Turn) -> None:
    """Read a message; whatever is not for us gets no answer."""
    if (said := spoken(update)) is not None:
        await handle_text(turn, said)
    elif is_anonymous(update):
        await _refuse_anonymous(update, turn)


async def on_edit(update: Update, turn: Turn) -> None:
    """Read an edited message again, if its words have changed."""
    if (said := spoken(update)) is None:
        return
    before = await results.result_of_message(turn.session, ChatId(said.chat_id), said.message_id)
    if before is None or before.raw_text != said.text:
        await handle_text(turn, said, before=before, is_edit=True)


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
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        if expected:
            turn.reply(said, nothing_on(running, Wording()))
        return
    person = await turn.participant(running, said.user_id)
    talk = Talk(turn, running, said, day, person)
    reading = running.reader.read(said.text, await scene_of(talk))
    match reading:
        case ScoreRead():
            await _claimed(talk, reading, before)
        case Ask():
            await _ask(talk, reading)
        case Caution(signs=signs):
            await _alarm(talk, signs)
        case Question() if not is_edit:
            await answer(talk, reading)
        case Question() | Chatter():
            if before is not None and before.state is ResultState.COUNTED:
                _edited_away(talk, before)
            elif expected:
                _not_read(talk)


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
    )


def target_day(talk: Talk, about: Said) -> Day | None:
    """Give the day a score is for; if there is none to score, say so and give None."""
    number = day_number(about.day, today=talk.today.number)
    day = talk.running.day(number)
    if day is None or day.opens_at > talk.said.said_at:
        talk.reply(talk.say("no_such_day", name=talk.said.name, day=number))
    elif day.is_rest:
        talk.reply(talk.say("rest_day", name=talk.said.name, day=number))
    else:
        return day
    return None


async def _claimed(talk: Talk, reading: ScoreRead, before: Result | None) -> None:
    day = target_day(talk, reading.said)
    if day is None:
        return
    if talk.person is None:
        await _join_first(talk, day, reading)
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
    if before is not None and before.day_number != day.number:
        await _withdraw_moved(talk.turn, talk.running, before)
    text = await record(talk.turn, talk.running, talk.person, claim)
    talk.reply(text, buttons=take_out_button(talk.running, day.number, said.user_id))


async def _withdraw_moved(turn: Turn, running: Running, before: Result) -> None:
    """An edit moved a score to another day: it must not stand on both."""
    await results.withdraw(
        turn.session,
        chat_id=running.stored.chat_id,
        challenge_id=running.stored.challenge_id,
        day_number=before.day_number,
        user_id=before.user_id,
        by=before.user_id,
        why="the message was edited to name another day",
        now=turn.now,
    )


async def _join_first(talk: Talk, day: Day, reading: ScoreRead) -> None:
    """Keep the score of somebody who has not joined behind the division buttons."""
    ask = await _open_ask(talk, day, "join", [reading.score], reading.said)
    text = talk.say("join_to_record", name=talk.said.name, quote=reading.said.quote)
    talk.reply(text, buttons=join_buttons(talk.running, ask.ask_id))


async def _open_ask(
    talk: Talk, day: Day, kind: str, choices: Sequence[Score], about: Said
) -> StoredAsk:
    """Keep a question with its complete choices, so that its buttons survive a restart."""
    kept = {"choices": [score_to_json(c) for c in choices], "division": about.division}
    said, stored = talk.said, talk.running.stored
    return await asks.open_ask(
        talk.turn.session,
        chat_id=stored.chat_id,
        challenge_id=stored.challenge_id,
        user_id=UserId(said.user_id),
        day_number=day.number,
        kind=kind,
        choices=json.dumps(kept),
        raw_text=said.text,
        message_chat_id=ChatId(said.chat_id),
        message_id=said.message_id,
        said_at=said.settled_at,
        now=talk.turn.now,
    )


async def _ask(talk: Talk, reading: Ask) -> None:
    """Record nothing; ask, with a complete score behind every button."""
    day = target_day(talk, reading.said)
    if day is None:
        return
    if talk.person is None:
        talk.reply(invitation(talk.running), buttons=join_buttons(talk.running))
        return
    ask = await _open_ask(talk, day, reading.why, reading.choices, reading.said)
    key = (talk.running.stored.chat_id, ask.ask_id)
    rows = [
        (Button(_choice(talk.say, score), data("a", *key, index)),)
        for index, score in enumerate(reading.choices)
    ]
    if rows:
        rows.append((Button(str(talk.say("button_none")), data("a", *key, -1)),))
    talk.reply(
        lines([_question(talk, day, reading), talk.say("ask_write_it")]), buttons=tuple(rows)
    )


def _choice(say: Wording, score: Score) -> str:
    total = ""
    if isinstance(score, RoundsAndReps):
        total = str(say("button_choice_total", total=score.total_reps))
    return f"{score_text(score)}{total}"


def _question(talk: Talk, day: Day, reading: Ask) -> Markup:
    division = reading.said.division or talk.division
    task = talk.running.task(day.number, division)
    values: dict[str, object] = {
        "name": talk.said.name,
        "quote": reading.said.quote,
        "division": talk.running.division_name(division),
    }
    if task is not None and task.steps is not None:
        values["round_size"] = arithmetic.round_size(task.steps, 1)
        if reading.why is Why.EXTRA_REPS_EXCEED_ROUND and task.workout.shape is not Shape.REPEAT:
            return talk.say("ask_extra_reps_exceed_this_round", **values)  # rounds differ
        values["work"] = arithmetic.total_work(task.steps)
    if task is not None and task.workout.cap_s is not None:
        values["cap"] = clock_text(task.workout.cap_s)
    return talk.say(f"ask_{reading.why}", **values)


async def _alarm(talk: Talk, signs: Sequence[str]) -> None:
    """Tell the person to stop and get help, and the organisers to look."""
    say, stored = talk.say, talk.running.stored
    talk.reply(say("caution_alarm", name=talk.said.name))
    text = say(
        "caution_organiser",
        name=talk.said.name,
        group=stored.title,
        signs=", ".join(str(say(f"sign_{sign}")) for sign in signs),
        quote=talk.said.text[:300],
    )
    await talk.turn.tell_organisers(stored.chat_id, text)


def _edited_away(talk: Talk, before: Result) -> None:
    """A message that was a score is none any more: say so, do not guess."""
    score = score_text(stored_score(before.result))
    talk.reply(
        talk.say("edited_away", score=score, day=before.day_number),
        buttons=take_out_button(talk.running, before.day_number, talk.said.user_id),
    )


def _not_read(talk: Talk) -> None:
    task, name = talk.task, talk.said.name
    if task is None:
        talk.reply(talk.say("rest_day", name=name, day=talk.today.number))
    else:
        talk.reply(talk.say("score_not_read", name=name, example=example_score(task)))


async def _refuse_anonymous(update: Update, turn: Turn) -> None:
    """An administrator without a name wrote what may be a score: nobody can be credited."""
    message = update.effective_message
    if message is None or not message.text:
        return
    running = await turn.running(chat_id=message.chat_id, user_id=0)
    day = running.day_on(message.date) if running is not None else None
    if running is None or day is None:
        return
    division = running.content.head.divisions[0].id
    scene = Scene(today=day.number, days=running.written, division=division)
    if isinstance(running.reader.read(message.text, scene), ScoreRead | Ask):
        turn.say(message.chat_id, running.say("anonymous"), reply_to=message.message_id)
