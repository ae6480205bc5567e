"""Say in a sentence why a rung is as it is proposed, and what an organiser should know."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from content.movement import CountUnit, Kit, Movement
from content.proposal.counts import ANY_TO
from content.proposal.draft import CLIMBING, WITHIN, Draft
from content.proposal.rungs import Change
from content.proposal.wishes import Wishes
from content.review.finding import listed
from content.review.pace import rung_s
from content.score import ScoreKind
from content.units import kg_text, lb_written
from content.workout import Rung, Shape

_UNITS = {CountUnit.METRES: " m", CountUnit.SECONDS: " s", CountUnit.CALORIES: " calories"}

_AT_HAND = {Kit.BOX: "a sturdy step", Kit.CHAIR: "a chair", Kit.WALL: "a wall"}


def rung_reason(draft: Draft, place: int, change: Change) -> str | None:
    """Give the sentence for one rung, or None if it is as written."""
    rung = draft.ladder.rungs[place]
    before, after = draft.library[change.written.movement], draft.movement(place)
    if rung == change.written:
        return None
    said = _what(change, rung, before, after)
    count = _count(draft, place, change)
    note = change.written.note
    lost = f"; the note “{note}” is left out" if note and rung.note != note else ""
    return f"{said[0].upper()}{said[1:]}{count}{lost}."


def scheme_reason(draft: Draft) -> str:
    """Give the sentence for a scheme that was scaled."""
    now, before = (
        "-".join(str(count) for count in scheme or ())
        for scheme in (draft.task.scheme, draft.written.task.scheme)
    )
    fits = abs(draft.apart) <= WITHIN
    return f"{now} instead of {before}, so that a round takes {'' if fits else 'about '}as long."


def remarks(draft: Draft, found: Sequence[Change], wishes: Wishes, base: str) -> Iterator[str]:
    """Give what an organiser should know of a division beside its rungs."""
    if all(now == change.written for now, change in zip(draft.ladder.rungs, found, strict=True)):
        yield f"The same as {base}: {_nothing(draft, wishes)}."
    off = draft.apart
    if abs(off) > WITHIN:
        more = "more" if off > 0 else "less"
        why = _why_not(draft, off)
        # Rounded up: what is said to be apart must not look as if it were within.
        yield f"A round takes {ceil(100 * abs(off))} % {more} time than {base}'s: {why}."
    for change in found:
        name = draft.library[change.written.movement].plural
        if change.stuck:
            yield f"The library has no way to do the {name} with {change.stuck}: write one."
    for note, name in _in_words(draft, found).items():
        yield f"“{note}” is a note: what counts is still read from the standard of the {name}."
    if draft.workout.score is ScoreKind.LOAD and wishes.no_kit:
        yield (
            "The day's score is a load, and this division has none: choose something to lift, "
            "such as a loaded backpack, or say what counts instead."
        )
    movements = [draft.movement(place) for place in range(len(found))]
    needed = {_AT_HAND[kit]: None for each in movements for kit in each.kit if kit in _AT_HAND}
    if wishes.no_kit and needed:
        things = listed(list(needed))
        yield f"It takes {things}: found wherever people train, so it counts as no kit."


def _what(change: Change, rung: Rung, before: Movement, after: Movement) -> str:
    written = change.written
    if change.another_movement:
        return f"{after.plural} instead of {before.plural}: {change.why}"
    if rung.load is None and written.load is not None:
        return f"{before.plural} without the {_load(written)}: {change.why}"
    if rung.load != written.load:
        return f"{before.plural} with {_load(rung)} instead of {_load(written)}: {change.why}"
    if rung.note != written.note:
        return f"{before.plural} done as “{_way(rung)}”: {change.why}"
    return f"{before.plural}"


def _in_words(draft: Draft, found: Sequence[Change]) -> dict[str, str]:
    """Give the ways that are told in a note, and the name of the movement they ease."""
    pairs = zip(draft.ladder.rungs, found, strict=True)
    return {
        _way(rung): draft.library[rung.movement].name
        for rung, change in pairs
        if change.why and rung.note and rung.note != change.written.note
    }


def _way(rung: Rung) -> str:
    return (rung.note or "").partition(":")[0]


def _load(rung: Rung) -> str:
    load = rung.load
    if load is None:
        return "no weight"
    amount = lb_written(load.grams) if load.unit == "lb" else kg_text(load.grams)
    return f"{load.pieces} x {amount}" if load.pieces > 1 else amount


def _count(draft: Draft, place: int, change: Change) -> str:
    rung, before = draft.ladder.rungs[place], change.written
    if rung.count is None or before.count is None:
        return ""
    now, then = _number(rung), _number(before)
    if now == then:
        return f"; still {now}" if change.why else ""
    mark = "; " if change.why else ": "
    start = "from " if draft.workout.shape in CLIMBING else ""
    return f"{mark}{start}{now} instead of {then}, {_so_that(draft, place, before)}"


def _so_that(draft: Draft, place: int, before: Rung) -> str:
    rung = draft.ladder.rungs[place]
    written_s = rung_s(before, draft.library[before.movement])
    off = rung_s(rung, draft.movement(place)) / written_s - 1
    if draft.workout.shape in CLIMBING:
        return f"so that the rounds take {'' if abs(draft.apart) <= WITHIN else 'about '}as long"
    if off > WITHIN and rung.count == draft.grid(place).least:
        return "the smallest count there is"
    even = draft.grid(place).multiple == 2 and abs(off) > WITHIN  # noqa: PLR2004 - two sides
    sides = ", an even count for both sides" if even else ""
    return f"so that a round takes {'' if abs(off) <= WITHIN else 'about '}as long{sides}"


def _number(rung: Rung) -> str:
    unit = _UNITS.get(rung.unit, "") if rung.unit else ""
    return f"{rung.count}{unit}{' on each side' if rung.each_side else ''}"


def _nothing(draft: Draft, wishes: Wishes) -> str:
    if wishes.lighter and draft.workout.score is ScoreKind.LOAD:
        return "everybody chooses their own load"
    if wishes.lighter:
        return "no easier way was found"
    kept = {"it needs no kit": wishes.no_kit, "it has no jumps": wishes.no_jumps}
    return listed([words for words, wished in kept.items() if wished])


def _why_not(draft: Draft, off: float) -> str:
    """Give what keeps a round from taking as long, in words."""
    shape = draft.workout.shape
    rungs = [(draft.ladder.rungs[place], place) for place in sorted(draft.changed)]
    smallest = {
        draft.movement(place).plural: None
        for rung, place in rungs
        if rung.count is not None and rung.count == draft.grid(place).least
    }
    if shape in CLIMBING:
        why = "the ladder keeps its step"
    elif shape is Shape.SCHEME:
        why = "no scheme of the same shape comes nearer"
    elif smallest and off > 0:
        why = f"the {listed(list(smallest))} are at the smallest count"
    elif all((rung.count or 0) <= ANY_TO for rung, _ in rungs):
        why = "with counts this small none comes nearer"
    else:
        why = "no counts that people can remember come nearer"
    before = {each.id: each.kit for each in draft.written.task.movements}
    after = [draft.movement(place).kit for place in range(len(draft.ladder.rungs))]
    fewer = len(before) > 1 and any(before.values()) and not any(after)
    return f"{why}, and there is no kit to pick up and put down" if fewer and off < 0 else why
