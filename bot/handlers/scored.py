"""What becomes of a reading that holds scores: recorded, asked about, or turned down."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bot.handlers.ask_back import ask_back, join_first
from bot.handlers.read_back import take_out_buttons
from bot.handlers.record import Claim, Outcome, record, withdraw_moved
from bot.reading.reader import Scene, date_named, day_number
from bot.reading.values import Ask, DayWord, Said, ScoreRead, Why
from bot.talk import Talk
from bot.timetable import date_text
from bot.wording import lines
from store.values import Day, Participant, Result

_PAIR = 2


async def scored(
    talk: Talk, scene: Scene, reading: ScoreRead | Ask, before: Sequence[Result] = ()
) -> None:
    """Act on a reading and answer with one message, whatever number of days it tells of.

    Args:
        talk: Who said it.
        scene: What it was read against.
        reading: Scores of days that cannot be scored are turned down in the same answer.
        before: The results that an earlier text of the same message gave.
    """
    told: list[tuple[ScoreRead | Ask, Day]] = []
    turned_down: list[Markup] = []
    for part in (reading, *reading.also):
        target = _target_day(talk, scene, part.said)
        if isinstance(target, Day):
            told.append((part, target))
        else:
            turned_down.append(target)
    if not told:
        talk.reply(lines(turned_down))
    elif talk.person is None:
        await join_first(talk, told[0][1], reading)
    elif isinstance(told[0][0], Ask):
        await _ask_and_record(talk, talk.person, told, turned_down, before)
    elif len({day.number for _, day in told}) < len(told):
        # "yesterday" and "day 2" can be one day, named twice.
        choices = [part.score for part, _ in told if isinstance(part, ScoreRead)]
        fits = len(told) == _PAIR and len(told) == 1 + len(reading.also)
        twice = Ask(Why.TWO_SCORES, tuple(choices) if fits else (), reading.said)
        await ask_back(talk, told[0][1], twice, before)
    else:
        scores = [(part, day) for part, day in told if isinstance(part, ScoreRead)]
        await _record_all(talk, talk.person, scores, turned_down, before)


async def _ask_and_record(
    talk: Talk,
    person: Participant,
    told: Sequence[tuple[ScoreRead | Ask, Day]],
    turned_down: Sequence[Markup],
    before: Sequence[Result],
) -> None:
    """Record what is sure of other days, and ask about the first."""
    (ask, asked_day), *others = told
    sure = [
        (part, day)
        for part, day in others
        if isinstance(part, ScoreRead) and day.number != asked_day.number
    ]
    if sure or turned_down:
        rest = [each for each in before if each.day_number != asked_day.number]
        await _record_all(talk, person, sure, turned_down, rest if sure else ())
    days = {day.number for _, day in sure}
    assert isinstance(ask, Ask)  # noqa: S101 - the first of `told` is what is asked about
    await ask_back(talk, asked_day, ask, [each for each in before if each.day_number not in days])


async def _record_all(
    talk: Talk,
    person: Participant,
    scores: Sequence[tuple[ScoreRead, Day]],
    turned_down: Sequence[Markup],
    before: Sequence[Result],
) -> None:
    outcomes: list[Outcome] = []
    stand: list[Day] = []
    for reading, day in scores:
        outcome = await record(talk.turn, talk.running, person, _claim(talk, person, reading, day))
        outcomes.append(outcome)
        if outcome.is_recorded:
            stand.append(day)
    taken_out = None
    if stand:
        told = {day.number for _, day in scores}
        gone = [each.day_number for each in before if each.day_number not in told]
        taken_out = await withdraw_moved(
            talk.turn,
            talk.running,
            person,
            gone,
            message_id=talk.said.message_id,
            said_at=talk.said.settled_at,
        )
    text = lines([*(outcome.text for outcome in outcomes), *turned_down, taken_out])
    buttons = take_out_buttons(talk.running, person, stand, talk.said.message_id)
    is_plain = all(outcome.is_plain for outcome in outcomes)
    if is_plain and not turned_down and taken_out is None and _reacts(talk):
        talk.turn.react(talk.said, str(talk.say("reaction")), text, buttons=buttons)
    else:
        quote = scores[0][0].said.quote if len(scores) == 1 else None
        talk.reply(text, buttons=buttons, quote=quote or None)


def _reacts(talk: Talk) -> bool:
    """Say whether a sure score gets no words here, as the organiser has chosen."""
    is_chosen = talk.running.content.head.read_back == "reaction"
    return is_chosen and not talk.said.is_private and talk.into is None


def _claim(talk: Talk, person: Participant, reading: ScoreRead, day: Day) -> Claim:
    said, beside = talk.said, reading.said
    return Claim(
        score=reading.score,
        day=day,
        division=beside.division or person.division,
        raw_text=said.text,
        message_chat_id=said.chat_id,
        message_id=said.message_id,
        said_at=said.settled_at,
        effort=beside.effort,
        load_g=beside.load_g,
        is_correction=beside.correction,
    )


def _target_day(talk: Talk, scene: Scene, about: Said) -> Day | Markup:
    """Give the day a score is for, or say why there is none to score."""
    number = day_number(about.day, scene)
    if number is None:
        return no_day_then(talk, scene, about.day)
    day = talk.running.day(number)
    if day is not None and day.is_skipped:
        return talk.say("day_called_off", name=talk.said.name, day=number)
    if day is None or not day.has_opened(talk.said.said_at):
        return talk.say("no_such_day", name=talk.said.name, day=number)
    if day.is_rest:
        return talk.say("rest_day", name=talk.said.name, day=number)
    return day


def no_day_then(talk: Talk, scene: Scene, word: DayWord | None) -> Markup:
    """Say that the date a person named has no day, and how to name the one that is meant."""
    then = None if word is None else date_named(word, scene)
    date = talk.say("that_day") if then is None else date_text(then)
    return talk.say("no_day_then", name=talk.said.name, date=date, day=talk.today.number)
