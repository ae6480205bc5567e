"""Mark a result that is wildly off, and tell the organisers once, in private."""

from __future__ import annotations

from markupsafe import Markup

from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.turn import Turn
from bot.unusual import (
    LEAST_COMPARED,
    LEAST_DAYS,
    LEAST_GROUP,
    Mark,
    Unusual,
    standing,
    strength,
    unusual,
)
from store import results, standings
from store.values import ChatId, DayScore, Recorded, ResultState, UserId

_MOST_SCORES = 200  # of a day; more tell nothing new about its middle
_MOST_DAYS = 7  # earlier ones that say how somebody usually stands


async def mark_unusual(turn: Turn, running: Running, recorded: Recorded) -> None:
    """Judge a result just recorded.

    Those who came first had nobody to be compared with: when there are enough results, all of
    them are judged.
    """
    result, before = recorded.result, recorded.replaced
    if result.state is not ResultState.COUNTED or before == result:
        return
    day = _Day(running, result.day_number, result.division)
    scores = await day.scores(turn)
    own = DayScore(result.user_id, result.result, None)
    judged = [each for each in scores if each.user_id == result.user_id] or [own]
    if len(scores) in (LEAST_COMPARED, LEAST_GROUP):
        judged = [each for each in scores if each.mark is None]
    strengths = day.strengths(scores)
    for each in judged:
        measure = day.strength(each)
        if measure is None:
            continue
        found = unusual(measure, strengths, await _earlier(turn, day, each.user_id, strengths))
        if found is None:
            continue
        key = (result.chat_id, result.challenge_id, result.day_number, each.user_id)
        await results.set_mark(turn.session, *key, mark=found.mark)
        same = before is not None and (before.result, before.division, before.mark) == (
            result.result,
            result.division,
            found.mark,
        )
        if not (same and each.user_id == result.user_id):
            await _tell(turn, day, each, found)


class _Day:
    """One day in one division."""

    def __init__(self, running: Running, number: int, division: str) -> None:
        self.running = running
        self.number = number
        self.division = division
        self._task = running.task(number, division)

    async def scores(self, turn: Turn) -> tuple[DayScore, ...]:
        """Give the counted scores."""
        stored = self.running.stored
        return await standings.day_scores(
            turn.session,
            chat_id=stored.chat_id,
            challenge_id=stored.challenge_id,
            day_number=self.number,
            division=self.division,
            limit=_MOST_SCORES,
        )

    def strength(self, score: DayScore) -> float | None:
        """Measure one score."""
        return strength(stored_score(score.result), self._task) if self._task else None

    def strengths(self, scores: tuple[DayScore, ...]) -> list[float]:
        """Measure all scores that have a measure."""
        found = [self.strength(each) for each in scores]
        return [each for each in found if each is not None]


async def _earlier(turn: Turn, today: _Day, user_id: UserId, group: list[float]) -> list[float]:
    """Give a person's standings of earlier days, where there are enough to judge by."""
    if len(group) < LEAST_COMPARED:
        return []
    stored = today.running.stored
    own = await results.results_of_person(
        turn.session, chat_id=stored.chat_id, challenge_id=stored.challenge_id, user_id=user_id
    )
    days = [r for r in own if r.day_number < today.number and r.state is ResultState.COUNTED]
    if len(days) < LEAST_DAYS:
        return []
    found: list[float] = []
    for result in days[-_MOST_DAYS:]:
        day = _Day(today.running, result.day_number, result.division)
        measure = day.strength(DayScore(user_id, result.result, None))
        if measure is None:
            continue
        stood = standing(measure, day.strengths(await day.scores(turn)))
        if stood is not None:
            found.append(stood)
    return found


async def _tell(turn: Turn, day: _Day, score: DayScore, found: Unusual) -> None:
    running = day.running
    person = await turn.participant(running, score.user_id)
    name = person.name if person else ""
    result = await results.result_of(
        turn.session,
        chat_id=running.stored.chat_id,
        challenge_id=running.stored.challenge_id,
        day_number=day.number,
        user_id=score.user_id,
    )
    in_private = result is not None and result.message_chat_id == ChatId(score.user_id)
    what_to_do = "unusual_in_private" if in_private else "unusual_in_group"
    text = running.say(
        "organiser_unusual",
        name=name,
        group=running.content.head.title,
        day=day.number,
        division=running.division_name(day.division),
        score=score_text(stored_score(score.result)),
        why=_why(running, found),
        act=running.say(what_to_do, name=name, day=day.number),
    )
    await turn.tell_organisers(running.stored.chat_id, text)


def _why(running: Running, found: Unusual) -> Markup:
    values = {"factor": f"{found.factor:.2g}", "count": found.count}
    match found.mark:
        case Mark.ABOVE_GROUP:
            return running.say("unusual_above_group", **values)
        case Mark.BELOW_GROUP:
            return running.say("unusual_below_group", **values)
        case Mark.ABOVE_OWN:
            return running.say("unusual_above_own", **values)
        case Mark.BELOW_OWN:
            return running.say("unusual_below_own", **values)
