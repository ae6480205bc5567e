"""How scoring is said: for time, as many as possible, heaviest, farthest, done is done."""

from __future__ import annotations

import re

from content.shorthand.clause import Patterns, Say, any_of, counted, plainly
from content.shorthand.measures import NUMBER

_SCORE = r"scor(?:e|ing)[ :,=-]{0,3}(?:is |= ?)?(?:your |the )?"
_LEAST = r"(?:lowest|worst|slowest|smallest)(?: (?:round|burst|set|interval|one|count))?"
_CAN = r"(?:you can|possible)"
_DONE = any_of(
    "done is done",
    "doing it counts",
    r"not? (?:scored?|clock)(?!\w)",
    "unscored",
    "not for time",
    "untimed",
    "for quality",
    "for completion",
    r"just (?:do it|finish|move)(?!\w)",
    r"no scores?(?!\w)",
    rf"{_SCORE}done(?!\w)",
)
_TOTAL = any_of(
    rf"{_SCORE}(?:total(?: reps| repetitions)?|(?:all )?reps)(?!\w)",
    r"total (?:reps|repetitions)(?: counts?)?(?!\w)",
    "all reps count",
)
_LOWEST = any_of(
    rf"(?:{_SCORE}|count (?:the )?){_LEAST}(?!\w)", rf"{_LEAST}(?: (?:counts?|scores?))?(?!\w)"
)
_FOR_TIME = any_of(
    rf"{_SCORE}time(?!\w)",
    r"\bfor time\b(?: of)?",
    r"(?<!\w)ft(?!\w)(?=:| *\n| *$)",
    rf"as (?:fast|quick(?:ly)?) as {_CAN}",
    "against the clock",
    r"afap(?!\w)",
    "time trial",
    r"for speed(?!\w)",
)
_BUILD_UP = (
    r"(?:build(?:ing)?(?: up)?|work(?:ing)?(?: up)?)(?: to)?(?: your| a| an)?"
    rf"(?: (?:heaviest|heavy))?(?: set)?(?: of)? ?(?P<n>{NUMBER})?"
    r"(?: reps?)?(?: rep max| ?rm)?(?: of)?(?= ?\x00)"
)
_HEAVY = (
    rf"(?m:^ *)heavy (?:set of |single|double|triple)?(?P<n>{NUMBER})?(?= |\n|$)"
    r"(?:[ -]reps?)?(?: of)?"
)
_HEAVIEST = r"(?:find |what is |test )?(?:your |the |a )?" + any_of(
    rf"(?P<n>{NUMBER})[ -]?(?:rm|rep max(?:imum)?)(?!\w)(?: of)?",
    r"heavi?est(?: possible)?(?: single| set)?(?: of)?",
    r"max(?:imum)? (?:weight|load)(?: for| of)?",
    r"top set(?: of)?",
    r"heavy set(?: of)?",
)
_FAR = any_of(
    rf"(?:for )?as (?:far|much ground) as {_CAN}(?: (?:run|go|get|make it))?",
    r"how far(?: (?:can you|you can))?(?: (?:go|get|run))?",
    r"(?:max|most|for|total|longest|greatest)(?:imum)? (?:distance|met(?:er|re)s)(?!\w)",
)
_HOLD = any_of(
    rf"(?:for |hold (?:it )?)?as long as {_CAN}",
    r"(?:max|longest|maximum)(?:[ -]?time)? (?:hold|time)(?!\w)",
    r"(?<!\w)longest(?!\w)",
    "hold to failure",
    "for max time",
)
_MAX = any_of(
    rf"(?:do )?as many (?:reps )?(?:of )?(?=[\x00 ]{{0,60}}(?:reps )?as {_CAN})",
    rf"(?:reps )?as (?:many as )?{_CAN}(?: (?:do|manage|get))?",
    r"(?:for )?(?:max(?:imum)?|most)(?: effort)?(?: number of| reps?| repetitions)?(?: of)?(?!\w)",
    r"amrap(?= ?\x00)",
    "to failure",
    "unbroken max",
)
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
        (_BUILD_UP, counted(Say.HEAVIEST)),
        (_HEAVY, counted(Say.HEAVIEST)),
        (_HEAVIEST, counted(Say.HEAVIEST)),
        (_FAR, plainly(Say.FAR)),
        (_HOLD, plainly(Say.HOLD)),
        (_MAX, plainly(Say.MAX)),
    )
)
