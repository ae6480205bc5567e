"""Patterns for scores that are read off a clock, a scale or a tape, and for counts in a window."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import partial

from bot.reading.clauses import Clause
from bot.reading.found import Found
from bot.reading.ladder_scores import blanked
from bot.reading.token import Token
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

    def read(self, clause: Clause, code: str) -> Iterator[tuple[Found, Sequence[tuple[int, int]]]]:
        """Give what the patterns find, with the stretch of tokens each rests on.

        `code` has blanks where something was read before.
        """
        for pattern, read in self._patterns:
            for match in pattern.finditer(code):
                scores, why = read(self, Told(clause, match))
                if not scores and why is None:
                    continue
                plain, spans = read in _PLAIN, [match.span()]
                first, last = match.start(), match.end() - 1
                explains = partial(self._explained, scores)
                yield Found(first, last, tuple(scores), why, plain, explains=explains), spans
                code = blanked(code, spans)

    def _explained(self, scores: Sequence[Score]) -> frozenset[int]:
        """Give the numbers of the day that may stand beside any score of it."""
        workout = self._task.workout
        numbers = set(self._task.scheme or ())
        if workout.score is ScoreKind.LOWEST_ROUND and workout.intervals is not None:
            numbers |= set(range(1, workout.intervals.rounds + 1))  # "the second was the lowest"
        if workout.score is ScoreKind.LOAD:
            numbers |= set(range(1, _MOST_LIFTS + 1))  # "135 lb for five"
        if workout.intervals is not None:
            numbers.add(workout.intervals.rounds)
        if self._task.clock_s is not None:
            numbers.add(self._task.clock_s // 60)
        for score in scores:
            if isinstance(score, Amount) and score.unit is Unit.SECONDS:
                numbers |= {score.amount % 60, score.amount // 60, score.amount}
        return frozenset(numbers)

    def clock(self, told: Told) -> Scores:
        """Read "12:34", "12 min 34", "1 h 2 min"; "the 16s" are a round of a scheme."""
        if told.match.group() == "Nc" and told.token("s").value in (self._task.scheme or ()):
            return _NOTHING
        seconds = _seconds(told)
        if seconds is None and not told.has("s") and isinstance(told.token("m").value, Fraction):
            return self._dotted(told.token("m"))  # "9,41 min"
        if told.has("c") and seconds is not None and self._is_hours(seconds):
            seconds *= 60  # "1:05" for ten kilometres is an hour and five minutes
        return self._clock(seconds)

    def _is_hours(self, seconds: int) -> bool:
        """Say whether minutes and seconds are too few for the work, and hours and minutes are not.

        Only without a cap: with one, nobody is out for hours.
        """
        task = self._task
        if task.workout.cap_s is not None or task.steps is None:
            return False
        fastest = task.fastest_s(self._work)
        return seconds < fastest <= 60 * seconds <= _SLOWER * fastest

    def a_minute(self, told: Told) -> Scores:
        """Read "a minute forty", "a minute and a half"."""
        return self._clock(90 if told.has("h") else 60 + told.number("s"))

    def over_the_distance(self, told: Told) -> Scores:
        """Read "5k in 28 flat", where that is the length of the day."""
        lengths = {rung.metres for rung in self._task.rungs}
        if 1000 * told.number("k") not in lengths or self._task.workout.cap_s is not None:
            return _NOTHING
        return self._clock(60 * told.number("m"))

    def short_of_minutes(self, told: Told) -> Scores:
        """Read "five seconds short of two minutes"."""
        minutes = told.token("m").value
        seconds = minutes * 60 if isinstance(minutes, int | Fraction) else Fraction(0)
        whole = int(seconds) - told.number("x")
        return self._clock(whole) if seconds.denominator == 1 and whole > 0 else _NOTHING

    def no_clock(self, _told: Told) -> Scores:
        """Read "10:60", which no clock shows."""
        return (), Why.UNSURE

    def an_hour(self, told: Told) -> Scores:
        """Read "an hour and four minutes"."""
        return self._clock(3600 + 60 * told.number("m"))

    def spaced(self, told: Told) -> Scores:
        """Read "nine forty-one" and "9 08"; in digits without a nought in front, ask."""
        minutes, seconds = told.token("m"), told.token("s")
        below = told.number("s")
        if below >= 60 or seconds.end - seconds.start < 2:  # noqa: PLR2004 - two digits
            return _NOTHING
        scores, why = self._clock(told.number("m") * 60 + below)
        nought = below < 10 and not seconds.number_word  # noqa: PLR2004 - "08"
        sure = nought or (minutes.number_word and seconds.number_word and told.number("m") > 1)
        return scores, why if sure or not scores else Why.UNSURE

    def dotted(self, told: Told) -> Scores:
        """Read "12.34": minutes and seconds for most, a part of a minute for some; ask."""
        return self._dotted(told.token("d"))

    def _dotted(self, token: Token) -> Scores:
        value = token.value
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
        left, cap_s = told.number("x", "x2"), self._task.workout.cap_s
        letter = told.has("u") and told.token("u").end - told.token("u").start == 1
        if letter and left in (self._task.scheme or ()):
            return _NOTHING  # "only the last 15s left"
        if cap_s is None or left >= cap_s:
            return _NOTHING
        return [Finished(cap_s - left)], None

    def cap_alone(self, _told: Told) -> Scores:
        """Read "DNF", which says nothing of how far."""
        return (), Why.REPS_AT_THE_CAP

    def laps(self, told: Told) -> Scores:
        """Read "92 x 20 m"."""
        product = told.number("k") * told.number("x")
        if told.has("sum") and told.number("sum") != product:
            return _metres(Decimal(told.number("sum")))[0], Why.UNSURE
        return _metres(Decimal(product))

    def km_and_m(self, told: Told) -> Scores:
        """Read "2 km 345 m", "2 km 740"."""
        if told.number("x") < 100 and told.match.group().endswith("N"):  # noqa: PLR2004 - digits
            return _NOTHING
        return _metres(Decimal(told.number("k")) * 1000 + _decimal(told.token("x")))

    def in_minutes(self, told: Told) -> Scores:
        """Read "2.5 km in 12 min"; other minutes than the day's make it unsure."""
        read = {"t": self.metres, "q": self.kilometres, "j": self.miles}[told.match["u"]]
        scores, why = read(told)
        return scores, why if told.number("w") * 60 == self._task.clock_s else Why.UNSURE

    def metres(self, told: Told) -> Scores:
        """Read "2100 m", "2.100 m"."""
        return _metres(
            _decimal(told.token("x")) * (1000 if _has_thousands(told.token("x")) else 1)
        )

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
            part = _HALF if told.match["part"] == "H" else _HALF / 2
            miles = (Decimal(told.number("n")) if told.has("n") else Decimal(1)) + part
        return _metres(Decimal(metres_from_miles(miles)))

    def unmeasured(self, _told: Told) -> Scores:
        """Read "7 laps", whose length we do not know."""
        return (), Why.WHICH_UNIT

    def about_a_mile(self, _told: Told) -> Scores:
        """Read "a bit more than a mile"."""
        return [Amount(metres_from_miles(Decimal(1)), Unit.METRES)], Why.UNSURE

    def about_a_minute(self, _told: Told) -> Scores:
        """Read "about a minute"."""
        return self._clock(60)[0], Why.UNSURE

    def load(self, told: Told) -> Scores:
        """Read "82.5 kg", "180 lb", "5 x 82.5 kg"; "2 x 32 kg" may be one or both together."""
        one = _load(told.token("x"), pounds=told.match["u"] == "l")
        if told.has("sets") and not told.has("n") and told.number("sets") == _BOTH_HANDS:
            return [one, replace(one, amount=_BOTH_HANDS * one.amount)], Why.UNSURE
        return [one], None

    def load_bare(self, told: Told) -> Scores:
        """Read "5 x 82.5" without a unit."""
        return _either_unit(told.token("x" if told.has("x") else "x2")), Why.WHICH_UNIT

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

    def all_but_one(self, told: Told) -> Scores:
        """Read "all of 21 but the last, that was 18"."""
        intervals = self._task.workout.intervals
        others, last = told.number("x"), told.number("y")
        if intervals is None or last >= others:
            return _NOTHING
        total = others * (intervals.rounds - 1) + last
        return [Amount(last, Unit.REPS, total)], None

    def lowest_and_total(self, told: Told) -> Scores:
        """Read "lowest 9, total 62"."""
        return [Amount(told.number("x"), Unit.REPS, told.number("t"))], None

    def amount(self, told: Told) -> Scores:
        """Read "132 reps", "lowest 9"."""
        return [Amount(told.number("x", "x2", "x3"), Unit.REPS)], None

    def summed(self, told: Told) -> Scores:
        """Read "18, 15, 13 = 46"; what does not add up is asked."""
        counts = [t.value for t in told.tokens("list") if isinstance(t.value, int)]
        total = told.number("x")
        if sum(counts) == total:
            return [Amount(total, Unit.REPS)], None
        return ([Amount(total, Unit.REPS)], Why.UNSURE) if ":" in told.match["gap"] else _NOTHING

    def only_total(self, _told: Told) -> Scores:
        """Read a total or an average where the lowest counts."""
        return (), Why.UNSURE

    def done(self, _told: Told) -> Scores:
        """Read "done"."""
        return [Done()], None

    def numbered(self, told: Sequence[Clause]) -> tuple[Clause, Found] | None:
        """Read rounds by their number: "Round 1: 20", "2) 19", "3rd 18", on lines or in one.

        Returns:
            What was found and the clause it begins in, or None.
        """
        rows = [(clause, found) for clause in told for found in _NUMBERED.finditer(clause.code)]
        intervals = self._task.workout.intervals
        pairs = [
            (clause.tokens[found.start("o" if found["o"] else "i")].value, found, clause)
            for clause, found in rows
        ]
        if intervals is None or [n for n, _, _ in pairs] != list(range(1, intervals.rounds + 1)):
            return None
        counts = [clause.tokens[found.end("x") - 1].value for _, found, clause in pairs]
        whole = [count for count in counts if isinstance(count, int)]
        first = rows[0][0]
        score = Amount(min(whole), Unit.REPS, sum(whole))
        return first, Found(0, len(first.tokens) - 1, (score,))

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
            case ScoreKind.TIME if isinstance(value, int):
                return self._bare_time(value)
        return (), None

    def _bare_time(self, value: int) -> Scores:
        """Read "1034", a clock without its colon, or "9": minutes, or repetitions at the cap?"""
        if 100 <= value <= 9959 and value % 100 < 60:  # noqa: PLR2004 - the digits of a clock
            return self._clock(value // 100 * 60 + value % 100)[0], Why.UNSURE
        cap_s = self._task.workout.cap_s
        if cap_s is None:
            return _NOTHING
        minutes = [Finished(value * 60)] if 0 < value * 60 <= cap_s else []
        capped = [Capped(value)] if 0 <= value < self._work else []
        return [*minutes, *capped], Why.BARE_NUMBER

    def _clock(self, seconds: int | None) -> tuple[Sequence[Score], Why | None]:
        if seconds is None or seconds > _MOST_HOURS * 3600:
            return (), None
        if self._task.workout.score is ScoreKind.HOLD:
            return [Amount(seconds, Unit.SECONDS)], None
        cap_s = self._task.workout.cap_s
        if cap_s is not None and seconds > cap_s:  # far over it is a time of day
            return (), Why.OVER_THE_CAP if seconds < _FAR_OVER * cap_s else None
        if seconds == cap_s:  # done on the last second, or stopped by the clock?
            return [Finished(seconds)], Why.REPS_AT_THE_CAP
        return [Finished(seconds)], None


_BOTH_HANDS = 2
_MOST_LIFTS = 20  # repetitions and sets told beside a load
_FAR_OVER = 3  # times the cap
_SLOWER = 12  # times the fastest pace: a stroll

_NUMBERED = re.compile("(?:(?<![^,/])R?(?P<i>N)|(?P<o>O)R?):?,?(?P<x>(?<=[NOR:,])N)P?(?=$|[,/])")
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


def _has_thousands(token: Token) -> bool:
    """Say whether the point in a number stands behind thousands: "1.850", no metres and a bit."""
    if not isinstance(token.value, Fraction):
        return False
    decimals = token.end - token.start - len(str(int(token.value))) - 1
    return decimals == 3  # noqa: PLR2004 - digits of a thousand


def _metres(metres: Decimal) -> Scores:
    return [Amount(int(metres.to_integral_value()), Unit.METRES)], None


def load_g(token: Token, *, pounds: bool) -> int:
    """Give the grams of a weight in kilograms or pounds."""
    return (grams_from_lb if pounds else grams_from_kg)(_decimal(token))


def _load(token: Token, *, pounds: bool) -> Amount:
    return Amount(load_g(token, pounds=pounds), Unit.KILOGRAMS)


def _either_unit(token: Token) -> Sequence[Score]:
    return [_load(token, pounds=False), _load(token, pounds=True)]


Patterns = Sequence[tuple[re.Pattern[str], Callable[[MeasureReader, Told], Scores]]]

DURATION: Patterns = (
    (re.compile("(?<![ND])ha(?P<m>N)m?"), MeasureReader.an_hour),
    (re.compile("(?P<x>N)[cO]e?s(?P<m>[ND])[mU]"), MeasureReader.short_of_minutes),
    (re.compile("^[dyVZ,:]*(?P<m>N):(?P<s>N)[dyVA,]*$"), MeasureReader.no_clock),
    (re.compile("(?<![ND])m(?:a(?P<h>H)|a?(?P<s>N)c?(?![PkltqjxrS]))"), MeasureReader.a_minute),
    (
        re.compile("(?P<h>[ND])h[a,]*(?:(?P<m>N)[mU]?)?[a,]*(?:(?P<s>N)(?![klqtjRPM])c?)?"),
        MeasureReader.clock,
    ),
    # Behind a comma only with its unit: "54 minutes, two herons".
    (re.compile("(?P<m>N)[mU](?!a?,a?N(?!c))[a,]*(?P<s>N)c?(?![PkltqjxrS])"), MeasureReader.clock),
    (re.compile("(?P<k>N)q[i@](?P<m>N)F?(?=$|[,A])"), MeasureReader.over_the_distance),
    (re.compile("(?P<m>[ND])[mU](?![pe])"), MeasureReader.clock),
    (re.compile("(?P<s>N)c(?!e)"), MeasureReader.clock),
    (re.compile("v[oW]?m"), MeasureReader.about_a_minute),
    (re.compile("(?P<c>C)(?![Sj])"), MeasureReader.clock),
    (re.compile("(?P<d>D)(?![klmtqjchRPxUr])"), MeasureReader.dotted),
    (re.compile("(?<![N,:/+-])(?P<m>N)(?P<s>N)(?![NRPMkltqjhmcxUrSW])"), MeasureReader.spaced),
)
CAP: Patterns = (
    (re.compile("(?P<x>N)(?P<u>c)e|K[@W]{0,2}(?P<x2>N)[cO]"), MeasureReader.to_spare),
)
CAP_ALONE: Patterns = ((re.compile("[KX]"), MeasureReader.cap_alone),)
DISTANCE: Patterns = (
    (re.compile("(?P<x>[ND])(?P<u>[qtj])i(?P<w>N)[mU]"), MeasureReader.in_minutes),
    (
        re.compile("(?P<k>N)(?:3[xoi@W]?|[WR]?[xo])o?(?P<x>N)[tU](?:[,W+:]{0,3}(?P<sum>N)[tU])?"),
        MeasureReader.laps,
    ),
    (re.compile("(?P<k>N)qa?(?P<x>N)(?:[tU]|(?=$|[,aA]))"), MeasureReader.km_and_m),
    (re.compile("(?P<x>[ND])[tU](?![a,]*Nc)"), MeasureReader.metres),
    (re.compile("(?P<x>[ND])q(?!/W)"), MeasureReader.kilometres),
    (re.compile("(?P<x>[NDH])o?j(?!/W)(?!a[HI])|(?P<n>N?)ja(?P<part>[HI])"), MeasureReader.miles),
    (re.compile("(?P<x>N)r"), MeasureReader.yards),
    (re.compile("N3"), MeasureReader.unmeasured),
    (re.compile("v[oW]?j"), MeasureReader.about_a_mile),
)
LOAD: Patterns = (
    (
        re.compile(
            "(?:(?P<sets>N)x)?(?:(?P<n>N)(?:[x@oW]|P[@xoW]?))?(?P<x>[ND])(?P<u>[klq])(?:xN|[,o]?NP)?"
        ),
        MeasureReader.load,
    ),
    (
        re.compile("(?:Nx)?N[x@](?P<x>[ND])(?![RPcmhtjx@])|^[dyV]*(?P<x2>D)N$"),
        MeasureReader.load_bare,
    ),
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
    (re.compile("Z(?P<x>N)(?![NCklqtj])"), MeasureReader.amount),
    (re.compile("Jo?(?P<x>N)[,]?<(?:%|O)R?,?d?(?P<y>N)"), MeasureReader.all_but_one),
    (
        re.compile(
            "L(?:[oi]NR?(?=[dW:]{0,2}(?:OR?,?)?N)|OR?)?[:o,@Zd&]*(?:(?<=d)OR?,)?R?W{0,2}[:@o#,]{0,2}d?(?P<x>N)[PM]?"
            "|(?P<x2>N)P?[,:]?[o@iW]?L(?!N)"
        ),
        MeasureReader.amount,
    ),
    (re.compile("^m(?P<x>N)(?=[_B]|$)"), MeasureReader.amount),
    (re.compile("(?P<x>N)P(?![eo])"), MeasureReader.amount),
    (re.compile("T[:o,@]?N|NP?[,:]?T"), MeasureReader.only_total),
    (re.compile("v(?P<x>N)"), MeasureReader.only_total),
)
TOTAL: Patterns = (
    (
        re.compile("(?P<list>N(?:[+,aW]{1,3}N)+)(?P<gap>[^N]{0,5}?)(?P<x>N)(?:$|P|T|[,])"),
        MeasureReader.summed,
    ),
    (re.compile("T[:o,@]?(?P<x>N)P?|(?P<x2>N)P?[,:]?T"), MeasureReader.amount),
    (re.compile("(?P<x>N)[PM](?![e])"), MeasureReader.amount),
    (re.compile("[dZ]:?(?P<x>N)(?=$|A)"), MeasureReader.amount),
    (
        re.compile(
            "[M:]:?(?P<x>N)(?=$|[,A])|^[dyV]*(?P<x3>N)(?=,(?:n[^N]*N)?[^N]*$)|^[dy:,]*(?P<x2>N)(?=[io]Nm)"
        ),
        MeasureReader.amount,
    ),
)
DONE: Patterns = (
    (
        re.compile(
            "[df][yTWfA,EVY1]*$|^[yYV1Z,]*(?:J?Nm)?[df](?=[,:A])|^[y,]*dN(?=$|[,mW])"
            "|^[yJ,]*[df],?J?Nm|^[yJ,]*Nm[df]"
        ),
        MeasureReader.done,
    ),
)

# These are said of many things; the words around must let them be a score.
_PLAIN = {
    MeasureReader.clock,
    MeasureReader.spaced,
    MeasureReader.a_minute,
    MeasureReader.dotted,
    MeasureReader.every_round,
    MeasureReader.done,
    MeasureReader.load,
    MeasureReader.about_a_minute,
    MeasureReader.about_a_mile,
    MeasureReader.only_total,
    MeasureReader.cap_alone,
    MeasureReader.laps,
    MeasureReader.km_and_m,
    MeasureReader.metres,
    MeasureReader.kilometres,
    MeasureReader.miles,
    MeasureReader.yards,
}
