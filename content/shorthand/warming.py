"""Read a jotted warm-up: "warm-up 45/15: march, arm circles, air squats"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pydantic import ValidationError

from content.challenge import WarmUp
from content.shorthand.filling import MOVE_ON_S, WORK_S, timed_warm_up
from content.shorthand.listing import read_list
from content.shorthand.measures import DURATION, seconds
from content.shorthand.rungs import reason
from content.shorthand.sections import Part
from content.shorthand.sheet import Notes, Span
from content.shorthand.vocabulary import Vocabulary
from content.units import clock_text

_PAIR = re.compile(
    r"(\d{1,3}) ?(s|secs?|seconds?|)(?: ?(?:work|on|of work))?(?: ?[/,&-] ?| and | then | )"
    r"(\d{1,3}) ?(s|secs?|seconds?|)"
    r"(?: ?(?:to )?(?:move on|off|rest|change|switch|between|moving on|of rest))?(?![\w])"
)
_WHOLE = re.compile(DURATION)


def warm_up_of(notes: Notes, parts: Sequence[Part], vocabulary: Vocabulary) -> WarmUp | None:
    """Read the warm-up; None when there is none, or nothing in it could be read."""
    if not parts:
        return None
    for part in parts[1:]:
        notes.wrong(part.head, "a second warm-up; a day has one")
    part = parts[0]
    clock, lines = _clock(notes, part)
    listing = read_list(notes, vocabulary, lines)
    movements = [item.movement for item in listing.items if item.movement]
    if not movements:
        if not notes.doubts:
            notes.wrong(
                part.head, "which movements? Write for example “warm-up 45/15: march, arm circles”"
            )
        return None
    for span in listing.prose:
        said = notes.sheet.slice(span).strip()
        notes.assume(f"“{said}” in the warm-up is left out: it has movements and a clock.")
    if any(item.counts or item.lasts_s or item.loads for item in listing.items):
        notes.assume("The warm-up goes by the clock: counts in it are left out.")
    work, move_on = clock if clock is not None else _spread(notes, part, len(movements))
    try:
        return timed_warm_up(movements, work_s=work, move_on_s=move_on)
    except ValidationError as error:
        notes.wrong(part.head, reason(error))
        return None


def _clock(notes: Notes, part: Part) -> tuple[tuple[int, int] | None, list[Span]]:
    """Find "45/15" in the opening words or at the start of the first line."""
    text = notes.sheet.text
    head = _PAIR.search(text, *part.head)
    if head is not None:
        return (int(head[1]), int(head[3])), part.lines
    if part.lines:
        start, end = part.lines[0]
        found = _PAIR.match(text, start, end)
        if found is not None and (found[2] or found[4] or "/" in found[0]):
            rest = [(found.end(), end)] if found.end() < end else []
            return (int(found[1]), int(found[3])), [*rest, *part.lines[1:]]
    return None, part.lines


def _spread(notes: Notes, part: Part, stations: int) -> tuple[int, int]:
    """Spread "8 min" evenly, or take the usual 45 s and 15 s."""
    whole = _WHOLE.search(notes.sheet.text, *part.head)
    if whole is not None:
        each = seconds(whole[0]) // stations
        work = each - MOVE_ON_S
        if work >= MOVE_ON_S:
            notes.assume(
                f"The warm-up of {clock_text(seconds(whole[0]))} gives {work} s to each movement "
                f"and {MOVE_ON_S} s to move on."
            )
            return work, MOVE_ON_S
    notes.assume(f"Each warm-up movement takes {WORK_S} s, with {MOVE_ON_S} s to move on.")
    return WORK_S, MOVE_ON_S
