"""A person's own scores, places and streak."""

from __future__ import annotations

from markupsafe import Markup

from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.timetable import local_text
from bot.turn import Turn
from bot.wording import lines
from store import results, standings, streaks
from store.values import Day, Participant, Result, ResultState


async def mine_text(turn: Turn, running: Running, person: Participant | None) -> Markup:
    """Write a person's week so far."""
    say, stored = running.say, running.stored
    if person is None:
        return say("mine_not_in")
    found = await results.results_of_person(
        turn.session,
        chat_id=stored.chat_id,
        challenge_id=stored.challenge_id,
        user_id=person.user_id,
    )
    by_day = {r.day_number: r for r in found if r.state is not ResultState.WITHDRAWN}
    division = running.division_name(person.division)
    parts: list[Markup | str | None] = [say("mine_heading", name=person.name, division=division)]
    for day in running.days:
        if not day.is_scored or not day.has_opened(turn.now):
            continue
        parts.append(await _day(turn, running, person, day, by_day.get(day.number)))
    own = await streaks.streaks(
        turn.session,
        chat_id=stored.chat_id,
        challenge_id=stored.challenge_id,
        now=turn.now,
        user_id=person.user_id,
    )
    parts.extend(say("mine_streak", count=s.current, best=s.best) for s in own)
    return lines(parts)


async def _day(
    turn: Turn, running: Running, person: Participant, day: Day, result: Result | None
) -> Markup:
    say = running.say
    if result is None:
        if day.make_up_until < turn.now:
            return say("mine_missed", day=day.number)
        until = local_text(day.make_up_until, running.zone)
        return say("mine_missing", day=day.number, until=until)
    if result.state is not ResultState.COUNTED:
        place = say(f"mine_state_{result.state}")
    else:
        place = await _place(turn, running, person, result)
    score = score_text(stored_score(result.result))
    return say("mine_day", day=day.number, score=score, place=place)


async def _place(turn: Turn, running: Running, person: Participant, result: Result) -> Markup:
    own = await standings.own_day_place(
        turn.session,
        chat_id=result.chat_id,
        challenge_id=result.challenge_id,
        day_number=result.day_number,
        user_id=result.user_id,
    )
    if own is None:
        return Markup("")
    place, entries = own
    elsewhere = Markup("")
    if result.division != person.division:
        name = running.division_name(result.division)
        elsewhere = running.say("mine_place_division", division=name)
    return running.say("mine_place", place=place.place, entries=entries, division=elsewhere)
