"""Patterns for scores on a ladder: rounds and repetitions, places by movement, totals.

A pattern is a regular expression over a clause's code string, one letter per token (kinds.py);
beside it stands what reads it. The first pattern that fits a stretch wins.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.lexicon import MovementName
from bot.reading.tokens import Clause, Token
from bot.reading.told import Told
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Capped, RoundsAndReps, Score, ScoreKind
from content.task import Task
from content.workout import Shape

# Totals a stretch can mean, and why it is not sure, if it is not.
Totals = tuple[Sequence[int], Why | None]
_NOTHING: Totals = ((), None)
_FAR = 10_000  # no one does more rounds than that in a day


class LadderReader:
    """Reads one task's ladder.

    Raises:
        ValueError: The task has none (shape open).
    """

    def __init__(self, task: Task) -> None:
        if task.steps is None:
            raise ValueError(f"no ladder in a workout of shape {task.workout.shape}")
        self._task = task
        self._steps = task.steps
        self._capped = task.workout.score is ScoreKind.TIME
        self._ids = [movement.id for movement in task.movements]

    def read(self, clause: Clause, code: str) -> Iterator[tuple[Found, re.Match[str]]]:
        """Give what the patterns find; `code` has blanks where something was read before."""
        for pattern, read in _PATTERNS:
            for match in pattern.finditer(code):
                totals, why = read(self, Told(clause, match))
                scores = tuple(dict.fromkeys(self.score(total) for total in totals))
                if not scores and why is None:
                    continue
                if why is None and len(scores) > 1:
                    why = Why.WHICH_RUNG
                yield Found(match.start(), match.end() - 1, scores, why, on_ladder=True), match
                code = blanked(code, match)

    def score(self, total: int) -> Score:
        """Give the score that a total is on this ladder."""
        if self._capped:
            return Capped(total)
        rounds, reps = arithmetic.split(self._steps, total)
        return RoundsAndReps(rounds, reps, total)

    def fits(self, total: int) -> bool:
        """Say whether the ladder holds that many repetitions, short of its end if it has one."""
        work = arithmetic.total_work(self._steps)
        return total >= 0 and (work is None or total < work)

    def either(self, told: Told) -> Totals:
        """Read "6 or 7 rounds", "3ish rounds": what is said is unsure itself."""
        numbers = [told.number(group) for group in ("n", "n2") if told.has(group)]
        return [total for n in numbers for total in self._rounds(n, 0)[0]], Why.UNSURE

    def of_work(self, told: Told) -> Totals:
        """Read "125 of 144", where the second is the whole ladder."""
        if told.number("of") != arithmetic.total_work(self._steps):
            return _NOTHING
        total = told.number("x")
        return ([total], None) if self.fits(total) else _NOTHING

    def rounds_and_movements(self, told: Told) -> Totals:
        """Read "3 rounds + 8 push-ups and 5 lunges"."""
        return self._movements(told, told.number("n"))

    def scheme_and_movements(self, told: Told) -> Totals:
        """Read "finished the 14s, then 16 presses and 6 lunges"."""
        through = self._round_with_count(told.number("of"))
        return _NOTHING if through is None else self._movements(told, through)

    def into_round(self, told: Told) -> Totals:
        """Read "12 lunges into round 2", "round 4, 5 of 18 squats"."""
        return self._into(told, told.number("n", "o"))

    def after_round(self, told: Told) -> Totals:
        """Read "29 reps after my 3rd round"."""
        return self._into(told, told.number("n", "o", "n2") + 1)

    def into_scheme(self, told: Told) -> Totals:
        """Read "4 sit-ups into the tens"."""
        number = self._round_with_count(told.number("of"))
        return _NOTHING if number is None else self._into(told, number)

    def reached(self, told: Told) -> Totals:
        """Read "made it to the lunges in round 2, did 14", "finished the squats in round 3"."""
        number = told.number("n", "o")
        if not self._has_round(number):
            return _NOTHING
        counts = self._steps.counts(number)
        rungs = self._rungs_named(told.token("m").value)
        if told.match["verb"] == "f":
            return [self._at(number, rung, counts[rung]) for rung in rungs], None
        done = told.number("x") if told.has("x") else 0
        places = [self._at(number, rung, done) for rung in rungs if done <= counts[rung]]
        # Who only got to a movement has done some of it, we do not know how many.
        return places, Why.UNSURE if places and not told.has("x") else None

    def short_of(self, told: Told) -> Totals:
        """Read "one rep short of 4 rounds"."""
        return self._rounds(told.number("n"), -(told.number("x") if told.has("x") else 1))

    def half(self, told: Told) -> Totals:
        """Read "3 rounds and a half"; what is no whole repetition is asked."""
        value = told.token("d").value if told.has("d") else told.number("n") + Fraction(1, 2)
        if not isinstance(value, Fraction) or value > _FAR:
            return _NOTHING
        rounds = int(value)
        if not self.fits(self._steps.through(rounds)):
            return _NOTHING
        reps = (value - rounds) * arithmetic.round_size(self._steps, rounds + 1)
        near = [self._steps.through(rounds) + n for n in (int(reps), int(reps) + 1)]
        if value.denominator > 4:  # noqa: PLR2004 - "2.3 rounds" is some app's idea
            return near, Why.UNSURE
        return (near[:1], None) if reps.denominator == 1 else (near, Why.HALF_A_ROUND)

    def rounds_and_reps(self, told: Told) -> Totals:
        """Read "3 rounds + 45"."""
        return self._rounds(told.number("n"), told.number("x"))

    def dashed(self, told: Told) -> Totals:
        """Read "3-45", which may be something else."""
        return self.rounds_and_reps(told)[0], Why.UNSURE

    def round_plus(self, told: Told) -> Totals:
        """Read "round 3 + 45": in round 3, or after 3 whole rounds?"""
        both = [self._rounds(told.number("n") - less, told.number("x"))[0] for less in (0, 1)]
        return [total for totals in both for total in totals], Why.UNSURE

    def whole_rounds(self, told: Told) -> Totals:
        """Read "3 rounds flat", "finished round 3"."""
        return self._rounds(told.number("n", "o"), 0)

    def scheme_round(self, told: Told) -> Totals:
        """Read "finished the round of 14", "got to the 16s", "12s + 9": rounds named by count."""
        rounds = self._round_with_count(told.number("of"))
        verb = told.match.group()[0]
        if rounds is None or (verb == "d" and told.tokens()[-1].kind is Kind.NUMBER):
            return _NOTHING  # "done 12": the twelves, or twelve of something?
        if told.has("x"):
            more = told.number("x")
            room = arithmetic.extra_room(self._steps, rounds)
            return ([self._steps.through(rounds) + more], None) if more <= room else _NOTHING
        reached = verb == "g"
        total = self._steps.through(rounds - 1 if reached else rounds)
        if not self.fits(total):
            return _NOTHING
        # Who got to the sixteens may have done some of them; on a clock that is the last word.
        return [total], Why.UNSURE if reached and not self._capped else None

    def total(self, told: Told) -> Totals:
        """Read "225 reps", "total 225"."""
        total = told.number("x", "x2", "x3")
        return ((total,), None) if self.fits(total) else ((), Why.MORE_THAN_THE_LADDER)

    def unfinished_at(self, told: Told) -> Totals:
        """Read "capped at the lunges": which round is not known, so we ask."""
        rungs = self._rungs_named(told.token("m").value)
        rounds = range(1, min(self._steps.rounds or 1, 5) + 1)
        return [self._at(number, rung, 0) for number in rounds for rung in rungs], None

    def _rounds(self, rounds: int, extra: int) -> Totals:
        """Whole rounds and a rest; a rest that no round holds becomes a question."""
        most = self._steps.rounds
        if rounds > (most if most is not None else _FAR):
            return _NOTHING
        if extra < 0:
            total = self._steps.through(rounds) + extra
            return (
                ((total,), None) if total >= self._steps.through(max(rounds - 1, 0)) else _NOTHING
            )
        if extra <= arithmetic.extra_room(self._steps, rounds):
            total = self._steps.through(rounds) + extra
            if self.fits(total):
                return (total,), None
            return (), Why.MORE_THAN_THE_LADDER
        return self._too_many(rounds, extra), Why.EXTRA_REPS_EXCEED_ROUND

    def _too_many(self, rounds: int, extra: int) -> Sequence[int]:
        """Guess what was meant when the rest is more than a round: a total, a slip, a carry."""
        room = arithmetic.extra_room(self._steps, rounds)
        through = self._steps.through(rounds)
        guesses = []
        if extra >= through:
            guesses.append(extra)  # the total was told beside the rounds
        shorter = str(extra)[:-1]
        if shorter and 0 < int(shorter) <= room:
            guesses.append(through + int(shorter))  # a digit too many
        if extra <= 2 * (room + 1):
            guesses.append(through + extra)  # counted on past the round
        return [total for total in guesses if self._possible(total)]

    def _possible(self, total: int) -> bool:
        clock = self._task.clock_s
        return self.fits(total) and (clock is None or self._task.fastest_s(total) <= clock)

    def _movements(self, told: Told, rounds: int) -> Totals:
        """Read a list of movements behind whole rounds: the last one tells the place."""
        if not self._has_round(rounds + 1):
            return _NOTHING
        counts = self._steps.counts(rounds + 1)
        items = list(_items(told.tokens("list")))
        last, done = items[-1]
        through = self._steps.through(rounds)
        places = {
            self._at(rounds + 1, rung, counts[rung] if done is None else done)
            for rung in self._rungs_named(last)
            if done is None or done <= counts[rung]
        }
        listed = 0
        for name, number in items:
            named = self._rungs_named(name)
            listed += (counts[named[0]] if named else 0) if number is None else number
        if len(items) == 1 or places == {through + listed}:
            return sorted(places), None if places else Why.WHICH_RUNG
        # What was listed does not add up to the place it names.
        sums = [through + listed] if listed < sum(counts) else []
        return [*sorted(places), *sums], Why.WHICH_RUNG

    def _into(self, told: Told, round_number: int) -> Totals:
        """Give the place in a round: so many of a movement, or of the round."""
        done = told.number("x")
        if not self._has_round(round_number):
            return _NOTHING
        if told.match["m"] != "M":
            return self._rounds(round_number - 1, done)
        counts = self._steps.counts(round_number)
        named = self._rungs_named(told.token("m").value)
        places = [self._at(round_number, rung, done) for rung in named if done <= counts[rung]]
        return places, None if places else Why.WHICH_RUNG

    def _round_with_count(self, count: int) -> int | None:
        """Give the number of the round whose rungs all hold that count, if rounds differ."""
        if self._task.workout.shape in {Shape.REPEAT, Shape.ONCE}:
            return None
        for number in range(1, (self._steps.rounds or _FAR) + 1):
            counts = set(self._steps.counts(number))
            if counts == {count}:
                return number
            if self._steps.rounds is None and min(counts) > count:
                return None
        return None

    def _rungs_named(self, name: object) -> list[int]:
        """Give the places of the rungs that a name means, the division's own words first."""
        if not isinstance(name, MovementName):
            return []
        ids = set(name.among(self._ids))
        return [rung for rung, movement in enumerate(self._ids) if movement in ids]

    def _has_round(self, number: int) -> bool:
        return 1 <= number <= (self._steps.rounds or _FAR)

    def _at(self, round_number: int, rung: int, done: int) -> int:
        counts = self._steps.counts(round_number)
        return self._steps.through(round_number - 1) + sum(counts[:rung]) + done


def _items(tokens: Sequence[Token]) -> Iterator[tuple[object, int | None]]:
    """Give the movements of a list, each with its count or None for the whole rung."""
    count: int | None = None
    for token in tokens:
        if token.kind is Kind.NUMBER and isinstance(token.value, int):
            count = token.value
        elif token.kind is Kind.MOVEMENT:
            yield token.value, count
            count = None


def blanked(code: str, match: re.Match[str]) -> str:
    """Blank out what a pattern has read, so that no later one reads it again."""
    return f"{code[: match.start()]}{'_' * (match.end() - match.start())}{code[match.end() :]}"


# A number that measures something else does not count repetitions: 45 kg, 45 min, round 45 of.
_NOT_UNIT = "(?![klmtqjchxUrS/RMCY])"
# Behind whole rounds: "8 push-ups, 20 lunges and 5 rows"; without a count the whole rung is meant.
_ITEM = "[gd]?(?:No?)?M"
_LIST = f"{_ITEM}(?:[+a,]{{0,2}}{_ITEM})*"
_ROUND = "(?:R(?P<n>N)|(?P<o>O)R)"

_PATTERNS: Sequence[tuple[re.Pattern[str], Callable[[LadderReader, Told], Totals]]] = (
    (re.compile("(?P<n>N)[|](?P<n2>N)[Ff]?R"), LadderReader.either),
    (re.compile("(?P<x>N)P?[/o](?P<of>N)P?(?!M)"), LadderReader.of_work),
    (
        re.compile(f"(?P<n>N)[Ff]?R[df]?[+a,:-]*(?P<list>{_LIST})(?:[oi]O)?"),
        LadderReader.rounds_and_movements,
    ),
    (
        re.compile(f"[fgd](?:R?o)?(?P<of>N)c?[+a,]+(?P<list>{_LIST})(?:oW?)?"),
        LadderReader.scheme_and_movements,
    ),
    (re.compile("R(?P<n>N)[,:]?(?P<x>N)o(?P<of>N)(?P<m>M)"), LadderReader.into_round),
    (re.compile(f"(?P<verb>[gf])(?P<m>M)i{_ROUND}(?:[,a]*d(?P<x>N)P?)?"), LadderReader.reached),
    (re.compile("(?P<x>N)(?P<m>[PM]?)[io]i?(?:R(?P<n>N)|(?P<o>O)R)"), LadderReader.into_round),
    (re.compile(f"(?P<x>N)(?P<m>[PM])@(?:{_ROUND}|(?P<n2>N)R)"), LadderReader.after_round),
    (re.compile(f"i{_ROUND},?(?P<x>N)(?P<m>[PM])"), LadderReader.into_round),
    (
        re.compile("(?<![NDF])R(?P<n>N)(?P<m>i?)[,:]?d?(?P<x>N)P?" + _NOT_UNIT),
        LadderReader.into_round,
    ),
    (re.compile("(?<![NDF])R(?P<n>N)[+](?P<x>N)P?"), LadderReader.round_plus),
    (re.compile("(?P<x>N)(?P<m>[PM]?)i(?P<of>N)c?" + _NOT_UNIT), LadderReader.into_scheme),
    (re.compile("(?P<x>N?)[PM]?s(?P<n>N)[Ff]?R"), LadderReader.short_of),
    (re.compile("e(?P<x>N)P?[o]?(?P<n>N)[Ff]?R"), LadderReader.short_of),
    (re.compile("(?P<n>N)[Ff]?R[a+](?P<h>H)R?"), LadderReader.half),
    (re.compile("(?P<d>D)[Ff]?R"), LadderReader.half),
    (re.compile("(?<![NDF])R[fd]?:?(?P<n>N),?P:?(?P<x>N)"), LadderReader.rounds_and_reps),
    (
        re.compile(f"(?P<n>N)[Ff]?R[a,:]*[+]+[a,]*F?(?P<x>N)P?{_NOT_UNIT}"),
        LadderReader.rounds_and_reps,
    ),
    (
        re.compile("(?P<n>N)[Ff]?R[a,:]*F?(?P<x>N)(?:P|(?=$|[,:VyYEZAud(]))"),
        LadderReader.rounds_and_reps,
    ),
    (
        re.compile(f"(?<![N+C/-])(?P<n>N)[+]+(?P<x>N)P?{_NOT_UNIT}(?![+])"),
        LadderReader.rounds_and_reps,
    ),
    (
        re.compile("(?:[fgd](?:R?o)?|Ro)(?P<of>N)c?(?:[,a+]+(?P<x>N)P?)?(?![RPMNkltqjhmU])"),
        LadderReader.scheme_round,
    ),
    (re.compile("(?P<of>N)c[,a]?[+](?P<x>N)P?"), LadderReader.scheme_round),
    (re.compile(f"f{_ROUND}(?![RPNkltqjhmcU])"), LadderReader.whole_rounds),
    (re.compile("^(?P<n>N)-(?P<x>N)$"), LadderReader.dashed),
    (re.compile("v(?P<n>N)[aWv]{0,3}R|(?P<n2>N)v[W]?R"), LadderReader.either),
    (re.compile("T[:o,@]?(?P<x>N)P?|(?P<x2>N)P?[,:]?T|(?P<x3>N)P(?![seiTo])"), LadderReader.total),
    (re.compile("(?P<n>N)F?f?R(?P<f>F?)(?!i(?:$|[a,]))(?![R])"), LadderReader.whole_rounds),
    (re.compile("[KX][,:-]*(?:g|d)?[gi]?(?P<m>M)"), LadderReader.unfinished_at),
)
