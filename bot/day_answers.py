"""Answers to what was not sure in a day's text: they change the text and nothing else. Pure."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from bot.choosing import NONE, Offer, chosen, named
from content.movement import Movement
from content.shorthand.values import Doubt, Jotted, Mistake, Place

_ANOTHER = re.compile(
    r"(?:it'?s|it is|that'?s)?\s{0,3}(?:an?)?\s{0,3}new(?: one| movement)?[.!]?", re.IGNORECASE
)
_LINE_ENDS = re.compile("(\r\n|[\n\r])")


def mark_of(text: str) -> str:
    """Give a few characters that stand for a text, so that an old button finds it changed."""
    return hashlib.blake2b(text.encode(), digest_size=4).hexdigest()


def with_movement(text: str, doubt: Doubt, movement: Movement) -> str:
    """Put a movement's name in the place of the word that was asked about."""
    return _replaced(text, doubt.place, movement.plural)


def _replaced(text: str, place: Place, by: str) -> str:
    lines = _LINE_ENDS.split(text)  # every second piece is the end of a line
    at, start = 2 * (place.line - 1), place.column - 1
    line = lines[at]
    lines[at] = line[:start] + by + line[start + len(place.slice) :]
    return "".join(lines)


def with_line(text: str, place: Place, line: str) -> str:
    """Put a line in the place of the one that was asked about."""
    lines = _LINE_ENDS.split(text)
    lines[2 * (place.line - 1)] = line
    return "".join(lines)


def with_definition(text: str, *, name: str, pattern: str, option: str, standard: str) -> str:
    """Add the line that defines a movement."""
    said = (" ".join(part.replace(";", ",").split()) for part in (name, option, standard))
    name, option, standard = said
    line = f"movement: {name}; pattern: {pattern}; option: {option}; counts: {standard}"
    return f"{text.rstrip()}\n{line}"


def singular(word: str) -> str:
    """Give one of what an English plural names; a guess, for the name of a new movement."""
    if word.endswith(("ches", "shes", "xes", "sses")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def movement_meant(text: str, doubt: Doubt, library: Mapping[str, Movement]) -> Movement | None:
    """Give the movement an answer in words means: by its name, or its place among the nearest."""
    near = [library[each] for each in doubt.nearest if each in library]
    place = chosen(text, _offers(near))
    if place is not None and place >= 0:
        return near[place]
    others = list(library.values())
    other = named(text, _offers(others))
    return others[other] if other is not None else None


def means_another(text: str, doubt: Doubt, library: Mapping[str, Movement]) -> bool:
    """Say whether an answer in words means that it is none of the movements there are."""
    near = [library[each] for each in doubt.nearest if each in library]
    return _ANOTHER.fullmatch(text.strip()) is not None or chosen(text, _offers(near)) == NONE


def _offers(movements: Sequence[Movement]) -> list[Offer]:
    return [
        Offer((each.name, each.plural, *each.nicknames), frozenset({Decimal(number)}))
        for number, each in enumerate(movements, start=1)
    ]


def worse_by(before: Jotted, after: Jotted) -> bool:
    """Say whether a text has more that is wrong or not known than it had before."""
    return _open_ends(after) > _open_ends(before)


def _open_ends(jotted: Jotted) -> int:
    return len(jotted.problems) + sum(doubt.taken is None for doubt in jotted.doubts)


def first_question(jotted: Jotted) -> Doubt | Mistake | None:
    """Give what stands first in a text and has to be put right or answered."""
    both: list[Doubt | Mistake] = [*jotted.problems, *jotted.doubts]
    return min(both, key=lambda each: (each.place.line, each.place.column), default=None)
