"""A question of ours is answered: by one of its buttons, or in words."""

from __future__ import annotations

import json
from datetime import timedelta

from markupsafe import Markup
from telegram import Update

from bot.calls import Rows
from bot.choosing import Offer, chosen, named, offer
from bot.handlers.ask_back import choice_text
from bot.handlers.presses import Asked, press, running_behind
from bot.handlers.read_back import take_out_buttons
from bot.handlers.record import Claim, record, withdraw_moved
from bot.reading.values import Caution, Reading, Said, ScoreRead
from bot.running import Running
from bot.score_text import score_text
from bot.talk import Talk
from bot.turn import Turn
from bot.wording import Wording, lines
from content.score import Score, score_from_json
from store import asks
from store.values import Ask, UserId

_STILL_MEANT = timedelta(minutes=10)  # later, a bare "yes" in private is about something else


async def on_choice(update: Update, turn: Turn) -> None:
    """Record the choice behind a button of a question: `a:<chat>:<ask>:<choice>`."""
    if (pressed := press(update)) is None:
        return
    numbers = pressed.numbers(3)
    running = await running_behind(turn, numbers)
    ask = None
    if numbers is not None and running is not None:
        ask = await asks.ask_by_id(turn.session, running.stored.chat_id, numbers[1])
    if numbers is None or running is None or ask is None:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    if ask.user_id != pressed.user_id:
        turn.toast(pressed.query_id, running.say("not_your_button"))
    elif ask.challenge_id != running.stored.challenge_id:
        turn.toast(pressed.query_id, running.say("stale_button"))
    elif not await asks.close_ask(turn.session, ask.chat_id, ask.ask_id, turn.now):
        turn.toast(pressed.query_id, running.say("ask_closed"))
    else:
        turn.toast(pressed.query_id)
        text, buttons = await _settled(turn, running, pressed.name, ask, numbers[2])
        turn.rewrite(pressed.chat_id, pressed.message_id, text, buttons)


async def choose_in_words(talk: Talk, reading: Reading, asked: Asked | None) -> bool:
    """Take a message for the answer to the person's open question, if all of it is one.

    Args:
        talk: Who said it.
        reading: What it is by itself. Another sure score wins over the question.
        asked: The question it replies to; in private it need not reply.

    Returns:
        Whether it was the answer.
    """
    turn, running, said = talk.turn, talk.running, talk.said
    if isinstance(reading, Caution) or talk.person is None:
        return False
    if asked is None and not said.is_private:
        return False
    ask = await asks.open_ask_of(turn.session, running.stored.chat_id, UserId(said.user_id))
    if ask is None or not _is_meant(talk, ask, asked):
        return False
    kept = json.loads(ask.choices)
    scores = [score_from_json(each) for each in kept["choices"]]
    division = kept["division"] or talk.person.division
    offers = _offers(running, ask, division, scores)
    beside = None
    if not isinstance(reading, ScoreRead):
        index = chosen(said.text, offers, is_reply=asked is not None)
    elif asked is not None and reading.said.division in {None, division}:
        index, beside = _repeated(said.text, reading, scores, offers), reading.said
    else:
        index = None
    if index is None or not await asks.close_ask(turn.session, ask.chat_id, ask.ask_id, turn.now):
        return False
    text, buttons = await _settled(turn, running, said.name, ask, index, beside=beside)
    if asked is None:
        talk.reply(text, buttons=buttons)
    else:
        turn.rewrite(said.chat_id, asked.message_id, text, buttons)
    return True


def _is_meant(talk: Talk, ask: Ask, asked: Asked | None) -> bool:
    """Say whether a message can be the answer to this question."""
    if ask.challenge_id != talk.running.stored.challenge_id:
        return False
    if asked is not None:
        return (asked.chat_id, asked.ask_id) == (ask.chat_id, ask.ask_id)
    is_here = talk.said.is_private and ask.message_chat_id == talk.said.chat_id
    asked_at = ask.asked_at.replace(microsecond=0)  # messages know no parts of a second
    return is_here and timedelta(0) <= talk.said.said_at - asked_at <= _STILL_MEANT


def _repeated(
    text: str, reading: ScoreRead, scores: list[Score], offers: list[Offer]
) -> int | None:
    """Give the choice a sure score repeats: the question knows for which day and division."""
    if reading.also or reading.said.day is not None:
        return None
    if (by_words := named(text, offers)) is not None:
        return by_words
    return scores.index(reading.score) if reading.score in scores else None


def _offers(running: Running, ask: Ask, division: str, scores: list[Score]) -> list[Offer]:
    task = running.task(ask.day_number, division)
    return [
        offer(score, (score_text(score), choice_text(running.say, score)), task)
        for score in scores
    ]


async def _settled(
    turn: Turn, running: Running, name: str, ask: Ask, index: int, *, beside: Said | None = None
) -> tuple[Markup, Rows]:
    """Record a choice of a question just closed; an index outside is none of them.

    What the answer says beside the score wins over what the question knows.
    """
    kept = json.loads(ask.choices)
    person = await turn.participant(running, ask.user_id)
    day = running.day(ask.day_number)
    if person is None or day is None or not 0 <= index < len(kept["choices"]):
        return running.say("ask_dropped", name=name), ()
    effort, load_g = kept.get("effort"), kept.get("load_g")
    if beside is not None:
        effort = effort if beside.effort is None else beside.effort
        load_g = load_g if beside.load_g is None else beside.load_g
    claim = Claim(
        score=score_from_json(kept["choices"][index]),
        day=day,
        division=kept["division"] or person.division,
        raw_text=ask.raw_text,
        message_chat_id=ask.message_chat_id,
        message_id=ask.message_id,
        said_at=ask.said_at,
        effort=effort,
        load_g=load_g,
    )
    recorded = await record(turn, running, person, claim)
    if not recorded.is_recorded:
        return recorded.text, ()
    taken_out = await withdraw_moved(
        turn,
        running,
        person,
        kept.get("earlier_days", ()),  # questions of an earlier version have none
        message_id=ask.message_id,
        said_at=turn.now,
    )
    return (
        lines([recorded.text, taken_out]),
        take_out_buttons(running, person, [day], ask.message_id),
    )
