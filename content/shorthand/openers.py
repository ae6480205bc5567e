"""The words that open a part of the sheet, and the marks in front of its lines."""

from __future__ import annotations

import re
from enum import StrEnum

from content.shorthand.measures import DURATION


class Kind(StrEnum):
    """What a part of the sheet is about."""

    TITLE = "title"
    MESSAGE = "message"
    HOW = "how"
    CAUTION = "caution"
    WARM_UP = "warm-up"
    REST = "rest"
    MOVEMENT = "movement"
    DIVISION = "division"
    WORK = "work"


# What is kept as it was written.
TEXTS = frozenset({Kind.TITLE, Kind.MESSAGE, Kind.HOW, Kind.CAUTION, Kind.REST})


# A bullet, or a number in front of a line that has another number or a name behind it.
BULLET = re.compile(
    r"[ \t]{0,80}(?:[•*>~-]{1,3}(?![\d.]) {0,8}|#{1,6} |[-*•]{1,3}(?=\d)|"
    r"\(?\d{1,2}[.)] {1,4}(?=[^\n]{0,80}\d)|[a-h][.)] {1,4}|[a-h][1-9][.):]? {1,4}){0,3}"
)
_END = r" {0,4}(?:[:=]+|-+(?= )|(?=\n|$))"
_WARM_UP = r"(?:warm(?:[- ]?ups?|ing up)|w[-/]?up?(?![a-z]))"
_WARM_UP_CLOCK = (
    r"(?: ?\([^()\n]{0,60}\)(?=:|\n|$)|[^:\n]{0,60}(?=:)|"
    r"(?: ?\(? ?\d[^:\n,]{0,30}\)?)(?=\n|$))"
)
_REST_DAY = r"(?:rest(?:ing)?[- ]day|day off|off day|recovery day|rest(?= ?:|\n|$))"
# At the very start also without a mark: "no workout today, recover", "Rest. Nothing today."
REST_TOLD = re.compile(
    r"(?:(?:full |complete )?rest day|day off|off day|recovery day|"
    r"no (?:wod|work-?out|training|session))(?= [a-z]|[.!,])|rest(?= ?[.!,])|"
    r"rest and (?=[a-z])|off (?:today|tonight)(?!\w)|"
    r"nothing (?:planned )?(?:for )?(?:today|tonight|tmrw|tomorrow)(?!\w)"
)
OPENERS: tuple[tuple[Kind, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(pattern))
    for kind, pattern in (
        (Kind.TITLE, r"(?:title|name)(?: of the day)? {0,4}[:=]+"),
        (Kind.MESSAGE, r"(?:notes?|message|intro|coach'?s? note) {0,4}[:=]+"),
        (Kind.HOW, r"how(?: it works)? {0,4}[:=]+"),
        (
            Kind.CAUTION,
            rf"(?:cautions?|careful|safety|warnings?|watch out|mind){_END}",
        ),
        (
            Kind.WARM_UP,
            rf"{_WARM_UP}(?: first)?(?:{_WARM_UP_CLOCK}?{_END}| (?:for )?{DURATION}(?= [a-z]))",
        ),
        (Kind.MESSAGE, r"(?=cool(?:ing)?[- ]?down(?: ?[:=-]|\n|$| \d))"),  # with that word
        (Kind.REST, rf"{_REST_DAY}(?:{_END}|[.!]+(?= |$))"),
        (Kind.MOVEMENT, r"(?:a )?(?:new )?(?:movement|exercise) {0,4}[:=]+"),
        (Kind.WORK, rf"(?:work[- ]?out|wod|main(?: part)?|the work|today){_END}"),
    )
)
AS_WRITTEN = tuple(
    re.compile(rf" {{0,8}}(?:{pattern.pattern})") for kind, pattern in OPENERS if kind in TEXTS
)
DAY = re.compile(r"day {1,2}\d{1,3}(?: of \d{1,3})?(?:[ :.|-]{1,4}|(?=\n|$))")
# "Thurs: ...", "tmrw - ..."; on a line of its own such a word is a title.
WEEKDAY = re.compile(
    r"(?:(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?|tmrw?|tomorrow|tonight)"
    r" {0,2}[:=|-]{1,2} {0,2}(?=[^\n ])"
)
# Opens a part even in the middle of a list that has no end of its own.
CLOCKS = re.compile(
    r"amrap|emom|e\d{1,2}mom|for time|rounds? |every |as many rounds|\d{1,3}-\d{1,3}-\d|in \d|"
    r"\d{1,3}(?::\d\d)? ?(?:min|minutes?) (?:max|amrap|emom|cap)|max |heaviest|"
    r"start(?:ing)? (?:at|with)|"
    r"\d{1,2} rft|\d{1,2} x \d{1,3} ?s|as far as|done is done|cap[: ]"
)
