"""Patterns for scores on a ladder: rounds and repetitions, places by movement, totals.

A pattern is a regular expression over a clause's code string, one letter per token (kinds.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.lexicon import MovementName
from bot.reading.tokens import Clause, Token
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Capped, RoundsAndReps, Score, ScoreKind
from content.task import Task
from content.workout import Shape

# A number that measures something else does not count repetitions: 45 kg, 45 min, round 45 of.
_NOT_UNIT = "(?![klmtqjchxS/RMCY])"
_MOVE_LIST = "NM(?:[+a,]{1,2}NM)*"

PATTERNS: Sequence[tuple[str, re.Pattern[str]]] = (
    ("rounds_and_movements", re.compile(f"(?P<n>N)[Ff]?R[+a,:-]*(?P<list>{_MOVE_LIST})")),
    ("round_rung", re.compile("R(?P<n>N)[,:]?(?P<x>N)o(?P<of>N)(?P<m>M)")),
    (
        "reached",
        re.compile("(?P<verb>[gf])(?P<m>M)i(?:R(?P<n>N)|(?P<o>O)R)(?:[,a]*d(?P<x>N)P?)?"),
    ),
    ("into_round", re.compile("(?P<x>N)(?P<m>[PM]?)i(?:R(?P<n>N)|R?(?P<o>O)R?)")),
    ("into_round", re.compile("R(?P<n>N)(?P<m>i?)[,:]?[+]?d?(?P<x>N)P?" + _NOT_UNIT)),
    ("short_of", re.compile("(?P<x>N?)P?s(?P<n>N)[Ff]?R")),
    ("half", re.compile("(?P<n>N)[Ff]?R[a+](?P<h>H)R?|(?P<n2>N)[a+](?P<h2>H)R")),
    ("half", re.compile("(?P<d>D)[Ff]?R")),
    (
        "rounds_and_reps",
        re.compile(f"(?P<n>N)[Ff]?R(?:[a,:]?[+]+[a,]?|-)F?(?P<x>N)P?{_NOT_UNIT}"),
    ),
    ("rounds_and_reps", re.compile("(?P<n>N)[Ff]?R[a,:]*F?(?P<x>N)(?:P|(?=$|[,:VyYEZAud(]))")),
    ("rounds_and_reps", re.compile(f"(?<![N+C/-])(?P<n>N)[+]+(?P<x>N)P?{_NOT_UNIT}(?![+])")),
    (
        "scheme_round",
        re.compile("(?:[fg](?:R?o)?|Ro)(?P<of>N)c?(?:[,a+]+(?P<x>N)P?)?(?![RPNkltqjhm])"),
    ),
    ("scheme_round", re.compile("(?P<of>N)c[,a]?[+](?P<x>N)P?")),
    ("round_done", re.compile("f(?:R(?P<n>N)|(?P<o>O)R)(?![RPNkltqjhmc])")),
    ("total", re.compile("T[:o,@]?(?P<x>N)P?|(?P<x2>N)P?[,:]?T|(?P<x3>N)P(?![seiTo])")),
    ("whole_rounds", re.compile("(?P<n>N)F?f?R(?P<f>F?)(?!i(?!N))(?![R])")),
    ("unfinished_at", re.compile("[KX][,:-]*(?:g|d)?[gi]?(?P<m>M)")),
)


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

    def read(self, name: str, clause: Clause, match: re.Match[str]) -> Iterator[Found]:
        """Turn one match of a pattern into what it tells, or nothing."""
        tokens = clause.tokens
        first, last = match.start(), match.end() - 1
        totals: Sequence[int] = ()
        why: Why | None = None
        match name:
            case "rounds_and_movements":
                totals, why = self._movements(tokens, match)
            case "round_rung" | "into_round":
                totals, why = self._into(tokens, match)
            case "reached":
                totals, why = self._reached(tokens, match)
            case "short_of":
                short = _int(tokens, match, "x") if match["x"] else 1
                totals, why = self._rounds(_int(tokens, match, "n"), -short)
            case "half":
                totals, why = self._half(tokens, match)
            case "rounds_and_reps":
                totals, why = self._rounds(_int(tokens, match, "n"), _int(tokens, match, "x"))
            case "round_done":
                totals, why = self._rounds(_round_number(tokens, match), 0)
            case "whole_rounds":
                totals, why = self._rounds(_int(tokens, match, "n"), 0)
            case "scheme_round":
                totals = self._scheme_round(tokens, match, clause.code[first])
            case "total":
                totals, why = self._total(tokens, match)
            case "unfinished_at":
                totals = self._unfinished_at(tokens, match)
        scores = tuple(dict.fromkeys(self.score(total) for total in totals))
        if scores or why:
            plain = not re.search("[RPTMKX]", match.group())
            if why is None and len(scores) > 1:
                why = Why.WHICH_RUNG
            yield Found(first, last, scores, why, plain=plain)

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

    def _rounds(self, rounds: int, extra: int) -> tuple[Sequence[int], Why | None]:
        """Whole rounds and a rest; a rest that no round holds becomes a question."""
        most = self._steps.rounds
        if rounds > (most if most is not None else _FAR):
            return (), None
        if extra < 0:
            total = self._steps.through(rounds) + extra
            return (
                ((total,), None)
                if total >= self._steps.through(max(rounds - 1, 0))
                else ((), None)
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

    def _half(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[int], Why | None]:
        groups = match.groupdict()
        if groups.get("d"):
            value = tokens[match.start("d")].value
            assert isinstance(value, Fraction)  # noqa: S101 - the kind says so
            rounds, part = int(value), value - int(value)
        else:
            rounds = _int(tokens, match, "n" if groups.get("n") else "n2")
            part = Fraction(1, 2)
        if not self.fits(self._steps.through(min(rounds, _FAR))):
            return (), None
        reps = part * arithmetic.round_size(self._steps, rounds + 1)
        near = [self._steps.through(rounds) + n for n in {int(reps), int(reps) + 1}]
        return (near[:1], None) if reps.denominator == 1 else (sorted(near), Why.HALF_A_ROUND)

    def _movements(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[int], Why | None]:
        """Read "3 rounds + 8 push-ups and 5 lunges": the last one tells the place."""
        rounds = _int(tokens, match, "n")
        if not self._has_round(rounds + 1):
            return (), None
        span = range(match.start("list"), match.end("list"))
        numbers = [tokens[i].value for i in span if tokens[i].kind is Kind.NUMBER]
        names = [tokens[i].value for i in span if tokens[i].kind is Kind.MOVEMENT]
        counts = self._steps.counts(rounds + 1)
        places = []
        for rung in self._rungs_named(names[-1]):
            done = numbers[-1]
            if isinstance(done, int) and done <= counts[rung]:
                places.append(self._at(rounds + 1, rung, done))
        told = sum(n for n in numbers if isinstance(n, int))
        rest = {place - self._steps.through(rounds) for place in places}
        if len(names) > 1 and rest != {told}:
            # What was listed does not add up to the place it names.
            extra = [self._steps.through(rounds) + told] if told < sum(counts) else []
            return [*places, *extra], Why.WHICH_RUNG
        return places, None if places else Why.WHICH_RUNG

    def _into(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[int], Why | None]:
        round_number = _round_number(tokens, match)
        done = _int(tokens, match, "x")
        if not self._has_round(round_number):
            return (), None
        if match["m"] != "M":
            return self._rounds(round_number - 1, done)
        counts = self._steps.counts(round_number)
        named = self._rungs_named(tokens[match.start("m")].value)
        rungs = [rung for rung in named if done <= counts[rung]]
        return [
            self._at(round_number, r, done) for r in rungs
        ], Why.WHICH_RUNG if not rungs else None

    def _reached(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[int], Why | None]:
        """Read "made it to the lunges in round 2, did 14" and "finished the squats in round 3"."""
        round_number = _round_number(tokens, match)
        if not self._has_round(round_number):
            return (), None
        counts = self._steps.counts(round_number)
        rungs = self._rungs_named(tokens[match.start("m")].value)
        if match["verb"] == "f":
            return [self._at(round_number, rung, counts[rung]) for rung in rungs], None
        done = _int(tokens, match, "x") if match["x"] else 0
        rungs = [rung for rung in rungs if done <= counts[rung]]
        if match["x"]:
            return [self._at(round_number, rung, done) for rung in rungs], None
        # Somebody who only got to a movement has done some of it, we do not know how many.
        return [self._at(round_number, rung, 0) for rung in rungs], Why.UNSURE if rungs else None

    def _scheme_round(
        self, tokens: Sequence[Token], match: re.Match[str], verb: str
    ) -> Sequence[int]:
        """Read "finished the round of 14", "got to the 16s", "12s + 9": rounds named by count."""
        rounds = self._round_with_count(_int(tokens, match, "of"))
        if rounds is None:
            return ()
        if match["x"]:
            more = _int(tokens, match, "x")
            room = arithmetic.extra_room(self._steps, rounds)
            return [self._steps.through(rounds) + more] if more <= room else ()
        through = rounds - 1 if verb == "g" else rounds
        total = self._steps.through(through)
        return [total] if self.fits(total) else ()

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

    def _total(
        self, tokens: Sequence[Token], match: re.Match[str]
    ) -> tuple[Sequence[int], Why | None]:
        place = next(match.start(name) for name in ("x", "x2", "x3") if match[name])
        total = tokens[place].value
        if not isinstance(total, int):
            return (), None
        if not self.fits(total):
            return (), Why.MORE_THAN_THE_LADDER
        return (total,), None

    def _unfinished_at(self, tokens: Sequence[Token], match: re.Match[str]) -> Sequence[int]:
        """A capped person who names the movement only: which round is not known, so we ask."""
        rungs = self._rungs_named(tokens[match.start("m")].value)
        rounds = min(self._steps.rounds or 1, 5)
        return [self._at(number, rung, 0) for number in range(1, rounds + 1) for rung in rungs]

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


_FAR = 500  # no one does more rounds than that in a day


def _round_number(tokens: Sequence[Token], match: re.Match[str]) -> int:
    groups = match.groupdict()
    return _int(tokens, match, "n" if groups.get("n") else "o")


def _int(tokens: Sequence[Token], match: re.Match[str], group: str) -> int:
    value = tokens[match.start(group)].value
    return value if isinstance(value, int) else 0
