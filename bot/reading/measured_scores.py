"""Patterns for scores that are read off a clock, a scale or a tape, and for counts in a window."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.tokens import Clause, Token
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Amount, Capped, Done, Finished, Score, ScoreKind, Unit
from content.task import Task
from content.units import grams_from_kg, grams_from_lb, metres_from_km, metres_from_miles

Patterns = Sequence[tuple[str, re.Pattern[str]]]

DURATION: Patterns = (
    ("clock", re.compile("(?P<h>[ND])h[a,]*(?:(?P<m>N)m?)?[a,]*(?:(?P<s>N)c?)?")),
    ("clock", re.compile("(?P<m>N)m[a,]*(?P<s>N)c?(?![Pkltqjx%])")),
    ("clock", re.compile("(?P<m>[ND])m(?!p)")),
    ("clock", re.compile("(?P<s>N)c")),
    ("clock", re.compile("(?P<c>C)(?![S])")),
    ("dotted", re.compile("(?P<d>D)(?![klmtqjchRPx])")),
    ("worded", re.compile("(?P<m>N)(?P<s>N)(?![NRPMkltqjhmcx])")),
)
CAP: Patterns = (
    ("cap_left", re.compile("[KX][,:a+-]*(?:(?:d|@|i)[,]?)?(?P<x>N)P?[oM]*e")),
    ("cap_left", re.compile("(?P<x>N)P?e[,:a@iWo]{0,3}[KX]")),
    ("cap_both", re.compile("[KX][+]+(?P<x>N)P?")),
    ("cap_reps", re.compile("[KX][,:a-]*[@idgo]*(?P<x>N)P")),
    ("cap_reps", re.compile("[KX][,:a-]*(?:@|d|T)[:]?(?P<x>N)(?![cmRkltqj])")),
    ("cap_reps", re.compile("(?P<x>N)P?[,:a-]*[@i]*(?:W?)[KX]")),
    ("cap_both", re.compile("[KX][,:-]*(?P<x>N)(?![cmhRkltqjM])")),
)
CAP_ALONE: Patterns = (("cap_alone", re.compile("[KX]")),)
DISTANCE: Patterns = (
    ("metres", re.compile("(?P<x>[ND])(?:t|m(?![a,]*Nc))")),
    ("kilometres", re.compile("(?P<x>[ND])q")),
    ("miles", re.compile("(?P<x>[NDH])j")),
)
LOAD: Patterns = (
    ("load", re.compile("(?:N(?:x|P[@x]))?(?P<x>[ND])(?P<u>[klq])")),
    ("load_bare", re.compile("Nx(?P<x>[ND])(?![RPcmhtj])")),
)
LOWEST: Patterns = (
    ("lowest_and_total", re.compile("L[:o,@]?(?P<x>N)P?[,a]*T[:]?(?P<t>N)")),
    (
        "every_round",
        re.compile("(?:(?P<r>N)R?:[:]?)?(?P<list>N(?:[,a/+-]{0,2}N){2,59})(?![RPkltqjc]N)"),
    ),
    ("amount", re.compile("L[:o,@]?[R]?[:@o]?d?(?P<x>N)P?|(?P<x2>N)P?[,:]?[o@i]?L")),
    ("amount", re.compile("(?P<x>N)P(?![e])")),
)
TOTAL: Patterns = (
    ("amount", re.compile("T[:o,@]?(?P<x>N)P?|(?P<x2>N)P?[,:]?T")),
    ("amount", re.compile("(?P<x>N)[PM](?![e])")),
)
DONE: Patterns = (("done", re.compile("[df](?:[yTWfA,]*)$")),)

_MOST_HOURS = 24


class MeasureReader:
    """Reads clocks, weights, lengths and counts for one task."""

    def __init__(self, task: Task) -> None:
        self._task = task
        work = arithmetic.total_work(task.steps) if task.steps is not None else None
        self._work = work or 0

    def read(self, name: str, clause: Clause, match: re.Match[str]) -> Iterator[Found]:
        """Turn one match of a pattern into what it tells, or nothing."""
        tokens = clause.tokens
        scores: Sequence[Score] = ()
        why: Why | None = None
        match name:
            case "clock" | "worded":
                if name == "clock" or all(
                    t.number_word for t in tokens[match.start() : match.end()]
                ):
                    scores, why = self._clock(_seconds(tokens, match))
            case "dotted":
                scores, why = self._dotted(tokens[match.start()])
            case "cap_left" | "cap_reps" | "cap_both" | "cap_alone":
                scores, why = self._at_the_cap(name, tokens, match)
            case "metres" | "kilometres" | "miles":
                scores = [Amount(_metres(name, tokens[match.start("x")]), Unit.METRES)]
            case "load":
                scores = [Amount(_grams(match["u"], tokens[match.start("x")]), Unit.KILOGRAMS)]
            case "load_bare":
                scores, why = _either_unit(tokens[match.start("x")]), Why.WHICH_UNIT
            case "every_round":
                scores, why = self._every_round(tokens, match)
            case "amount":
                place = match.start("x") if match["x"] else match.start("x2")
                value = tokens[place].value
                scores = [Amount(value, Unit.REPS)] if isinstance(value, int) else []
            case "lowest_and_total":
                lowest, total = (tokens[match.start(g)].value for g in "xt")
                if isinstance(lowest, int) and isinstance(total, int):
                    scores = [Amount(lowest, Unit.REPS, total)]
            case "done":
                scores = [Done()]
        if scores or why:
            plain = name in {"clock", "dotted", "worded", "every_round", "done"}
            yield Found(match.start(), match.end() - 1, tuple(scores), why, plain=plain)

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
                metres = [Amount(value, Unit.METRES)] if isinstance(value, int) else []
                kilometres = Amount(_metres("kilometres", token), Unit.METRES)
                far = value > _KILOMETRES_AT_MOST
                return metres if far else [kilometres], Why.WHICH_UNIT
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

    def _dotted(self, token: Token) -> tuple[Sequence[Score], Why | None]:
        """Read "12.34": minutes and seconds for most, a part of a minute for some; ask."""
        value = token.value
        if not isinstance(value, Fraction):
            return (), None
        minutes = int(value)
        hundredths = (value - minutes) * 100
        if hundredths.denominator != 1:
            return (), None
        choices = [minutes * 60 + int(hundredths)] if hundredths < 60 else []  # noqa: PLR2004
        part = (value - minutes) * 60
        if part.denominator == 1:
            choices.append(minutes * 60 + int(part))
        scores = [s for seconds in choices for s in self._clock(seconds)[0]]
        return list(dict.fromkeys(scores)), Why.UNSURE if scores else None

    def _at_the_cap(
        self, name: str, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[Score], Why | None]:
        if name == "cap_alone":
            return (), Why.REPS_AT_THE_CAP
        value = tokens[match.start("x")].value
        if not isinstance(value, int):
            return (), None
        if value == 0 or value >= self._work:
            return (), Why.MORE_THAN_THE_LADDER
        done, left = Capped(value), Capped(self._work - value)
        if name == "cap_both" and done != left:
            return [left, done], Why.CAP_BOTH_WAYS
        return [left if name == "cap_left" else done], None

    def _every_round(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[Score], Why | None]:
        """Read "6 rounds: 12 11 11 10 9 9"; the count must be that of the intervals."""
        span = tokens[match.start("list") : match.end("list")]
        counts = [t.value for t in span if t.kind is Kind.NUMBER and isinstance(t.value, int)]
        intervals = self._task.workout.intervals
        rounds = intervals.rounds if intervals else 0
        if not match["r"] and len(counts) == rounds + 1 and counts[0] == rounds:
            counts = counts[1:]  # "6 rounds 12 11 ..." without the colon
        if len(counts) == rounds:
            return [Amount(min(counts), Unit.REPS, sum(counts))], None
        return [Amount(min(counts), Unit.REPS)], Why.UNSURE


_MINUTES_AT_MOST = 20  # "15" for a hold may be minutes, "45" is not
_KILOMETRES_AT_MOST = 60


def _seconds(tokens: Sequence[Token], match: re.Match[str]) -> int | None:
    groups = match.groupdict()
    if groups.get("c"):
        value = tokens[match.start("c")].value
        return value if isinstance(value, int) else None
    total = Fraction(0)
    for group, size in (("h", 3600), ("m", 60), ("s", 1)):
        if groups.get(group):
            part = tokens[match.start(group)].value
            if not isinstance(part, int | Fraction):
                return None
            if group == "s" and part >= 60 and total:  # noqa: PLR2004 - "5 min 75"
                return None
            total += part * size
    return int(total) if total.denominator == 1 else None


def _decimal(token: Token) -> Decimal:
    value = token.value
    if isinstance(value, Fraction):
        return Decimal(value.numerator) / Decimal(value.denominator)
    return Decimal(value) if isinstance(value, int) else Decimal("0.5")


_METRES: dict[str, Callable[[Decimal], int]] = {
    "metres": lambda value: int(value.to_integral_value()),
    "kilometres": metres_from_km,
    "miles": metres_from_miles,
}


def _metres(unit: str, token: Token) -> int:
    return _METRES[unit](_decimal(token))


def _grams(unit: str, token: Token) -> int:
    return (grams_from_lb if unit == "l" else grams_from_kg)(_decimal(token))


def _either_unit(token: Token) -> Sequence[Score]:
    return [Amount(_grams(unit, token), Unit.KILOGRAMS) for unit in "kl"]
