"""Everyday words in a list of movements: how something is done, and what says nothing new."""

from __future__ import annotations

import re
from collections.abc import Sequence


def _words(*lines: str) -> frozenset[str]:
    return frozenset(word for line in lines for word in line.split())


# Words that change nothing but how a movement is done: they are kept as a note.
MANNER = _words(
    "strict slow slowly easy steady controlled alternating alternate unbroken light heavy full",
    "deep fast quick hard gentle gently brisk smooth tall tight clean good weighted loaded",
    "moderate relaxed nonstop straight big small fresh crisp normal regular ordinary v very",
)
# Words that people put between, and that change nothing.
FILLER = _words(
    "please pls plz now today tonight guys folks everyone everybody team ok okay so also u ur we",
    "lets again usual todays 2day 2nite 2moro",
)
# Words of somebody who speaks to the people; no movement has them in its name.
TALK = _words(
    "if when whenever unless no not never dont cant because really yes yep have has fun enjoy see",
    "meet bring post write tell send share keep stay make sure remember partner partners coach",
    "judge water love luck nice great happy thanks need needed want feel hurts hurt stop breathe",
    "try tries attempt attempts record log comment comments me my i im us our they who what where",
    "there here am pm sharp lol haha welcome hello hi hey nothing everything something everybody",
    "yourself best tired sore ready careful break however possible anybody anyone home bonus",
    "someone cheer look listen whatever choose once twice like day quality speed form short",
    "order nah thx cheers",
)
_ADDRESS = _words("you your yours it them we")
# Words that say nothing that the list does not say already.
_EMPTY = _words(
    "of the a an reps rep repetitions repetition x and then do each times time with at for to on",
    "in per by you your total count is are plus worth all both only just movement movements any",
    "weight weights load loads round rounds them or workout hold holding as same perform complete",
    "finish go get have we it chipper ladder pace circuit finisher metcon tempo ascending",
    "descending climbing main block part burst bursts effort efforts interval intervals minute",
    "minutes score buy cash out instead replace replaces become becomes place rather than swap",
    "superset supersets accumulate session set sets w",
)
EMPTY = _EMPTY | FILLER
PAUSES = _words("rest resting break off pause recover")
_SENTENCE = 5  # words: no movement's name is as long
_LONG_ADVERB = 6  # letters: "slowly", but not "fly"
# What may stand behind a name that is one word, and makes no other movement of it.
_BEHIND_A_NAME = _words(
    "max in for cap as until amrap emom every each per instead hold left right"
)
# Where a remark begins behind a name: "with feet on a chair", "to the corner and back".
TAIL = re.compile(
    r"(?<![\w-])(?:with|on|to|after|between|over|across|from|into|onto|around|behind|against|"
    r"until|or|holding|using|touching|in (?=the|a|each|your|one)|per (?=min)|at (?=[a-z])|"
    r"every (?=[a-z]))"
)


def is_manner(word: str) -> bool:
    """Tell whether a word says how a movement is done."""
    return word in MANNER or (len(word) >= _LONG_ADVERB and word.endswith("ly"))


def is_talk(words: Sequence[str], strange: Sequence[str], *, leads: bool) -> bool:
    """Tell whether words that name no movement are spoken to the people.

    Args:
        words: All of them, in order.
        strange: Those that are neither numbers, units nor empty words.
        leads: A count stands in front: then they are more likely a movement nobody here knows.
    """
    spoken = any(word in TALK or word in _ADDRESS for word in words)
    if leads:
        return spoken and (len(words) > _SENTENCE or all(word in TALK for word in strange))
    return spoken or any(word in FILLER for word in words) or len(words) > _SENTENCE


def ends_a_name(word: str) -> bool:
    """Tell whether a word behind a name does not belong to it."""
    empty = word in EMPTY or word in _BEHIND_A_NAME or is_manner(word)
    return empty or TAIL.match(word) is not None
