"""Ask instead of recording: a question with a complete score behind every button."""

from __future__ import annotations

import json
from collections.abc import Sequence

from markupsafe import Markup

from bot.calls import Button
from bot.handlers.invite import join_buttons
from bot.handlers.presses import data
from bot.reading.values import Ask, Said, ScoreRead, Why
from bot.score_text import score_text
from bot.talk import Talk
from bot.wording import Wording, lines
from content import ladder as arithmetic
from content.score import RoundsAndReps, Score, score_to_json
from content.units import clock_text
from content.workout import Shape
from store import asks
from store.values import Ask as StoredAsk
from store.values import ChatId, Day, Result, UserId

JOIN = "join"  # kind of an ask that waits for its person to join


async def join_first(talk: Talk, day: Day, reading: ScoreRead | Ask) -> None:
    """Keep the words of somebody who has not joined behind the division buttons."""
    ask = await _open(talk, day, JOIN, (), about=reading.said)
    text = talk.say("join_to_record", name=talk.said.name, quote=reading.said.quote)
    talk.reply(text, buttons=join_buttons(talk.running, ask.ask_id))


async def ask_back(talk: Talk, day: Day, reading: Ask, before: Sequence[Result] = ()) -> None:
    """Put the question; `before` is what an earlier text of the message had recorded."""
    ask = await _open(talk, day, reading.why, reading.choices, about=reading.said, before=before)
    key = (talk.running.stored.chat_id, ask.ask_id)
    rows = [
        (Button(choice_text(talk.say, score), data("a", *key, index)),)
        for index, score in enumerate(reading.choices)
    ]
    if rows:
        rows.append((Button(str(talk.say("button_none")), data("a", *key, -1)),))
    text = lines([_question(talk, day, reading), talk.say("ask_write_it")])
    talk.reply(text, buttons=tuple(rows))


async def _open(
    talk: Talk,
    day: Day,
    kind: str,
    choices: Sequence[Score],
    *,
    about: Said,
    before: Sequence[Result] = (),
) -> StoredAsk:
    """Keep a question with its complete choices, so that its buttons survive a restart."""
    kept = {
        "choices": [score_to_json(choice) for choice in choices],
        "division": about.division or talk.division,  # the choices are counted on its ladder
        "effort": about.effort,
        "load_g": about.load_g,
        "earlier_days": [each.day_number for each in before if each.day_number != day.number],
    }
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


def choice_text(say: Wording, score: Score) -> str:
    """Write a choice as its button does."""
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
