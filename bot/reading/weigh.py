"""Weigh what was found: does the message speak against it, does anything else hang on it?

A score is recorded only if nothing in its clause is left that could change it. Whatever is unsure
becomes a question; whatever is not the speaker's score for this day is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bot.reading.clauses import Clause
from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.normalise import Plain
from bot.reading.token import Token
from bot.reading.values import Why
from content.score import Amount, Finished, RoundsAndReps, Score, Unit

# What speaks against a score, tried on the code before it (in its clause, or in its own part of
# it; parts are what commas separate) and on the code behind it.
_AGAINST_BEFORE = re.compile(
    "u"  # in progress: still going, 3 rounds
    "|^2"  # an invitation: anyone up for 3 rounds
    "|b[^,+]*$|^bW{0,2},"  # another time: last year 3 + 45
    "|^p.*[dQ][^,]*$"  # my gran did ... and 3 + 45
    "|^Q"  # a question: is 3 + 45 good
)
_AGAINST_IN_PART = re.compile("w|S$")  # a plan: aiming for 3 + 45; 8 km/h
_AGAINST_AFTER = re.compile(
    "^.{0,8}eN[mU]"  # 3 rounds, still 6 minutes to go
    "|^/[qjt]"  # 5:13/km
    "|^,?u|^.{0,3}Nu"  # 3 rounds so far
    "|^[^,]{0,3}b"  # 9:40 last time
    "|^W?S"  # 9:15 am
)
# These count unless the part tells a score in so many words.
_PLAN_BEFORE = re.compile("w")
_PLAN_AFTER = re.compile("^[WQ]{0,2}w")  # 3 + 45 is the goal
_INVITED_AFTER = re.compile("^.{0,6}2")  # 10:15 on the pier, bring a mat
_TOLD_IN_PART = re.compile("[dfL]")
# These depend on what was found.
_UNDER_WAY_AFTER = re.compile("^i(?:$|[a,])")  # 3 rounds in and dying
_TIME_OF_DAY_BEFORE = re.compile("@$")  # at 9:15
_LIFTED = re.compile("N?:[|]|N[|]|[|]4[,a]?(?:xN|Nx|NP)")  # "five: 24 kg bell", "24 kg bell x 5"
_OF_ONE_ROUND = re.compile("(?:RN|OR)[^,]{0,3}$")  # wave one done in 4:30
# On rounds that go on until the clock ends, something still to go means it has not ended.
_STILL_GOING_AFTER = re.compile("^.{0,6}?N[mUP]?e|^[,f]{0,2}N[mU]e")
# Taken back, or somebody else's.
_DENIED = re.compile("n[^,:_]{0,3}$")  # not 3 + 45
_WITHDRAWN_BEFORE = re.compile("![^,:_]{0,2}$")  # ignore the 3 + 45
_WITHDRAWN_AFTER = re.compile("^W?~")  # 3 + 45 was wrong
_THEIRS_IN_PART = re.compile("p[^,:#_]{0,4}$|pW?:$")  # you got 3 + 45
_THEIRS_AFTER = re.compile("^[@o]?p(?!N)")  # 4 + 10 from you
_MINE = re.compile("#[:,-]?$")  # me: 3 + 45
_CORRECTS = re.compile("Z[^NDC]*$|G[,:]?[Wd]?,?$")
# What carries a score that is said of many things.
_EVIDENCE_IN_CLAUSE = re.compile("[KTVYZG1]")
_EVIDENCE_IN_PART = re.compile("[dfgLEyiM#]|^[^W]*W?:$")
_IDLE_AFTER = re.compile("^WW")  # "two minutes of silence for my legs"
_PART = re.compile("[,/]")
# What could change a score: joined numbers right behind it, parts of a ladder anywhere near.
_HANGING_AFTER = re.compile("^,?(?:[+]a?,?|[|]|/)[NDC]|^-?[ND](?![tqjklmchPSxMUWr/])")
# On a ladder also what may go on with the place: a movement, another count, "in the 10s".
_HANGING_LADDER = re.compile(
    "^[+a]{0,2}N?M|No?M|^[,a+]{0,2}a[FJW]?M|^[a+]{0,2}N(?![klcmhtqjU])|^,[+a]*NM|N[PM]|iNc"
    "|^,?[+][aF]?[NDM]"
)
# Behind whole rounds also any other place: "4 rounds, then down after row 9 of the 5th".
_HANGING_WHOLE = re.compile("[^Q]*(?:M|O(?!W))|[^Q]*dN(?![klmcht])")
_HANGING_LIST = re.compile("^,[+a]*M")  # "then push-ups, lunges and half of the something"
_HANGING_BEFORE = re.compile(
    r"(?:[NDC][+|/]+|[NDC]P?[aT]{0,2}|[NO]M[io]?|O[WM]?[io]?|OR@|R[a+,]*|-)$"
)
_WINDOW = 60  # tokens around a score that may speak about it; keeps the time linear
_VAGUE_BEFORE = re.compile("v[^,]{0,2}$|s[^,]{0,2}$")
# "3 + 45, I think"; but "3 + 45, I think I started too fast".
_VAGUE_AFTER = re.compile("^a?v|^[a,]+v(?:$|[,ANDC])|^[|]|^<")


@dataclass(frozen=True, slots=True)
class Counted:
    """What a clause says of what was found in it."""

    kept: Sequence[Found]
    theirs: Sequence[Found]  # somebody else's
    withdrawn: bool  # something was taken back: "3 + 45 was wrong"


@dataclass(frozen=True, slots=True)
class _Around:
    """The code around what was found; `part` is the end of `before` behind the last comma."""

    before: str
    part: str
    after: str
    is_time: bool  # what was found is read off a clock, as times of day are

    @property
    def is_told(self) -> bool:
        """Whether the part tells a score in so many words."""
        return _TOLD_IN_PART.search(self.part) is not None

    @property
    def is_carried(self) -> bool:
        """Whether anything says that a score is told here."""
        return (
            _EVIDENCE_IN_CLAUSE.search(self.before) is not None
            or _EVIDENCE_IN_PART.search(self.part) is not None
            or (self.part.endswith(":") and not self.is_time)
        )


def counts(
    found: Sequence[Found], clause: Clause, rest: str, plain: Plain, *, has_cap: bool
) -> Counted:
    """Keep what the clause does not speak against; doubt what something else hangs on.

    Args:
        found: Everything found in the clause.
        clause: Its tokens and code.
        rest: The code with what was found blanked out.
        plain: The message, for capital letters.
        has_cap: The workout ends with its work or at a cap.
    """
    kept: list[Found] = []
    theirs: list[Found] = []
    withdrawn = False
    for each in found:
        start = max(0, each.first - _WINDOW)
        before, after = rest[start : each.first], rest[each.last + 1 : each.last + 1 + _WINDOW]
        around = _Around(before, _PART.split(before)[-1], after, any(map(_is_time, each.scores)))
        if _DENIED.search(around.part):
            withdrawn = withdrawn or bool(kept)  # "3 + 54, not 3 + 45"
        elif _WITHDRAWN_BEFORE.search(around.part) or _WITHDRAWN_AFTER.search(after):
            withdrawn = True
        elif not _is_against(each, around, has_cap=has_cap):
            name = _whose(each, clause, around, plain)
            if name is True:
                theirs.append(each)
            else:
                kept.append(_judged(each, clause, around, maybe_theirs=name is None))
    return Counted(kept, theirs, withdrawn)


def _is_against(each: Found, around: _Around, *, has_cap: bool) -> bool:
    """Say whether the clause speaks against what was found in it."""
    before, part, after = around.before, around.part, around.after
    if (
        _AGAINST_BEFORE.search(before)
        or _AGAINST_IN_PART.search(part)
        or _AGAINST_AFTER.search(after)
    ):
        return True
    if not around.is_told and (
        _PLAN_BEFORE.search(before) or _PLAN_AFTER.search(after) or _INVITED_AFTER.search(after)
    ):
        return True
    if after.startswith("4") and not around.is_told and not _LIFTED.search(f"{part}|{after}"):
        return True  # a 16 kg kettlebell
    if not each.placed and _UNDER_WAY_AFTER.search(after):
        return True
    if (
        each.plain
        and not any(map(_is_load, each.scores))
        and _TIME_OF_DAY_BEFORE.search(part)
        and after[:1] not in {"f", "d"}
    ):
        return True
    if around.is_time and _OF_ONE_ROUND.search(part):
        return True
    return each.on_ladder and not has_cap and _STILL_GOING_AFTER.search(after) is not None


def _whose(each: Found, clause: Clause, around: _Around, plain: Plain) -> bool | None:
    """Say whether what was found is somebody else's; None when it may be."""
    if _THEIRS_IN_PART.search(around.part) or _THEIRS_AFTER.search(around.after):
        return True
    if each.on_ladder and around.after.startswith("@W"):  # "3 + 45 from Lena"
        word = clause.tokens[each.last + 2]
        if not plain.capital_nouns and plain.has_capital(word.start):
            return True
    return _name_in_front(clause, each.first, plain)


def _judged(each: Found, clause: Clause, around: _Around, *, maybe_theirs: bool) -> Found:
    """Note what the clause says of a score that counts."""
    part, after, carried = around.part, around.after, around.is_carried
    # "rucksack 18 kg" is a load, "my 16 kg kettlebell" is not.
    is_load = any(map(_is_load, each.scores)) and not after.startswith("W")
    few = is_load and part.count("W") < _MANY
    doubted = _doubted(each, clause, around.before, after)
    # A place behind a time: 8:15 by the ferry.
    is_place = each.plain and around.is_time and after.startswith("@")
    minutes = clause.code[each.first : each.last + 1] == "Nm"
    idle = minutes and not carried and _IDLE_AFTER.search(after) is not None
    unsure = maybe_theirs or is_place or idle
    return replace(
        doubted,
        why=Why.UNSURE if unsure and doubted.why is None else doubted.why,
        weak=each.plain and "W" in part and not carried and not few,
        maybe_theirs=maybe_theirs,
        is_correction=_CORRECTS.search(around.before) is not None,
        is_mine=_MINE.search(part) is not None,
    )


def _is_time(score: Score) -> bool:
    """Say whether a score is read off a clock, as times of day are."""
    return isinstance(score, Finished) or (
        isinstance(score, Amount) and score.unit is Unit.SECONDS
    )


def _is_load(score: Score) -> bool:
    return isinstance(score, Amount) and score.unit is Unit.KILOGRAMS


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
    named = re.search("W(?P<verb>[u@]?d|[u@]?f,?|:|[@u])?$", clause.code[start:first])
    if named is None:
        return False
    place, word = words[-1]
    is_first = place == 0
    has_capital = plain.has_capital(word.start)
    if plain.capital_nouns and not (is_first and len(words) == 1):
        return False  # where every noun has a capital, it tells nothing
    if named["verb"] == ":":
        return None if has_capital and is_first and len(words) == 1 else False
    if named["verb"] is not None:
        verb = clause.tokens[start + named.start("verb")]
        if plain.text[word.end : verb.start].strip():  # "Sir, my score is": words that we drop
            return None if has_capital and not is_first else False
        return has_capital or (None if is_first else False)
    if not has_capital or plain.quote(word.start, word.end).isupper():
        return False
    return None if is_first else True


def _owns_or_by(word: Token, plain: Plain) -> bool:
    """Say whether a capital word is somebody's: "Sam's", or stands behind "by"."""
    if plain.capital_nouns or not plain.has_capital(word.start):
        return False
    text = plain.text
    return text[word.start : word.end].endswith("'s") or text[: word.start].endswith(
        (" by ", " from ")
    )


def _doubted(found: Found, clause: Clause, before: str, after: str) -> Found:
    """Turn a score into a question when another number hangs on it, or a vague word."""
    if found.why is not None:
        return found
    after = _without_explained(after, clause.tokens[found.last + 1 :], found)
    before = _without_explained(before, clause.tokens[: found.first][-_WINDOW:], found)
    hanging = _HANGING_AFTER.search(after)
    if hanging is None and found.on_ladder:
        hanging = _HANGING_LADDER.search(after)
        if hanging is None and found.is_whole:
            hanging = _HANGING_WHOLE.search(after)
        if hanging is None and found.by_movement:
            hanging = _HANGING_LIST.search(after)
    vague = _VAGUE_BEFORE.search(before) or _VAGUE_AFTER.search(after)
    if hanging or vague or _HANGING_BEFORE.search(before):
        return replace(found, why=Why.UNSURE)
    return found


def _without_explained(code: str, tokens: Sequence[Token], found: Found) -> str:
    """Blank out the numbers that the score itself explains: its total, the size of a round."""
    letters = "N" if found.on_ladder else "NO"
    if not any(letter in code for letter in letters):
        return code
    explained = found.explains()
    return "".join(
        "_" if letter in letters and token.value in explained else letter
        for letter, token in zip(code, tokens, strict=False)
    )


_MINUTE_S = 60
_MANY = 2  # words we do not know
MOST_CHOICES = 6  # more buttons than that nobody reads


@dataclass(frozen=True, slots=True)
class Decided:
    """One score, or the question and its choices. `rests_on` is what to quote."""

    scores: tuple[Score, ...]
    why: Why | None
    rests_on: Found


def weigh(found: Sequence[Found], *, correction: bool) -> Decided | None:
    """Decide between everything that was found in a message; None when nothing carries it."""
    at_the_cap = [each for each in found if each.why is Why.REPS_AT_THE_CAP]
    if len(at_the_cap) == len(found) > 1 and any(
        isinstance(score, Finished) for each in found for score in each.scores
    ):
        return None  # "the cap is 11 minutes"
    if len(at_the_cap) < len(found):
        found = [each for each in found if each.why is not Why.REPS_AT_THE_CAP]
    mine = [each for each in found if each.is_mine]
    if mine and len(mine) < len(found):  # "Ana 7 + 1, me 6 + 30"
        return Decided(mine[0].scores[:MOST_CHOICES], Why.TWO_SCORES, mine[0])
    if sum(each.maybe_theirs for each in found) > 1:  # a list of names with their scores
        found = [each for each in found if not each.maybe_theirs]
    if any(each.why is None and isinstance(each.scores[0], Finished) for each in found):
        # The time of all the work: a movement named beside it is no place where the clock ran out.
        found = [each for each in found if not each.on_ladder or each.placed]
    strong = [each for each in found if not each.weak]
    if not strong:
        return None
    sure = [each for each in found if each.why is None]
    doubtful = [each for each in strong if each.why is not None]
    if not [each for each in sure if not each.weak]:
        first = doubtful[0]
        choices = tuple(dict.fromkeys(s for each in doubtful for s in each.scores))
        return Decided(choices[:MOST_CHOICES], first.why, first)
    sure = _without_explained_ones(sure)
    distinct = _distinct(sure)
    known = set(distinct)
    contradicted = [each for each in doubtful if known.isdisjoint(each.scores)]
    if len(distinct) == 1 and not contradicted:
        best = next(each for each in sure if distinct[0] in each.scores)
        return Decided((distinct[0],), None, best)
    after_mark = [each for each in sure if each.is_correction]
    if correction and len(after_mark) == 1 and not contradicted:
        return Decided(after_mark[0].scores, None, after_mark[0])
    return Decided(tuple(_distinct(found))[:MOST_CHOICES], Why.TWO_SCORES, strong[0])


def _without_explained_ones(found: Sequence[Found]) -> list[Found]:
    """Drop what only repeats a part of another: "2 min 1 sec, the 1 sec was spite".

    A handful of repetitions beside whole rounds is the rest of nothing, or a wish.
    """
    rounds = any(isinstance(s, RoundsAndReps) and s.rounds for each in found for s in each.scores)

    def only_repeats(each: Found) -> bool:
        score = each.scores[0]
        if not (isinstance(score, Amount) and score.unit is Unit.SECONDS):
            return rounds and each.rest_only
        others = (other for other in found if other is not each)
        return score.amount < _MINUTE_S and any(score.amount in o.explains() for o in others)

    return [each for each in found if not only_repeats(each)]


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
