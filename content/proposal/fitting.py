"""Choose the counts with which a round takes as long as before."""

from __future__ import annotations

from collections.abc import Iterator
from math import lcm, log

from content.movement import CountUnit
from content.proposal.counts import MOST, Grid, is_regular, scaled
from content.proposal.draft import CLIMBING, WITHIN, Draft
from content.review.pace import rung_s
from content.workout import Rung, Shape

# Where counts are chosen anew they come this near if they can, so that no single round is off.
_AIM = 0.07
_MOST_MOVES = 40


def fitted(draft: Draft) -> Draft:
    """Choose the counts of changed rungs, and if need be of others, so that a round fits.

    Where that cannot be reached it gives the nearest; its `apart` tells.
    """
    if draft.written.task.steps is None:
        return draft
    draft = _each_rung(draft)
    if draft.workout.shape is Shape.SCHEME:
        draft = _scheme(draft)
    if abs(draft.apart) <= WITHIN:
        return draft
    moved = _moved(draft, draft.changed)
    if abs(moved.apart) <= WITHIN:
        return moved
    return _moved(moved, frozenset(range(len(draft.ladder.rungs))))


def _each_rung(draft: Draft) -> Draft:
    """Give every changed rung with a count of its own the count that takes as long."""
    climbs, written = draft.workout.shape in CLIMBING, draft.written.task
    for place in sorted(draft.changed):
        rung, before = draft.ladder.rungs[place], written.rungs[place]
        if rung.count is None or before.unit is CountUnit.SECONDS:
            continue
        grid, kept = draft.grid(place), rung.count
        one_s = rung_s(rung, draft.movement(place)) / kept
        wanted = rung_s(before, written.movements[place]) / one_s
        if climbs:  # its start is part of the ladder
            odd_anyway = _step(draft, rung) % 2 == 1
            count = kept if odd_anyway or kept % grid.multiple == 0 else grid.near(kept)
        elif rung.unit is before.unit and kept in grid and abs(kept / wanted - 1) <= WITHIN:
            count = kept  # the same number is the easiest to remember
        else:
            count = grid.near(wanted)
        draft = draft.with_count(place, count)
    return draft


def _scheme(draft: Draft) -> Draft:
    """Scale the scheme by one factor, unless it fits as it is."""
    scheme = draft.task.scheme
    open_rungs = [at for at, rung in enumerate(draft.ladder.rungs) if rung.unit is None]
    if scheme is None or not open_rungs:
        return draft
    multiple = lcm(*(draft.grid(place).multiple for place in open_rungs))
    grid = Grid(CountUnit.REPS, multiple)
    as_before = all(count % multiple == 0 for count in scheme) or not (
        draft.changed & set(open_rungs)
    )
    if as_before and abs(draft.apart) <= WITHIN:
        return draft
    others = (
        draft.with_ladder(scheme=other)
        for other in _schemes(scheme, grid, 1 / (1 + draft.apart))
        if other != scheme
    )
    choices = [*others, *([draft] if as_before else [])]
    return min(choices, key=lambda each: _worth(each, scheme), default=draft)


def _schemes(scheme: tuple[int, ...], grid: Grid, factor: float) -> Iterator[tuple[int, ...]]:
    """Give schemes of the same shape, scaled by about the factor."""
    found = {
        scaled(scheme, factor * share / 100, grid)
        for share in (*range(60, 90, 3), *range(90, 112), *range(112, 161, 4))
    }
    yield from sorted(each for each in found if each is not None)


def _worth(draft: Draft, before: tuple[int, ...]) -> tuple[bool, bool, float]:
    """Order schemes: those that fit first, then those as regular as before, then the nearest."""
    off, own = abs(draft.apart), draft.task.scheme or before
    return off > WITHIN, is_regular(before) and not is_regular(own), off


def _moved(draft: Draft, places: frozenset[int]) -> Draft:
    """Move one count after the other to its neighbour as long as that brings the time nearer."""
    for _ in range(_MOST_MOVES):
        off = _off(draft)
        if off <= log(1 + _AIM):
            break
        best = min(_neighbours(draft, places), key=_off, default=None)
        if best is None or _off(best) >= off:
            break
        draft = best
    return draft


def _off(draft: Draft) -> float:
    return abs(log(1 + draft.apart))


def _neighbours(draft: Draft, places: frozenset[int]) -> Iterator[Draft]:
    """Give the same with one count more or less, as far as the ladder can be remembered."""
    for place in sorted(places):
        rung = draft.ladder.rungs[place]
        if rung.count is None or rung.unit is CountUnit.SECONDS:
            continue  # seconds stay, and what counts by the scheme
        if draft.workout.shape in CLIMBING:
            others = _starts(draft, place) if place in draft.changed else ()
        elif rung.unit is CountUnit.REPS or place in draft.changed:
            grid = draft.grid(place)
            others = (grid.below(rung.count - 1), grid.above(rung.count + 1))
        else:
            others = ()  # metres stay, unless they are another movement's
        for other in others:
            if other is not None and _holds(draft.with_count(place, other)):
                yield draft.with_count(place, other)


def _starts(draft: Draft, place: int) -> tuple[int | None, ...]:
    """Give where a rung may start instead, on a ladder that keeps its step.

    A rung whose start is whole steps (two, then four, then six) stays on them, at most one step
    ahead or behind: people know the ladder by its numbers.
    """
    rung, before = draft.ladder.rungs[place], draft.written.task.rungs[place]
    step = _step(draft, rung)
    count, grid = rung.count or 0, draft.grid(place)
    if count % step:
        return grid.below(count - 1), grid.above(count + 1)
    sides = 2 if before.each_side and not rung.each_side else 1
    start = sides * (before.count or count)
    nearby = range(max(step, start - step), min(start + step, MOST) + 1, step)
    return tuple(
        each
        for each in (count - step, count + step)
        if each in nearby and each % grid.multiple == 0
    )


def _step(draft: Draft, rung: Rung) -> int:
    """Give by how much a rung changes from round to round, at least 1."""
    return abs(rung.step or draft.ladder.step or draft.workout.step or 1)


def _holds(draft: Draft) -> bool:
    """Tell whether the counts fit the shape: a ladder that descends must not reach 0."""
    try:
        return draft.task.steps is not None
    except ValueError:
        return False
