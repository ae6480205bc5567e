"""How counts, loads and sides of one movement are written."""

from __future__ import annotations

import re

from content.shorthand.measures import BARE_LOAD, DURATION, LOAD, METRES, NUMBER

_MANY = rf"{NUMBER}(?: ?/ ?\d{{1,5}}){{0,7}}"  # one for each division: "20/15"
_SIDE = r"(?:sides?|legs?|arms?|hands?|foot|feet|knees?|ways?|directions?)"
EACH_SIDE = re.compile(
    rf"(?<!\w)(?:(?:on |per |for |to )?(?:each|ea\.?|per|every|a|both) {_SIDE}|"
    r"(?:/ ?|p/)(?:sides?|legs?|arms?|hands?)|e/s|/ ?s(?!\w)|l ?(?:/|&|\+|and) ?r|"
    r"left and right|right and left|(?:on )?each(?= *$))(?!\w)|(?<=\d)/(?:side|leg|arm)"
)
CALORIES = re.compile(r"(?<![\w.])(\d{1,5}(?: ?/ ?\d{1,5}){0,7}) ?-?(?:cals?|calories|kcal)(?!\w)")
LENGTH = re.compile(METRES)
LASTS = re.compile(rf"(?:for )?(?P<d>{DURATION})")
SETS = re.compile(rf"(?P<s>{NUMBER}) ?x ?(?P<n>{_MANY})(?![\w.]| ?(?:kg|lb))(?: ?reps?)?")
SETS_OF = re.compile(rf"(?P<s>{NUMBER}) ?(?:x|times)(?: of)? ?$")
COUNT = re.compile(
    rf"(?:(?<!\w)x ?(?P<x>\d{{1,5}}(?: ?/ ?\d{{1,5}}){{0,7}})|(?P<n>{_MANY}))"
    r"(?P<behind> ?x(?!\w)| ?(?:reps?|repetitions?|times)(?!\w))?(?![\w])"
)
A_LOAD = re.compile(LOAD)
BARE = re.compile(BARE_LOAD)
PAIR = re.compile(r"(?<![\w.,/])\d{1,2}(?:[.,]5)?(?: ?/ ?\d{1,2}(?:[.,]5)?){1,7}(?![\w/.]|,\d)")
_TWO = r"(?:2|two) ?x ?\d{1,2}(?:[.,]5)?"
TWO_OF_THEM = re.compile(rf"(?<![\w.,/]){_TWO}(?: ?/ ?{_TWO}){{0,7}}(?![\w/.]|,\d)")
SECONDS_BEHIND = re.compile(r"(?<!\w)(?:secs?|seconds?)(?!\w)")
# as in "(KB 16)"
KIT_AND_LOAD = re.compile(
    r"(?:kbs?|dbs?|kettlebells?|dumbbells?|bells?) (?P<load>\d{1,2}(?:[.,]5)?)"
)
NO_LOAD = re.compile(
    r"(?<!\w)(?:no|without(?: a| any)?|zero) (?:load|weight|kit)s?(?!\w)|(?<!\w)unloaded(?!\w)"
)
EVERY = re.compile(
    r"(?:every|each) (\d{1,5}) ?(?:m|s|metres?|meters?|seconds?|sec) "
    r"(?:counts?|is worth|is) (?:as )?(?:one|1)(?: rep)?"
)
STEP = re.compile(
    rf"(?:\+ ?)?(?P<n>{NUMBER}) (?P<way>more|fewer|less) (?:each|every|per|a) "
    r"(?:round|set|time)|(?P<same>the same (?:each|every|in every|in each) round)"
)
MAX = re.compile(r"(?<!\w)max(?:imum)?(?: reps?)?(?: of)?(?!\w)")
