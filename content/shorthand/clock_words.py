"""How clocks are said: AMRAP, every so often, work and rest, cap, a time there is."""

from __future__ import annotations

import re

from content.shorthand.clause import (
    CAN,
    EACH_GO,
    ROUND,
    Clause,
    Patterns,
    Say,
    any_of,
    groups_of,
    timed,
)
from content.shorthand.measures import DURATION, NUMBER, number, seconds

_GAP = r"[ :,=-]{0,3}"
# What may stand behind a bare number of minutes: "EMOM 10: ...", not "EMOM: 10 swings".
_BARE = rf"(?= *(?:[:;,\n(/•-]|$|odd|even|min|alt|of\b|{ROUND}\b|for time))"
_ON = r"(?:on|works?|working|hard|go|effort)(?!\w)"
_OFF = r"(?:off|rests?|easy|recovery|recover|pause|breaks?)(?!\w)"
_SECONDS = r"(?:s|secs?|seconds?)"
# How often, behind the intervals: "x 8", "8 rounds", "for 12 min".
_OFTEN = any_of(
    rf"[ ,:]{{0,2}}x ?(?P<n2>{NUMBER})(?![\w/-])(?: ?{EACH_GO}(?!\w))?",
    rf"[ ,:]{{0,2}}(?:for )?(?P<n3>{NUMBER}) ?(?P<w2>{EACH_GO}(?!\w)|x(?!\w))",
    rf"[ ,:]{{0,2}}for (?P<d>{DURATION})",
)
# "8 rounds of 20 s on / 10 s off", "20 on 10 off x 8", "40 sec work, 20 sec rest for 12 min"
_WORK_AND_REST = (
    rf"(?:(?P<n1>{NUMBER}) ?(?P<w1>x|{EACH_GO})(?: of| with)?[ :,]{{0,2}}(?:of )?)?"
    rf"(?P<on>{DURATION}|\d{{1,3}})[ -]?(?:of )?{_ON}[ ,/&+|:-]{{0,3}}(?:and |then |with )?"
    rf"(?P<off>{DURATION}|\d{{1,3}})[ -]?(?:of )?{_OFF}{_OFTEN}?"
)
# as in "work for 40 s, rest for 20 s, 6 rounds"
_WORK_THEN_REST = (
    rf"work(?: for)? (?P<on>{DURATION})[ ,/&]{{1,3}}(?:and |then )?"
    rf"rest(?: for)? (?P<off>{DURATION}){_OFTEN}?"
)
# as in "8 x :20/:10 s"
_SHORT_WITH_SECONDS = (
    rf"(?P<n1>{NUMBER}) ?x ?:?(?P<on>\d{{1,3}}) ?(?:s|sec)? ?/ ?"
    rf":?(?P<off>\d{{1,3}}) ?{_SECONDS}(?!\w)"
)
# Without a unit only round numbers of seconds, and only alone: "8 x 20/10".
_SHORT_BARE = (
    rf"(?P<n1>{NUMBER}) ?(?P<w1>x|{ROUND}|sets?)(?: of| at)? ?"
    r"\(?:?(?P<on>[1-9][05])/:?(?P<off>[1-9][05])\)?(?= *(?:[:,\n]|$))"
)
# "40/20 x 5", "30 s/15 s, x 8"
_SHORT_COUNT_BEHIND = (
    rf":?(?P<on>\d{{1,3}}) ?{_SECONDS}? ?/ ?:?(?P<off>\d{{1,3}}) ?{_SECONDS}?"
    rf"[ ,]{{1,2}}x ?(?P<n2>{NUMBER})(?![\w/])(?! ?kg)"
)


def _intervals(found: re.Match[str]) -> Clause:
    groups = groups_of(found)
    said = groups.get("n1") or groups.get("n2") or groups.get("n3")
    word = groups.get("w1") or groups.get("w2") or ""
    on, off = _short(groups["on"]), _short(groups["off"])
    count = number(said) if said else None
    if count is None and "d" in groups:
        count = max(1, seconds(groups["d"]) // max(1, on + off))
    each = word.startswith(("r", "set"))
    return Clause(Say.INTERVALS, found.span(), number=count, work_s=on, rest_s=off, each=each)


def _short(text: str) -> int:
    """Give seconds; a bare number beside "on" and "off" means seconds."""
    return int(text) if text.isdigit() else seconds(text)


_HOW_OFTEN_BEFORE = any_of(
    rf"(?P<d1>{DURATION})[ ,:-]{{1,3}}",  # "10 min EMOM"
    rf"(?P<n1>{NUMBER}) ?x ?",  # "8 x every 2 min"
    r"(?P<n3>\d{1,3})[ ,:-]{1,3}(?:min )?(?=emom)",  # "10-min EMOM"
)
_HOW_OFTEN_BEHIND = any_of(
    rf"[ ,:]{{0,3}}(?:for |of )?(?P<d2>{DURATION})",  # "EMOM for 10 min"
    rf"[ ,:]{{0,2}}(?:x ?|for )(?P<n2>{NUMBER})(?: {EACH_GO}(?!\w))?(?!\w)",  # "EMOM x 10"
    rf"[ :]{{0,2}}(?P<n4>\d{{1,2}})(?: (?P<w>{EACH_GO})(?!\w)|{_BARE})",  # "EMOM 10:", "EMOM10"
)
_EVERY = any_of(
    r"e(?P<k>\d{1,2})mom",  # "E2MOM"
    "emom",
    rf"every (?P<e>{DURATION})",  # "every 90 s"
    # "every 2 minutes", "every min on the min"
    rf"every (?:(?P<m>{NUMBER}) )?min(?:ute)?s?(?:,? on the min(?:ute)?)?",
    "each minute",
    "on the minute",
)


def _every(found: re.Match[str]) -> Clause:
    groups = groups_of(found)
    work = seconds(groups["e"]) if "e" in groups else number(groups.get("m", "1")) * 60
    work = int(groups["k"]) * 60 if "k" in groups else work
    times, long = groups.get("n1") or groups.get("n2"), groups.get("d1") or groups.get("d2")
    bare = groups.get("n3") or groups.get("n4")
    if long is None and times is None and bare is not None:
        if "w" in groups:
            times = bare
        else:
            long = f"{bare} min"  # "EMOM 10" and "E2MOM 10" are minutes
    count = number(times) if times else None
    if count is None and long is not None:
        count = max(1, seconds(long) // max(1, work))
    return Clause(Say.EVERY, found.span(), number=count, work_s=work)


_AMRAP = any_of(
    r"amrap(?=\d| |:|,|\n|-|\(|\)|$|')",
    # "as many rounds and reps as you can do", "as many rounds as poss"
    rf"as many rounds(?:,? (?:and|&|\+) rep[a-z]{{0,10}})? as {CAN}"
    r"(?: (?:do|manage|get|fit|make))?",
    r"max(?:imum)? rounds",
)
_AMRAP_TIME_BEFORE = any_of(
    rf"(?P<d1>{DURATION})[ ,:-]{{1,3}}(?:of )?",  # "12 min AMRAP", "in 12 min, as many rounds ..."
    r"(?P<d3>\d{1,3})m?[ -]{1,2}(?=amrap)",  # "12 AMRAP"
)
_AMRAP_TIME_BEHIND = any_of(
    r"(?P<d5>\d{1,2})(?=:\d{1,3} \x00)",  # "AMRAP 12:10 push-ups": twelve, then ten
    rf"(?P<d2>{DURATION})\)?",  # "AMRAP (12 min)"
    r"(?P<d4>\d{1,2})m?(?![\w/]|[.:,-]\d| ?x ?\d| ?\x00)\)?",  # "AMRAP 12", "AMRAP 12: ..."
)
_TIMED_AMRAP = (
    rf"{_AMRAP_TIME_BEFORE}?(?<![a-z]){_AMRAP}"
    rf"(?:{_GAP}\(?(?:in |of |for |x ?)?(?:the )?{_AMRAP_TIME_BEHIND})?"
)
_CAP = any_of(
    # as in "cap 12", "time cap: 12 min", "(capped at 12 minutes)", "TC 12"
    rf"\(?(?:(?:time[ -]?)?cap(?:ped)?(?: at| of| is)?|tc|time limit|limit){_GAP}"
    rf"(?:(?P<d1>{DURATION})|(?P<d2>\d{{1,3}})(?!\w| ?\x00))\)?",
    # "12 min cap", "12-minute time limit"
    rf"\(?(?P<d3>{DURATION})[ -](?:time[ -]?)?(?:cap|limit)(?!\w)\)?",
    # "12 cap"; in "10 burpees 4 time cap 12" the number behind is it
    r"\(?(?P<d4>\d{1,3})[ -](?:time[ -]?)?(?:cap|limit)(?!\w)"
    r"(?!:? ?(?:at |of |is )?\d{1,3}(?!\w| ?\x00))\)?",
)
_BETWEEN = r"(?:between|after|before|in between|each|every)[^\n,;:]{0,40}"
_REST = any_of(
    # "rest 90 s between rounds", "rest for 1 min"
    rf"(?<!\w)rest(?:ing)?(?: for)? (?P<d1>{DURATION})(?: rest)?(?:,? {_BETWEEN})?",
    # "1 min rest after each round", "1 min off"
    rf"(?P<d2>{DURATION}) (?:of )?(?:rest|recovery|break|off)(?!\w)(?: {_BETWEEN})?",
)
_CLOCK = r"(?:clock|window|running clock)"
_PIECE = r"(?:climbing |ascending )?(?:ladder|workout|piece)"
_WINDOW = any_of(
    # "in 8 min", "on a 20 min clock"
    rf"(?<!\w)(?:in|within|on a|over) (?:the |at most |under |no more than )?(?P<d1>{DURATION})"
    rf"(?: {_CLOCK})?",
    # "20 min running clock", "ten min ladder"
    rf"(?P<d2>{DURATION}) (?:{_CLOCK}|{_PIECE})(?!\w)",
    # "15 minutes to find it"
    rf"(?P<d3>{DURATION}) to (?:find|build|get|reach|work|complete|finish)(?: up)?(?: to)?"
    r"(?: (?:it|there|one))?(?!\w)",
)
CLOCKS: Patterns = tuple(
    (re.compile(pattern), reader)
    for pattern, reader in (
        (_WORK_AND_REST, _intervals),
        (_WORK_THEN_REST, _intervals),
        (_SHORT_WITH_SECONDS, _intervals),
        (_SHORT_BARE, _intervals),
        (_SHORT_COUNT_BEHIND, _intervals),
        (rf"{_HOW_OFTEN_BEFORE}?(?<!\w){_EVERY}(?![a-z]){_HOW_OFTEN_BEHIND}?", _every),
        (_TIMED_AMRAP, timed(Say.AMRAP)),
        (_CAP, timed(Say.CAP)),
        (_REST, timed(Say.REST)),
        (_WINDOW, timed(Say.WINDOW)),
    )
)
