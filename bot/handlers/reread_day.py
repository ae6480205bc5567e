"""Read the results of a day anew once it was changed; list what means something else now."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from bot.handlers.ask_back import JOIN, choice_text
from bot.handlers.replan import Made
from bot.reading.normalise import normalise
from bot.reading.reader import Scene
from bot.rereading import Fate, Reread, reread
from bot.running import Running, stored_score
from bot.timetable import PostKind, dates_of
from bot.turn import Turn
from bot.wording import lines
from content.score import rank_key, score_to_json
from store import asks, people, results
from store.values import Participant, PostState, Result, ResultState, UserId

_MOST_LINES = 30
_LONGEST_QUOTE = 80


@dataclass(frozen=True, slots=True)
class Again:
    """A result and what its words mean now."""

    result: Result
    name: str
    reread: Reread


async def read_again(turn: Turn, before: Running, after: Running, number: int) -> list[Again]:
    """Read all results of a day against what it was and what it is now; nothing is saved."""
    stored = before.stored
    found = await results.results_of_day(
        turn.session,
        chat_id=stored.chat_id,
        challenge_id=stored.challenge_id,
        day_number=number,
    )
    if not found:
        return []
    everyone = {
        person.user_id: person
        for person in await people.participants(turn.session, stored.chat_id, stored.challenge_id)
    }
    return [
        Again(
            result,
            everyone[result.user_id].name,
            reread(
                result.raw_text,
                stored_score(result.result),
                number=number,
                division=result.division,
                before=(before.reader, _scenes(before, result, everyone, number)),
                after=(after.reader, _scenes(after, result, everyone, number)),
            ),
        )
        for result in found
    ]


def _scenes(
    running: Running, result: Result, everyone: dict[UserId, Participant], number: int
) -> list[Scene]:
    """Give what the reader knew: by the day that was on, or by that of a question answered."""
    on = running.day_on(result.said_at)
    others = {
        normalise(person.name).text.partition(" ")[0]
        for person in everyone.values()
        if person.user_id != result.user_id
    }
    return [
        Scene(
            today=today,
            days=running.written,
            division=result.division,
            dates=dates_of(running.days),
            said_on=result.said_at.astimezone(running.zone).date(),
            language=everyone[result.user_id].language[:2].lower(),
            people=frozenset(others - {""}),
        )
        for today in dict.fromkeys([on.number if on is not None else number, number])
    ]


async def keep_reread(turn: Turn, made: Made, number: int, *, by: int) -> list[Markup]:
    """Save what results mean now, drop questions about the old day, and list it all."""
    say, stored = made.running.say, made.running.stored
    again = await read_again(turn, made.before, made.running, number)
    why = str(say("reread_why", day=number))
    for each in again:
        score = each.reread.new
        if each.reread.fate is Fate.CHANGED and score is not None:
            await results.reread(
                turn.session,
                each.result,
                result=json.dumps(score_to_json(score)),
                rank_key=rank_key(score),
                by=UserId(by),
                why=why,
                now=turn.now,
            )
    told = [tell_reread(made.running, again, say("reread_did"))] if again else []
    closed = await asks.close_asks_of_day(
        turn.session, stored.chat_id, stored.challenge_id, number, keep=JOIN, now=turn.now
    )
    for ask in closed:
        text = say("reread_ask_dropped", day=number)
        turn.say(ask.message_chat_id, text, reply_to=ask.message_id)
    if closed:
        told.append(say("reread_asks", count=len(closed)))
    if any(
        each.kind == PostKind.STANDINGS
        and each.day_number == number
        and each.state is PostState.SENT
        for each in made.kept
    ):
        told.append(say("reread_result_out"))
    return told


def tell_reread(running: Running, again: Sequence[Again], heading: Markup) -> Markup:
    """List the results whose meaning changes, then those that cannot be read any more."""
    changed = [each for each in again if each.reread.fate is Fate.CHANGED]
    unread = [each for each in again if each.reread.fate is Fate.UNREAD]
    same = len(again) - len(changed) - len(unread)
    told = [*_list(running, "reread_changed", changed), *_list(running, "reread_unread", unread)]
    more = len(told) - _MOST_LINES
    if more > 0:
        told = [*told[:_MOST_LINES], running.say("write_more_remarks", count=more)]
    if same:
        told.append(running.say("reread_same", count=same))
    return lines([heading, *told])


def _list(running: Running, key: str, again: Iterable[Again]) -> list[Markup]:
    say = running.say
    told = []
    for each in again:
        new = each.reread.new
        text = " ".join(each.result.raw_text.split())
        line = say(
            key,
            name=each.name,
            division=running.division_name(each.result.division),
            quote=text[:_LONGEST_QUOTE] + ("…" if len(text) > _LONGEST_QUOTE else ""),
            old=choice_text(say, each.reread.old),
            new="" if new is None else choice_text(say, new),
        )
        stands = each.result.state in {ResultState.COUNTED, ResultState.LATE}
        told.append(line if stands else line + say("reread_not_counted"))
    return told
