"""Weigh what was found: does it count, does the message speak against it, is there one score?"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bot.reading.found import Found
from bot.reading.tokens import Clause
from bot.reading.values import Why
from content.score import Amount, Score

# Each is tried on the code before or after what was found.
_AGAINST_BEFORE = re.compile(
    "w"  # a plan: aiming for 3 + 45
    "|n[^,]{0,3}$"  # a negation: didn't do 3 rounds
    "|p[^,]{0,4}$"  # somebody else: you got 3 + 45
    "|u"  # in progress: still going, 3 rounds
    "|@$"  # a time of day: at 6:30
    "|^Q"  # a question: is 3 + 45 good
    "|S$"
)
_AGAINST_AFTER = re.compile(
    "^[,]?w"  # 3 + 45 is the goal
    "|^[,]?u|^i(?![NRo])"  # 3 rounds in and dying
    "|^[@oW]{0,1}@?p(?![a-zA-Z]*N)"  # 4 + 10 from you
    "|^S"
)
_JOINED = re.compile("[+|/]|v")
_LEFTOVER_AFTER = re.compile(r"^(?:[+a,-]?[+]|[|/-])[+]?[NDC]|^[ND](?![tqjklmchPSxM])")
_LEFTOVER_BEFORE = re.compile(r"[NDC](?:[+|/-])$")


def counts(found: Sequence[Found], clause: Clause, rest: str) -> list[Found]:
    """Keep what the clause does not speak against.

    Args:
        found: Everything found in the clause.
        clause: Its tokens and code.
        rest: The code with what was found blanked out.
    """
    kept = []
    for each in found:
        before, after = rest[: each.first], rest[each.last + 1 :]
        if _AGAINST_BEFORE.search(before) or _AGAINST_AFTER.search(after):
            continue
        if _is_somebody(clause, each.first) or (each.plain and not _carried(each, clause)):
            continue
        kept.append(_doubted(each, clause, before, after))
    return kept


def _is_somebody(clause: Clause, first: int) -> bool:
    """Say whether a name stands in front: "Marta got 4 + 10"."""
    code = clause.code[:first]
    return code.endswith("Wd") and len(code) == 2  # noqa: PLR2004 - the two tokens


def _carried(found: Found, clause: Clause) -> bool:
    """Say whether the words around let bare numbers be a score."""
    if "C" not in clause.code[found.first : found.last + 1]:
        return True
    before = clause.code[: found.first]
    return "W" not in before or bool(re.search("[dfKLTVEyZ]", before))


def _doubted(found: Found, clause: Clause, before: str, after: str) -> Found:
    """Turn a score into a question when another number hangs on it, or a vague word."""
    numbers_told = {score.total_reps for score in found.scores if hasattr(score, "total_reps")}
    hanging = _LEFTOVER_AFTER.search(after)
    if hanging:
        place = found.last + hanging.end()
        hanging_value = clause.tokens[place].value
        hanging = None if hanging_value in numbers_told else hanging
    vague = before.endswith("v") or after.startswith("v")
    if found.why is None and (hanging or vague or _LEFTOVER_BEFORE.search(before)):
        return Found(found.first, found.last, found.scores, Why.UNSURE, plain=found.plain)
    return found


@dataclass(frozen=True, slots=True)
class Decided:
    """One score, or the question and its choices. `rests_on` is what to quote."""

    scores: tuple[Score, ...]
    why: Why | None
    rests_on: Found


def weigh(found: Sequence[Found], *, correction: bool) -> Decided:
    """Decide between everything that was found in a message; at least one was."""
    sure = [each for each in found if each.why is None]
    doubtful = [each for each in found if each.why is not None]
    if not sure:
        first = doubtful[0]
        choices = tuple(dict.fromkeys(s for each in doubtful for s in each.scores))
        return Decided(choices, first.why, first)
    distinct = _distinct(sure)
    contradicted = [
        each for each in doubtful if not any(s in each.scores for s in distinct) and each.scores
    ]
    if len(distinct) == 1 and not contradicted:
        best = next(each for each in sure if distinct[0] in each.scores)
        return Decided((distinct[0],), None, best)
    if correction and len(distinct) > 1 and not contradicted:
        return Decided(sure[-1].scores, None, sure[-1])
    everything = _distinct(found)
    return Decided(tuple(everything), Why.TWO_SCORES, sure[0])


def _distinct(found: Iterable[Found]) -> list[Score]:
    """Give the different scores; the same one told with more detail is one."""
    scores = list(dict.fromkeys(score for each in found for score in each.scores))
    detailed = {s.amount for s in scores if isinstance(s, Amount) and s.total_reps is not None}
    return [
        score
        for score in scores
        if not (
            isinstance(score, Amount) and score.total_reps is None and score.amount in detailed
        )
    ]
