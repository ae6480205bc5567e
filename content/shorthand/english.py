"""Everyday words in a list of movements: how something is done, and what says nothing new."""

from __future__ import annotations

import re


def _words(*lines: str) -> frozenset[str]:
    return frozenset(word for line in lines for word in line.split())


# Words that change nothing but how a movement is done: they are kept as a note.
MANNER = _words(
    "strict slow slowly easy steady controlled alternating alternate unbroken light heavy full",
    "deep fast quick hard gentle gently brisk smooth tall tight clean good weighted loaded",
    "moderate relaxed nonstop straight big small fresh crisp",
)
# Words that say nothing that the list does not say already.
EMPTY = _words(
    "of the a an reps rep repetitions repetition x and then do each times time with at for to on",
    "in per by you your total count is are plus worth all both only just movement movements any",
    "weight weights load loads round rounds them or workout hold holding as same perform complete",
    "finish go get have we it chipper ladder pace circuit finisher metcon tempo ascending",
    "descending climbing main block part burst bursts effort efforts interval intervals minute",
    "minutes score buy cash out instead replace replaces become becomes place rather than swap",
)
PAUSES = _words("rest resting break off pause recover")
_LONG_ADVERB = 6  # letters: "slowly", but not "fly"
# What may stand behind a name that is one word, and makes no other movement of it.
_BEHIND_A_NAME = _words(
    "max in for cap as until amrap emom every each per instead hold left right"
)
# Where a remark begins behind a name: "with feet on a chair", "to the corner and back".
TAIL = re.compile(
    r"(?<![\w-])(?:with|on|to|over|across|from|into|onto|around|behind|against|until|or|holding|"
    r"using|touching|in (?=the|a|each|your|one)|per (?=min)|at (?=[a-z])|every (?=[a-z]))"
)


def is_manner(word: str) -> bool:
    """Tell whether a word says how a movement is done."""
    return word in MANNER or (len(word) >= _LONG_ADVERB and word.endswith("ly"))


def ends_a_name(word: str) -> bool:
    """Tell whether a word behind a name does not belong to it."""
    empty = word in EMPTY or word in _BEHIND_A_NAME or is_manner(word)
    return empty or TAIL.match(word) is not None
