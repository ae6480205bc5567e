"""After the days: what people really scored against what was expected, and where they stopped.

Values in, values out; whoever keeps the scores calls this.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from content.challenge import WorkoutDay
from content.review.finding import Finding, Severity
from content.review.outlook import Expected, Outlook
from content.review.score_words import percent, short_score
from content.review.simulation import Simulated
from content.score import Score, rank_key

LEAST_SCORES = 5  # fewer say more about the people than about the day
LEAST_STOPPED = 3
_MANY_STOPPED = 0.2  # of those who were still there; common practice, no source


class Turned(StrEnum):
    """How a day turned out against what was expected of it."""

    HARDER = "harder"
    AS_EXPECTED = "as expected"
    EASIER = "easier"


@dataclass(frozen=True, slots=True)
class Actual:
    """One person's counted score of one day."""

    person: Hashable
    day: int
    division: str
    score: Score


@dataclass(frozen=True, slots=True)
class Outcome:
    """One day in one division: actual scores beside the expected ones.

    Args:
        worse: The score of the lower quarter, then the middle and the better quarter.
        place: The share of the expected people whom the actual middle beats; 0.5 is as expected.
    """

    day: int
    division: str
    count: int
    worse: Score
    middle: Score
    better: Score
    place: float
    turned: Turned


@dataclass(frozen=True, slots=True)
class Staying:
    """How many were still there on a workout day, and for how many it was the last one."""

    day: int
    there: int  # did this day or a later one, and had begun
    did_it: int
    last_seen: int  # did this day and none after it; 0 for the last workout day


def outcomes(outlook: Outlook, scores: Iterable[Actual]) -> Iterator[Outcome]:
    """Compare every day and division that has enough scores and an expectation."""
    found: dict[tuple[int, str], list[Score]] = {}
    for actual in scores:
        found.setdefault((actual.day, actual.division), []).append(actual.score)
    for key, expected in outlook.expected.items():
        if isinstance(expected.scores, Simulated) and len(found.get(key, ())) >= LEAST_SCORES:
            yield _outcome(expected, expected.scores, found[key])


def _outcome(expected: Expected, simulated: Simulated, scores: Sequence[Score]) -> Outcome:
    ordered = sorted(scores, key=rank_key)
    worse, middle, better = (
        ordered[round(share * (len(ordered) - 1))] for share in (0.25, 0.5, 0.75)
    )
    place = simulated.share_below(rank_key(middle))
    return Outcome(
        day=expected.number,
        division=expected.division.id,
        count=len(ordered),
        worse=worse,
        middle=middle,
        better=better,
        place=place,
        turned=_turned(place),
    )


def _turned(place: float) -> Turned:
    """Judge by the middle half of what was expected."""
    if place < 0.25:  # noqa: PLR2004
        return Turned.HARDER
    return Turned.EASIER if place > 0.75 else Turned.AS_EXPECTED  # noqa: PLR2004


def staying(outlook: Outlook, scores: Iterable[Actual]) -> list[Staying]:
    """Tell for every workout day who was still there and for whom it was the last."""
    days: dict[Hashable, set[int]] = {}
    for actual in scores:
        days.setdefault(actual.person, set()).add(actual.day)
    workouts = [
        number
        for number, day in enumerate(outlook.content.days, start=1)
        if isinstance(day, WorkoutDay)
    ]
    return [_staying(number, days, is_last=number == workouts[-1]) for number in workouts]


def _staying(number: int, days: Mapping[Hashable, set[int]], *, is_last: bool) -> Staying:
    there = sum(min(own) <= number <= max(own) for own in days.values())
    did_it = sum(number in own for own in days.values())
    last_seen = 0 if is_last else sum(max(own) == number for own in days.values())
    return Staying(number, there, did_it, last_seen)


def look_back(outlook: Outlook, scores: Sequence[Actual]) -> list[Finding]:
    """Say which days turned out otherwise than expected, and after which people stayed away."""
    return [
        *(
            _otherwise(outlook, outcome)
            for outcome in outcomes(outlook, scores)
            if outcome.turned is not Turned.AS_EXPECTED
        ),
        *(
            _stopped(each)
            for each in staying(outlook, scores)
            if each.last_seen >= max(LEAST_STOPPED, _MANY_STOPPED * each.there)
        ),
    ]


def _otherwise(outlook: Outlook, outcome: Outcome) -> Finding:
    harder = outcome.turned is Turned.HARDER
    expected = outlook.expected[outcome.day, outcome.division].scores
    middle = short_score(expected.at(0.5)) if isinstance(expected, Simulated) else ""
    return Finding(
        f"turned-out-{outcome.turned.value}",
        Severity.NOTE,
        f"{outlook.who([outcome.division])}: the day was {outcome.turned} than expected; the "
        f"middle of {outcome.count} scores is {short_score(outcome.middle)}, expected {middle}.",
        "Give a little less of it next time." if harder else "People can take more of it.",
        day=outcome.day,
        divisions=(outcome.division,),
        numbers={"count": outcome.count, "place": round(outcome.place, 3)},
    )


def _stopped(each: Staying) -> Finding:
    return Finding(
        "people-stayed-away",
        Severity.LOOK_AT,
        f"{each.last_seen} of the {each.there} people who were still there did this day and none "
        f"after it ({percent(each.last_seen / each.there)}).",
        "Ask one or two of them what it was; look at how hard the day and the next one were.",
        day=each.day,
        numbers={"last_seen": each.last_seen, "there": each.there},
    )
