"""Figures that may be a score though no pattern says so: "47. Never again, not for 3 minutes".

The words around must speak for one: see doubt.py. Without them nothing here is a score.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from bot.reading.clauses import Clause
from bot.reading.found import Found
from bot.reading.ladder_scores import LadderReader
from bot.reading.token import Token
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Amount, Capped, Finished, Score, ScoreKind, Unit
from content.task import Task
from content.units import metres_from_km, metres_from_miles

_NOT_MEASURED = "(?![NDCklqtjmchxUrSRL:/%'-])"
_FREE = f"(?<![NDC:/&x-])(?P<x>N){_NOT_MEASURED}P?"
_PAIR = f"(?<![NDC:/&x-])(?P<a>N)[W,]?(?:[+a]{{1,2}}|,)?(?P<b>N){_NOT_MEASURED}P?"
_PATTERNS = {
    ScoreKind.TOTAL_REPS: re.compile(_FREE),
    ScoreKind.LOWEST_ROUND: re.compile(_FREE),
    ScoreKind.DISTANCE: re.compile(f"(?<![NDC:/&x-])(?P<x>[ND]){_NOT_MEASURED}"),
    ScoreKind.HOLD: re.compile(_PAIR),
    ScoreKind.TIME: re.compile(f"{_PAIR}|{_FREE}"),
    ScoreKind.ROUNDS_AND_REPS: re.compile(_PAIR),
}
_FEWEST, _MOST = 5, 500  # repetitions: smaller numbers are too common, larger ones nobody does
_LEAST_M, _MOST_KM = 300, 20
_MINUTE_S = 60
_TWO_DIGITS = 2


class LooseReader:
    """Reads the figures of one task's kind that nothing else has read."""

    def __init__(self, task: Task) -> None:
        self._task = task
        self._pattern = _PATTERNS.get(task.workout.score)
        self._ladder = LadderReader(task) if task.steps is not None else None
        self._work = arithmetic.total_work(task.steps) if task.steps is not None else None

    def read(self, clause: Clause, code: str) -> Iterator[tuple[Found, Sequence[tuple[int, int]]]]:
        """Give what may be a score, with the stretch of tokens it rests on.

        `code` has blanks where something was read before.
        """
        if self._pattern is None:
            return
        for match in self._pattern.finditer(code):
            scores = tuple(self._scores(clause.tokens, match))
            if scores:
                first, last = match.start(), match.end() - 1
                why = Why.WHICH_UNIT if len(scores) > 1 else None
                yield Found(first, last, scores, why, plain=True, loose=True), [match.span()]

    def _scores(self, tokens: Sequence[Token], match: re.Match[str]) -> Iterator[Score]:
        groups = match.groupdict()
        if groups.get("a") and groups.get("b"):
            score = self._of_two(tokens[match.start("a")], tokens[match.start("b")])
        elif self._task.workout.score is ScoreKind.DISTANCE:
            yield from _distances(tokens[match.start("x")].value)
            return
        else:
            score = self._of_one(tokens[match.start("x")].value)
        if score is not None:
            yield score

    def _of_two(self, one: Token, other: Token) -> Score | None:
        if not isinstance(one.value, int) or not isinstance(other.value, int):
            return None
        if self._task.workout.score is ScoreKind.ROUNDS_AND_REPS:
            return self._rounds(one.value, other.value)
        if other.value >= _MINUTE_S or (
            not other.number_word and other.end - other.start < _TWO_DIGITS
        ):
            return None
        seconds = one.value * _MINUTE_S + other.value
        if self._task.workout.score is ScoreKind.HOLD:
            return Amount(seconds, Unit.SECONDS)
        cap_s = self._task.workout.cap_s
        return Finished(seconds) if cap_s is None or seconds < cap_s else None

    def _rounds(self, rounds: int, reps: int) -> Score | None:
        steps = self._task.steps
        if steps is None or self._ladder is None or not 0 < rounds < _MOST:
            return None
        if reps > arithmetic.extra_room(steps, rounds):
            return None
        return self._ladder.score(steps.through(rounds) + reps)

    def _of_one(self, value: object) -> Score | None:
        if not isinstance(value, int) or not _FEWEST <= value <= _MOST:
            return None
        if self._task.workout.score is ScoreKind.TIME:
            return self._at_the_cap(value)
        return Amount(value, Unit.REPS)

    def _at_the_cap(self, done: int) -> Score | None:
        if self._work is None or self._task.workout.cap_s is None:
            return None
        return Capped(done) if self._work / 4 <= done < self._work else None


def _distances(value: object) -> Iterator[Score]:
    """Give what a bare length means: whole numbers metres, others kilometres or miles."""
    if isinstance(value, int) and value >= _LEAST_M:
        yield Amount(value, Unit.METRES)
    elif isinstance(value, Fraction) and value <= _MOST_KM:
        length = Decimal(value.numerator) / Decimal(value.denominator)
        yield Amount(metres_from_km(length), Unit.METRES)
        yield Amount(metres_from_miles(length), Unit.METRES)
