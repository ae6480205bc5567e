"""Answer a question from the day's content, for the asker's division, briefly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.day_text import count_text, day_for, workout_clock
from bot.handlers.clock_button import clock_button
from bot.handlers.invite import invitation, join_buttons
from bot.handlers.mine import mine_text
from bot.handlers.presses import data
from bot.reading.values import About, Question
from bot.running import Running
from bot.standings_text import places_text
from bot.talk import Talk
from bot.timetable import local_text
from bot.weather_text import today_of, weather_text
from bot.wording import lines
from content.challenge import RestDay, WorkoutDay
from content.movement import Movement
from store.values import Day


async def answer(talk: Talk, question: Question) -> None:
    """Owe the answer to a question."""
    turn, running, day = talk.turn, talk.running, talk.today
    buttons: Rows = ()
    match question.about:
        case About.REGISTER:
            text, buttons = invitation(running), join_buttons(running)
        case About.SAFETY:
            told = question.weather
            text = (
                talk.say("safety_text")
                if told is None
                else weather_text(talk.say, told, today_of(running, day))
            )
        case About.STANDINGS:
            text = await places_text(turn.session, running, day.number, turn.now)
        case About.MINE:
            text = await mine_text(turn, running, talk.person)
        case About.TODAY | About.WARMUP:
            text = lines([day_for(running, day.number, talk.division), _paused(running)])
            buttons = clock_button(running, day)
        case About.TIME:
            text = lines([_time(running, day), _paused(running)])
        case About.SCORE_RULE:
            text = _score_rule(running, day)
        case About.OPTION | About.KIT | About.LOAD | About.STANDARD:
            if len(question.among) > 1:
                text = talk.say("option_which", name=talk.said.name)
                buttons = _which(running, day, question)
            else:
                text = about_movement(running, day, talk.division, question)
    talk.reply(text, buttons=buttons)


def _paused(running: Running) -> Markup | None:
    is_paused = running.stored.paused_at is not None and running.stored.ended_at is None
    return running.say("paused_note") if is_paused else None


def _which(running: Running, day: Day, question: Question) -> Rows:
    """Give a button for each movement that may be meant."""
    known = sorted(running.content.movements)
    stored = running.stored
    return tuple(
        (
            Button(
                running.content.movements[name].name,
                data(
                    "m",
                    stored.chat_id,
                    stored.challenge_id,
                    day.number,
                    list(About).index(question.about),
                    known.index(name),
                ),
            ),
        )
        for name in question.among
        if name in running.content.movements
    )


def about_movement(running: Running, day: Day, division: str, question: Question) -> Markup:
    """Answer a question about one movement; without one, say which there are."""
    movement = running.content.movements.get(question.movement or "")
    if movement is None:
        return _todays(running, day)
    match question.about:
        case About.OPTION:
            return _options(running, day, division, movement)
        case About.KIT:
            return _kit(running, movement)
        case About.LOAD:
            return _load(running, day, division, movement)
        case _:
            return running.say(
                "standard_text",
                movement=movement.name,
                standard=movement.standard,
                faults=" ".join(movement.faults),
                cue=movement.cue,
            )


def _todays(running: Running, day: Day) -> Markup:
    written = running.written[day.number]
    if isinstance(written, RestDay):
        return running.say("time_rest")
    names = _movements(running, written)
    return running.say(
        "option_none_today", movements=", ".join(m.plural for m in names), example=names[0].plural
    )


def _movements(running: Running, day: WorkoutDay) -> Sequence[Movement]:
    ids = [rung.movement for own in day.workout.divisions.values() for rung in own.rungs]
    return [running.content.movements[name] for name in dict.fromkeys(ids)]


def _options(running: Running, day: Day, division: str, movement: Movement) -> Markup:
    """List the easier ways, and what each other division does in this place."""
    say = running.say
    parts: list[Markup | str | None] = [say("option_intro", movement=movement.plural)]
    for number, option in enumerate(movement.options, start=1):
        named = running.content.movements[option.movement].name if option.movement else option.name
        parts.append(say("option_line", number=number, name=named, how=option.how))
    if movement.substitutes:
        kit = "; ".join(f"{kit}: {how}" for kit, how in movement.substitutes.items())
        parts.append(say("option_kit", kit=kit))
    parts.extend(_other_divisions(running, day, division, movement))
    parts.append(say("option_outro"))
    return lines(parts)


def _other_divisions(
    running: Running, day: Day, division: str, movement: Movement
) -> Iterator[Markup]:
    """Say what the other divisions do on the same rung, and that the score goes there."""
    written = running.written[day.number]
    if isinstance(written, RestDay):
        return
    own = written.workout.divisions[division].rungs
    rungs = [place for place, rung in enumerate(own) if rung.movement == movement.id]
    for other, ladder in written.workout.divisions.items():
        for place in rungs:
            if other == division or place >= len(ladder.rungs):
                continue
            rung = ladder.rungs[place]
            if rung.movement == movement.id and rung.load == own[place].load:
                continue
            named = count_text(rung, running.content.movements[rung.movement])
            load = f" ({rung.load})" if rung.load else ""
            yield running.say(
                "option_division",
                division=running.division_name(other),
                movement=f"{named}{load}",
            )


def _kit(running: Running, movement: Movement) -> Markup:
    say = running.say
    if not movement.kit:
        return say("kit_none", movement=movement.name)
    needs = say("kit_text", movement=movement.name, kit=", ".join(movement.kit))
    others = [say("kit_substitute", kit=kit, how=how) for kit, how in movement.substitutes.items()]
    easiest = movement.options[-1]
    name = running.content.movements[easiest.movement].name if easiest.movement else easiest.name
    without = say("kit_without", name=name, how=easiest.how)
    return lines([needs, *others, without])


def _load(running: Running, day: Day, division: str, movement: Movement) -> Markup:
    task = running.task(day.number, division)
    rungs = task.rungs if task is not None else ()
    load = next((rung.load for rung in rungs if rung.movement == movement.id), None)
    name = running.division_name(division)
    if load is None:
        return running.say("load_none", movement=movement.name, division=name)
    return running.say("load_text", movement=movement.name, division=name, load=load)


def _time(running: Running, day: Day) -> Markup:
    written = running.written[day.number]
    if isinstance(written, RestDay):
        return running.say("time_rest")
    return running.say(
        "time_text",
        day=day.number,
        closes=local_text(day.closes_at, running.zone),
        make_up=local_text(day.make_up_until, running.zone),
        clock=workout_clock(running, written),
    )


def _score_rule(running: Running, day: Day) -> Markup:
    written = running.written[day.number]
    how = "" if isinstance(written, RestDay) else written.workout.how or ""
    count = running.content.head.discards
    discards = running.say("score_rule_discards", count=count) if count else ""
    return running.say("score_rule_text", how=how, discards=discards)
