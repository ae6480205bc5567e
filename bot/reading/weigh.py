"""Weigh what was found: does the message speak against it, does anything else hang on it?

A score is recorded only if nothing in its clause is left that could change it. Whatever is unsure
becomes a question; whatever is not the speaker's score for this day is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.normalise import Plain
from bot.reading.tokens import Clause, Token
from bot.reading.values import Why
from content.score import Amount, Score

# Tried on the code before what was found: in the same clause, and in the same part of it (parts
# are what commas separate).
_AGAINST_BEFORE = re.compile(
    "w"  # a plan: aiming for 3 + 45
    "|u"  # in progress: still going, 3 rounds
    "|^b,|^p.*[dQ][^,]*$"  # last spring, ...; my gran did ... and 3 + 45
    "|^Q"  # a question: is 3 + 45 good
)
_AGAINST_IN_PART = re.compile(
    "n[^,]{0,3}$"  # a negation: didn't do 3 rounds
    "|p[^,]{0,4}$"  # somebody else: you got 3 + 45
    "|b"  # another time: last year 3 + 45
    "|[@S]$"  # a time of day: at 6:30
)
# And on the code behind it.
_AGAINST_AFTER = re.compile(
    "^[,WQ]{0,2}w"  # 3 + 45 is the goal
    "|^,?u|^.{0,3}Nu|^i(?:$|[a,])"  # 3 rounds in and dying
    "|^[@oW]?p(?!N)"  # 4 + 10 from you
    "|^[^,]{0,2}b"  # 9:40 last time
    "|^S"
    "|^[WQ]{0,2}[nG](?!.*N)"  # 3 + 45 was wrong
)
# On rounds that go on until the clock ends, something still to go means it has not ended.
_STILL_GOING = re.compile("^.{0,6}?N[mUP]?e|^[,f]{0,2}N[mU]e")
_CORRECTS = re.compile("Z[^NDC]*$|G[,:]?[Wd]?,?$")
_EVIDENCE_IN_CLAUSE = re.compile("[KTVYZ]")
_EVIDENCE_IN_PART = re.compile("[dfLEyi]|^[^W]*W?:$")
# What could change a score: joined numbers right behind it, parts of a ladder anywhere near.
_HANGING_AFTER = re.compile("^,?(?:[+]a?,?|[|]|/)[NDC]|^-?[ND](?![tqjklmchPSxMUWr/])")
# On a ladder also what may go on with the place: a movement, another count, "in the 10s".
_HANGING_LADDER = re.compile(
    "^[+a]{0,2}N?M|No?M|^[,a+]{0,2}a.{0,4}M|^[a+]{0,2}N(?![klcmhtqjU])|^,[+a]*NM|N[PM]|iNc|^,?[+]"
)
_HANGING_BEFORE = re.compile(r"(?:[NDC][+|/]+|[NDC]P?[aT]{0,2}|[NO]M[io]?|R[a+,]*|-)$")
_WINDOW = 60  # tokens around a score that may speak about it; keeps the time linear
_VAGUE_BEFORE = re.compile("v[^,]{0,2}$|s[^,]{0,2}$")
_VAGUE_AFTER = re.compile("^[W]?v|^[a,]*v|^[|]")


def counts(
    found: Sequence[Found], clause: Clause, rest: str, plain: Plain, *, has_cap: bool
) -> tuple[list[Found], list[Found]]:
    """Keep what the clause does not speak against; doubt what something else hangs on.

    Args:
        found: Everything found in the clause.
        clause: Its tokens and code.
        rest: The code with what was found blanked out.
        plain: The message, for capital letters.
        has_cap: The workout ends with its work or at a cap.

    Returns:
        What counts, and what is somebody else's.
    """
    kept: list[Found] = []
    theirs: list[Found] = []
    for each in found:
        start = max(0, each.first - _WINDOW)
        before, after = rest[start : each.first], rest[each.last + 1 : each.last + 1 + _WINDOW]
        part = before.rpartition(",")[2]
        if (
            _AGAINST_BEFORE.search(before)
            or _AGAINST_IN_PART.search(part)
            or _AGAINST_AFTER.search(after)
            or (each.on_ladder and not has_cap and _STILL_GOING.search(after))
        ):
            continue
        name = _name_in_front(clause, each.first, plain)
        if name is True:
            theirs.append(each)
            continue
        carried = _EVIDENCE_IN_CLAUSE.search(before) or _EVIDENCE_IN_PART.search(part)
        weak = each.plain and "W" in part and not carried
        doubted = _doubted(each, clause, before, after)
        is_place = each.plain and after.startswith("@")  # "8:15 by the ferry"
        if (name is None or is_place) and doubted.why is None:
            doubted = replace(doubted, why=Why.UNSURE)
        is_correction = bool(_CORRECTS.search(before))
        kept.append(
            replace(doubted, weak=weak, maybe_theirs=name is None, is_correction=is_correction)
        )
    return kept, theirs


def _name_in_front(clause: Clause, first: int, plain: Plain) -> bool | None:
    """Say whether a name stands in front: "Marta got 4 + 10", "Sam's on 3 rounds", "by Leo, 9:41".

    Returns:
        True for a name, False for none, None when it may be one: a first word with a capital.
    """
    start = max(0, first - _WINDOW)
    in_front = enumerate(clause.tokens[start:first], start=start)
    words = [(place, token) for place, token in in_front if token.kind is Kind.WORD]
    if any(_owns_or_by(token, plain) for _, token in words):
        return True
    named = re.search("W(?P<verb>[u@]?d|:|[@u])?$", clause.code[start:first])
    if named is None:
        return False
    place, word = words[-1]
    has_capital = plain.quote(word.start, word.start + 1).isupper()
    is_first = place == 0
    if named["verb"] == ":":
        return None if has_capital and is_first and len(words) == 1 else False
    if named["verb"] is not None:
        return has_capital or is_first
    if not has_capital or plain.quote(word.start, word.end).isupper():
        return False
    return None if is_first else True


def _owns_or_by(word: Token, plain: Plain) -> bool:
    """Say whether a capital word is somebody's: "Sam's", or stands behind "by"."""
    if not plain.quote(word.start, word.start + 1).isupper():
        return False
    text = plain.text
    return text[word.start : word.end].endswith("'s") or text[: word.start].endswith(" by ")


def _doubted(found: Found, clause: Clause, before: str, after: str) -> Found:
    """Turn a score into a question when another number hangs on it, or a vague word."""
    if found.why is not None:
        return found
    told = {score.total_reps for score in found.scores if hasattr(score, "total_reps")}
    hanging = _HANGING_AFTER.search(after)
    if hanging:
        place = found.last + hanging.end()
        hanging = None if clause.tokens[place].value in told else hanging
    if hanging is None and found.on_ladder:
        hanging = _HANGING_LADDER.search(after)
        behind = clause.tokens[found.last + 1 : found.last + 1 + _WINDOW]
        if hanging and any(isinstance(t.value, int) and t.value in told for t in behind):
            hanging = None  # the total beside it
    vague = _VAGUE_BEFORE.search(before) or _VAGUE_AFTER.search(after)
    if hanging or vague or _HANGING_BEFORE.search(before):
        return replace(found, why=Why.UNSURE)
    return found


_MOST_CHOICES = 6  # more buttons than that nobody reads


@dataclass(frozen=True, slots=True)
class Decided:
    """One score, or the question and its choices. `rests_on` is what to quote."""

    scores: tuple[Score, ...]
    why: Why | None
    rests_on: Found


def weigh(found: Sequence[Found], *, correction: bool) -> Decided | None:
    """Decide between everything that was found in a message; None when nothing carries it."""
    if any(each.why is not Why.REPS_AT_THE_CAP for each in found):
        found = [each for each in found if each.why is not Why.REPS_AT_THE_CAP]
    if sum(each.maybe_theirs for each in found) > 1:  # a list of names with their scores
        found = [each for each in found if not each.maybe_theirs]
    strong = [each for each in found if not each.weak]
    if not strong:
        return None
    sure = [each for each in found if each.why is None]
    doubtful = [each for each in strong if each.why is not None]
    if not [each for each in sure if not each.weak]:
        first = doubtful[0]
        choices = tuple(dict.fromkeys(s for each in doubtful for s in each.scores))
        return Decided(choices[:_MOST_CHOICES], first.why, first)
    distinct = _distinct(sure)
    known = set(distinct)
    contradicted = [each for each in doubtful if known.isdisjoint(each.scores)]
    if len(distinct) == 1 and not contradicted:
        best = next(each for each in sure if distinct[0] in each.scores)
        return Decided((distinct[0],), None, best)
    after_mark = [each for each in sure if each.is_correction]
    if correction and len(after_mark) == 1 and not contradicted:
        return Decided(after_mark[0].scores, None, after_mark[0])
    return Decided(tuple(_distinct(found))[:_MOST_CHOICES], Why.TWO_SCORES, strong[0])


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
