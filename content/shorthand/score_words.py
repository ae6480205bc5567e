"""How scoring is said: for time, as many as possible, heaviest, farthest, done is done."""

from __future__ import annotations

import re

from content.shorthand.clause import (
    CAN,
    Clause,
    Patterns,
    Say,
    any_of,
    counted,
    first_of,
    plainly,
)
from content.shorthand.measures import NUMBER, number

# "score is the" or "scoring:", and behind it what counts
_SCORE = r"scor(?:e|ing)[ :,=-]{0,3}(?:is |= ?)?(?:(?:your|ur|the) )?"
_LEAST = r"(?:lowest|worst|slowest|smallest)(?: (?:round|burst|set|interval|one|count))?"
_DONE = any_of(
    "done is done",
    "doing it counts",
    r"not? (?:scored?|clock)(?!\w)",
    "unscored",
    "not for time",
    "untimed",
    "for quality",
    "for completion",
    r"not timed(?!\w)",
    r"nft(?!\w)",  # not for time
    r"no clock(?!\w)",
    "not (?:against the clock|on the clock)",
    r"no time(?! ?(?:cap|limit))(?!\w)",
    r"just (?:do it|finish|move|get it done)(?!\w)",
    r"no scores?(?!\w)",
    rf"{_SCORE}done(?!\w)",
)
_REPS = r"(?:reps|repetitions|\x00+)"  # or a movement: "score is total burpees"
_TOTAL = any_of(
    rf"{_SCORE}(?:total(?: number)?(?: of)?(?: all)? ?{_REPS}|total|(?:all )?reps)(?!\w)",
    r"total (?:reps|repetitions)(?: (?:counts?|is (?:your|the) score))?(?!\w)",
    "all reps count",
    r"count (?:everything|(?:th)?em all|all (?:the |your )?reps|all of (?:it|them))(?!\w)",
)
_LOWEST = any_of(
    rf"(?:{_SCORE}|count (?:the )?){_LEAST}(?!\w)", rf"{_LEAST}(?: (?:counts?|scores?))?(?!\w)"
)
_FOR_TIME = any_of(
    rf"{_SCORE}time(?!\w)",
    r"\b(?:for|4) ?time\b(?: of)?",
    r"(?<!\w)(?<!\d )ft(?!\w)",  # "5 rounds ft"; "50 ft" is a length
    rf"as (?:fast|quick(?:ly)?) as {CAN}",
    "against the clock",
    r"f\.t\.?(?!\w)",
    r"time (?:it|this|yourself)(?!\w)",
    r"afap(?!\w)",
    "time trial",
    r"for speed(?!\w)",
)
_FEW = {"single": 1, "double": 2, "triple": 3}
# "build up to a heavy set of 5 ...", "work to your heaviest 5 on the ..."
_BUILD_UP = (
    r"(?:build(?:ing)?(?: up)?|work(?:ing)?(?: up)?)(?: to)?(?: your| ur| a| an)?"
    rf"(?: (?:heaviest|heavy))?(?: set)?(?: of)? ?(?P<n>{NUMBER})?"
    r"(?: reps?)?(?: rep max| ?rm)?(?: (?:of|on|in|for))?(?: (?:the|a|an))?(?= ?\x00)"
)
# "heavy 5", "heavy double"
_HEAVY = (
    rf"(?m:^ *)heavy (?:set of |(?P<few>{'|'.join(_FEW)}))?(?P<n>{NUMBER})?(?= |\n|$)"
    r"(?:[ -]reps?)?(?: of)?"
)
# "score = heaviest 5" behind the movement says it again.
_HEAVIEST_SAID = rf"{_SCORE}(?:your |the )?heavi?est(?: single| set)?(?: of)?(?: (?P<n>{NUMBER}))?"
_HEAVIEST = r"(?:find |what is |test )?(?:your |ur |the |a )?" + any_of(
    rf"(?P<n>{NUMBER})[ -]?(?:rm|rep max(?:imum)?)(?!\w)(?: of)?",  # "5RM"
    rf"heavi?est(?: possible)? (?P<few>{'|'.join(_FEW)})(?!\w)(?: of)?",
    r"heavi?est(?: possible)?(?: set)?(?: of)?",
    r"max(?:imum)? (?:weight|load)(?: for| of)?",
    rf"sets? of (?P<n2>{NUMBER}),? (?:getting|going) heavier",
    r"top set(?: of)?",
    r"heavy set(?: of)?",
)
_FAR = any_of(
    rf"(?:for )?as (?:far|much ground) as {CAN}(?: (?:run|go|get|make it))?",
    r"how far(?: (?:can you|you can))?(?: (?:go|get|run))?",
    r"(?:max|most|for|total|longest|greatest)(?:imum)? (?:distance|met(?:er|re)s)(?!\w)",
)
_HOLD = any_of(
    rf"(?:for |hold (?:it )?)?as long as {CAN}",
    rf"{_SCORE}(?:seconds|time held|how long[^\n.,;]{{0,20}})(?!\w)",
    r"(?:max|longest|maximum)(?:[ -]?time)? (?:hold|time)(?!\w)",
    r"(?<!\w)longest(?!\w)",
    "hold to failure",
    "for max time",
)
_MAX = any_of(
    rf"(?:do )?as many (?:reps )?(?:of )?(?=[\x00 ]{{0,60}}(?:reps )?as {CAN})",
    rf"(?:reps )?as (?:many as )?{CAN}(?: (?:do|manage|get))?",
    r"(?:for )?(?:max(?:imum)?|most)(?: effort)?(?: number of| reps?| repetitions)?(?: of)?(?!\w)",
    r"amrap(?= ?\x00)",
    r"how many(?: reps)?(?: of)?(?= ?\x00)",
    "to failure",
    r"(?<!\w)best(?: (?:one|of them|go|try|attempt))? counts(?!\w)",
    "unbroken max",
)


def _heaviest(found: re.Match[str]) -> Clause:
    """Read a heaviest lift, with the repetitions of "double" as a number."""
    said = first_of(found, "n")
    few = _FEW.get(found["few"] or "")
    return Clause(Say.HEAVIEST, found.span(), number=number(said) if said else few)


SCORES: Patterns = tuple(
    (re.compile(pattern), reader)
    for pattern, reader in (
        (_DONE, plainly(Say.DONE)),  # "not for time" before "for time"
        (_TOTAL, plainly(Say.TOTAL)),
        (_LOWEST, plainly(Say.LOWEST)),
        ("no set rounds|as often as you like", plainly(Say.OPEN)),
        (
            "all (?:of (?:it|them) )?(?:each|every) time|all together",
            plainly(Say.TOGETHER),
        ),
        (_FOR_TIME, plainly(Say.FOR_TIME)),
        (_HEAVIEST_SAID, counted(Say.HEAVIEST)),
        (_BUILD_UP, counted(Say.HEAVIEST)),
        (_HEAVY, _heaviest),
        (_HEAVIEST, _heaviest),
        (_FAR, plainly(Say.FAR)),
        (_HOLD, plainly(Say.HOLD)),
        (_MAX, plainly(Say.MAX)),
    )
)
