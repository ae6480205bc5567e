"""Patterns for scores that are read off a clock, a scale or a tape, and for counts in a window."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from bot.reading.found import Found
from bot.reading.ladder_scores import blanked
from bot.reading.tokens import Clause, Token
from bot.reading.told import Told
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Amount, Capped, Done, Finished, Score, ScoreKind, Unit
from content.task import Task
from content.units import (
    grams_from_kg,
    grams_from_lb,
    metres_from_km,
    metres_from_miles,
    metres_from_yards,
)

# Scores a stretch can mean, and why it is not sure, if it is not.
Scores = tuple[Sequence[Score], Why | None]
_NOTHING: Scores = ((), None)
_MOST_HOURS = 24


class MeasureReader:
    """Reads clocks, weights, lengths and counts for one task, with the patterns of its kind."""

    def __init__(self, task: Task, patterns: Patterns = ()) -> None:
        self._task = task
        self._patterns = patterns
        work = arithmetic.total_work(task.steps) if task.steps is not None else None
        self._work = work or 0

    def read(self, clause: Clause, code: str) -> Iterator[tuple[Found, re.Match[str]]]:
        """Give what the patterns find; `code` has blanks where something was read before."""
        for pattern, read in self._patterns:
            for match in pattern.finditer(code):
                scores, why = read(self, Told(clause, match))
                if not scores and why is None:
                    continue
                plain = read in _PLAIN
                yield Found(match.start(), match.end() - 1, tuple(scores), why, plain=plain), match
                code = blanked(code, match)

    def clock(self, told: Told) -> Scores:
        """Read "12:34", "12 min 34", "1 h 2 min"; "the 16s" are a round of a scheme."""
        if told.match.group() == "Nc" and told.token("s").value in (self._task.scheme or ()):
            return _NOTHING
        return self._clock(_seconds(told))

    def a_minute(self, told: Told) -> Scores:
        """Read "a minute forty", "a minute and a half"."""
        return self._clock(90 if told.has("h") else 60 + told.number("s"))

    def spaced(self, told: Told) -> Scores:
        """Read "nine forty-one" and "9 08"; in digits without a nought in front, ask."""
        minutes, seconds = told.token("m"), told.token("s")
        below = told.number("s")
        if below >= 60 or seconds.end - seconds.start < 2:  # noqa: PLR2004 - two digits
            return _NOTHING
        scores, why = self._clock(told.number("m") * 60 + below)
        nought = below < 10 and not seconds.number_word  # noqa: PLR2004 - "08"
        sure = nought or (minutes.number_word and seconds.number_word)
        return scores, why if sure or not scores else Why.UNSURE

    def dotted(self, told: Told) -> Scores:
        """Read "12.34": minutes and seconds for most, a part of a minute for some; ask."""
        value = told.token("d").value
        if not isinstance(value, Fraction):
            return _NOTHING
        minutes = int(value)
        hundredths = (value - minutes) * 100
        if hundredths.denominator != 1:
            return _NOTHING
        choices = [minutes * 60 + int(hundredths)] if hundredths < 60 else []  # noqa: PLR2004
        part = (value - minutes) * 60
        if part.denominator == 1:
            choices.append(minutes * 60 + int(part))
        scores = [s for seconds in choices for s in self._clock(seconds)[0]]
        return list(dict.fromkeys(scores)), Why.UNSURE if scores else None

    def to_spare(self, told: Told) -> Scores:
        """Read "10 seconds to spare" before the cap."""
        left, cap_s = told.number("x"), self._task.workout.cap_s
        if cap_s is None or left >= cap_s:
            return _NOTHING
        return [Finished(cap_s - left)], Why.UNSURE

    def cap_left(self, told: Told) -> Scores:
        """Read "capped, 14 left"."""
        return self._at_the_cap(self._work - told.number("x"))

    def cap_reps(self, told: Told) -> Scores:
        """Read "capped at 76 reps"."""
        return self._at_the_cap(told.number("x"))

    def cap_both(self, told: Told) -> Scores:
        """Read "cap + 14", which is used both ways."""
        (left, why), (done, _) = self.cap_left(told), self.cap_reps(told)
        return [*left, *done], why or Why.CAP_BOTH_WAYS

    def _at_the_cap(self, done: int) -> Scores:
        if done == self._work:
            return _NOTHING  # "125 of 144": the whole is not what was done
        if not 0 < done < self._work:
            return (), Why.MORE_THAN_THE_LADDER
        return [Capped(done)], None

    def cap_alone(self, _told: Told) -> Scores:
        """Read "DNF", which says nothing of how far."""
        return (), Why.REPS_AT_THE_CAP

    def laps(self, told: Told) -> Scores:
        """Read "92 x 20 m"."""
        return _metres(Decimal(told.number("k")) * _decimal(told.token("x")))

    def km_and_m(self, told: Told) -> Scores:
        """Read "2 km 345 m"."""
        return _metres(Decimal(told.number("k")) * 1000 + _decimal(told.token("x")))

    def metres(self, told: Told) -> Scores:
        """Read "2100 m"."""
        return _metres(_decimal(told.token("x")))

    def kilometres(self, told: Told) -> Scores:
        """Read "2.1 km"."""
        return _metres(Decimal(metres_from_km(_decimal(told.token("x")))))

    def yards(self, told: Told) -> Scores:
        """Read "2600 yards"."""
        return _metres(Decimal(metres_from_yards(_decimal(told.token("x")))))

    def miles(self, told: Told) -> Scores:
        """Read "1.3 miles", "a mile and a half"."""
        if told.has("x"):
            miles = _decimal(told.token("x"))
        else:
            miles = (Decimal(told.number("n")) if told.has("n") else Decimal(1)) + _HALF
        return _metres(Decimal(metres_from_miles(miles)))

    def load(self, told: Told) -> Scores:
        """Read "82.5 kg", "180 lb", "5 x 82.5 kg"."""
        return [_load(told.token("x"), pounds=told.match["u"] == "l")], None

    def load_bare(self, told: Told) -> Scores:
        """Read "5 x 82.5" without a unit."""
        return _either_unit(told.token("x")), Why.WHICH_UNIT

    def every_round(self, told: Told) -> Scores:
        """Read "6 rounds: 12 11 11 10 9 9"; the count must be that of the intervals."""
        counts = [t.value for t in told.tokens("list") if isinstance(t.value, int)]
        intervals = self._task.workout.intervals
        rounds = intervals.rounds if intervals else 0
        if not told.has("r") and len(counts) == rounds + 1 and counts[0] == rounds:
            counts = counts[1:]  # "6 rounds 12 11 ..." without the colon
        if len(counts) == rounds:
            return [Amount(min(counts), Unit.REPS, sum(counts))], None
        if abs(len(counts) - rounds) > 2:  # noqa: PLR2004 - one forgotten, one too many
            return _NOTHING
        return [Amount(min(counts), Unit.REPS)], Why.UNSURE

    def every_round_and_total(self, told: Told) -> Scores:
        """Read "12 11 11 10 9 9, total 62"; a total that does not add up is asked."""
        scores, why = self.every_round(told)
        sums = [score.total_reps for score in scores if isinstance(score, Amount)]
        return scores, why if sums == [told.number("t")] else Why.UNSURE

    def lowest_and_total(self, told: Told) -> Scores:
        """Read "lowest 9, total 62"."""
        return [Amount(told.number("x"), Unit.REPS, told.number("t"))], None

    def amount(self, told: Told) -> Scores:
        """Read "132 reps", "lowest 9"."""
        return [Amount(told.number("x", "x2"), Unit.REPS)], None

    def only_total(self, _told: Told) -> Scores:
        """Read a total or an average where the lowest counts."""
        return (), Why.UNSURE

    def done(self, _told: Told) -> Scores:
        """Read "done"."""
        return [Done()], None

    def numbered(self, told: Sequence[Clause]) -> Found | None:
        """Read rounds on lines of their own: "Round 1: 20", "2) 19", ..."""
        rows = [(clause, found) for clause in told if (found := _NUMBERED.match(clause.code))]
        intervals = self._task.workout.intervals
        pairs = [
            (clause.tokens[found.start("i")].value, clause.tokens[found.start("x")].value)
            for clause, found in rows
        ]
        if intervals is None or [n for n, _ in pairs] != list(range(1, intervals.rounds + 1)):
            return None
        counts = [count for _, count in pairs if isinstance(count, int)]
        score = Amount(min(counts), Unit.REPS, sum(counts))
        return Found(0, len(rows[0][0].tokens) - 1, (score,))

    def bare(self, token: Token) -> tuple[Sequence[Score], Why | None]:
        """Read a message that is nothing but a number."""
        value = token.value
        if not isinstance(value, int | Fraction):
            return (), None
        match self._task.workout.score:
            case ScoreKind.TOTAL_REPS | ScoreKind.LOWEST_ROUND if isinstance(value, int):
                return [Amount(value, Unit.REPS)], None
            case ScoreKind.LOAD:
                return _either_unit(token), Why.WHICH_UNIT
            case ScoreKind.HOLD if isinstance(value, int):
                seconds = Amount(value, Unit.SECONDS)
                minutes = Amount(value * 60, Unit.SECONDS)
                return [seconds, minutes] if value <= _MINUTES_AT_MOST else [
                    seconds
                ], Why.WHICH_UNIT
            case ScoreKind.DISTANCE:
                if value > _KILOMETRES_AT_MOST and isinstance(value, int):
                    return [Amount(value, Unit.METRES)], None
                both = (metres_from_km(_decimal(token)), metres_from_miles(_decimal(token)))
                return [Amount(metres, Unit.METRES) for metres in both], Why.WHICH_UNIT
            case ScoreKind.TIME if isinstance(value, int) and self._task.workout.cap_s:
                minutes_s = (
                    [Finished(value * 60)] if 0 < value * 60 <= self._task.workout.cap_s else []
                )
                capped = [Capped(value)] if 0 <= value < self._work else []
                return [*minutes_s, *capped], Why.BARE_NUMBER
        return (), None

    def _clock(self, seconds: int | None) -> tuple[Sequence[Score], Why | None]:
        if seconds is None or seconds > _MOST_HOURS * 3600:
            return (), None
        if self._task.workout.score is ScoreKind.HOLD:
            return [Amount(seconds, Unit.SECONDS)], None
        cap_s = self._task.workout.cap_s
        if cap_s is not None and seconds > cap_s:
            return (), Why.OVER_THE_CAP
        return [Finished(seconds)], None


_NUMBERED = re.compile("R?(?P<i>N):?,?(?P<x>N)P?$")
_HALF = Decimal("0.5")
_MINUTES_AT_MOST = 20  # "15" for a hold may be minutes, "45" is not
_KILOMETRES_AT_MOST = 60


def _seconds(told: Told) -> int | None:
    """Add up hours, minutes and seconds; None when that is no whole time."""
    if told.has("c"):
        return told.number("c")
    total = Fraction(0)
    for group, size in (("h", 3600), ("m", 60), ("s", 1)):
        if not told.has(group):
            continue
        part = told.token(group).value
        too_many = group == "s" and total and isinstance(part, int) and part >= 60  # noqa: PLR2004
        if not isinstance(part, int | Fraction) or too_many:
            return None
        total += part * size
    return int(total) if total.denominator == 1 else None


def _decimal(token: Token) -> Decimal:
    value = token.value
    if isinstance(value, Fraction):
        return Decimal(value.numerator) / Decimal(value.denominator)
    return Decimal(value) if isinstance(value, int) else _HALF


def _metres(metres: Decimal) -> Scores:
    return [Amount(int(metres.to_integral_value()), Unit.METRES)], None


def _load(token: Token, *, pounds: bool) -> Amount:
    grams = grams_from_lb if pounds else grams_from_kg
    return Amount(grams(_decimal(token)), Unit.KILOGRAMS)


def _either_unit(token: Token) -> Sequence[Score]:
    return [_load(token, pounds=False), _load(token, pounds=True)]


Patterns = Sequence[tuple[re.Pattern[str], Callable[[MeasureReader, Told], Scores]]]

DURATION: Patterns = (
    (re.compile("(?<![ND])m(?:a(?P<h>H)|a?(?P<s>N)c?(?![PkltqjxrS]))"), MeasureReader.a_minute),
    (re.compile("(?P<h>[ND])h[a,]*(?:(?P<m>N)[mU]?)?[a,]*(?:(?P<s>N)c?)?"), MeasureReader.clock),
    (re.compile("(?P<m>N)[mU][a,]*(?P<s>N)c?(?![PkltqjxrS])"), MeasureReader.clock),
    (re.compile("(?P<m>[ND])[mU](?![pe])"), MeasureReader.clock),
    (re.compile("(?P<s>N)c(?!e)"), MeasureReader.clock),
    (re.compile("(?P<c>C)(?![Sj])"), MeasureReader.clock),
    (re.compile("(?P<d>D)(?![klmtqjchRPxUr])"), MeasureReader.dotted),
    (re.compile("(?<![N,:/+-])(?P<m>N)(?P<s>N)(?![NRPMkltqjhmcxUrSW])"), MeasureReader.spaced),
)
CAP: Patterns = (
    (re.compile("(?P<x>N)ce"), MeasureReader.to_spare),
    (re.compile("[KX][,:a+-]*(?:(?:d|@|i)[,]?)?(?P<x>N)[PM]?[oM]*e"), MeasureReader.cap_left),
    (re.compile("(?P<x>N)[PM]?e[,:a@iWo]{0,3}[KX]"), MeasureReader.cap_left),
    (re.compile("[KX][,a]*(?:[pW]?)e(?P<x>N)[PM]?"), MeasureReader.cap_left),
    (re.compile("[KX][+]+(?P<x>N)P?"), MeasureReader.cap_both),
    (re.compile("[KX][,:a-]*[@idgo]*(?P<x>N)P"), MeasureReader.cap_reps),
    (re.compile("[KX][,:a-]*(?:@|d|T)[:]?(?P<x>N)(?![cmRkltqjUM])"), MeasureReader.cap_reps),
    (re.compile("(?P<x>N)P?[,:a-]*[@i]*(?:W?)[KX]"), MeasureReader.cap_reps),
    (re.compile("[KX][,:-]*(?P<x>N)(?![cmhRkltqjMU/o])"), MeasureReader.cap_both),
)
CAP_ALONE: Patterns = ((re.compile("[KX]"), MeasureReader.cap_alone),)
DISTANCE: Patterns = (
    (re.compile("(?P<k>N)x(?P<x>N)[tU](?::(?P<sum>N)[tU])?"), MeasureReader.laps),
    (re.compile("(?P<k>N)qa?(?P<x>N)[tU]"), MeasureReader.km_and_m),
    (re.compile("(?P<x>[ND])[tU](?![a,]*Nc)"), MeasureReader.metres),
    (re.compile("(?P<x>[ND])q(?!/W)"), MeasureReader.kilometres),
    (re.compile("(?P<x>[NDH])o?j(?!/W)(?!aH)|(?P<n>N?)jaH"), MeasureReader.miles),
    (re.compile("(?P<x>N)r"), MeasureReader.yards),
)
LOAD: Patterns = (
    (re.compile("(?:N(?:x|P[@x]))?(?P<x>[ND])(?P<u>[klq])"), MeasureReader.load),
    (re.compile("Nx(?P<x>[ND])(?![RPcmhtj])"), MeasureReader.load_bare),
)
LOWEST: Patterns = (
    (re.compile("L[:o,@]?(?P<x>N)P?[,a]*T[:]?(?P<t>N)"), MeasureReader.lowest_and_total),
    (
        re.compile("(?P<list>N(?:[,a/+-]{0,2}N){2,59})[,a]*T:?(?P<t>N)"),
        MeasureReader.every_round_and_total,
    ),
    (
        re.compile("(?:(?P<r>N)R?:[:]?)?(?P<list>N(?:[,a/+-]{0,2}N){2,59})(?![RPkltqjc]N)"),
        MeasureReader.every_round,
    ),
    (
        re.compile("[L][:o,@Zd]*[R]?[:@o]?d?(?P<x>N)[PM]?|(?P<x2>N)P?[,:]?[o@i]?L(?!N)"),
        MeasureReader.amount,
    ),
    (re.compile("^m(?P<x>N)(?=B)"), MeasureReader.amount),
    (re.compile("(?P<x>N)P(?![eo])"), MeasureReader.amount),
    (re.compile("T[:o,@]?N|NP?[,:]?T"), MeasureReader.only_total),
    (re.compile("v(?P<x>N)"), MeasureReader.only_total),
)
TOTAL: Patterns = (
    (re.compile("T[:o,@]?(?P<x>N)P?|(?P<x2>N)P?[,:]?T"), MeasureReader.amount),
    (re.compile("(?P<x>N)[PM](?![e])"), MeasureReader.amount),
)
DONE: Patterns = ((re.compile("[df](?:[yTWfA,]*)$"), MeasureReader.done),)

# These are said of many things; the words around must let them be a score.
_PLAIN = {
    MeasureReader.clock,
    MeasureReader.spaced,
    MeasureReader.a_minute,
    MeasureReader.dotted,
    MeasureReader.every_round,
    MeasureReader.done,
    MeasureReader.only_total,
    MeasureReader.cap_alone,
    MeasureReader.laps,
    MeasureReader.km_and_m,
    MeasureReader.metres,
    MeasureReader.kilometres,
    MeasureReader.miles,
    MeasureReader.yards,
}
