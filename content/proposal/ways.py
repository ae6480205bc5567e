"""Another way to do a movement: what its options lead to that a division's wishes allow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import log

from content.movement import Movement, Option, Pattern
from content.proposal.wishes import Wishes
from content.review.kit_rules import AT_HAND
from content.review.pace import middle_pace_s

Library = Mapping[str, Movement]
# An easier way that takes longer than this for each repetition leaves too few of them to be the
# same workout. Common practice, no source.
MOST_SLOWER = 1.6
# What takes the place of jumps, where the options do not say: it warms as much and lands softly.
_INSTEAD_OF_JUMPS = Pattern.LOCOMOTION


@dataclass(frozen=True, slots=True)
class Way:
    """How a rung is done instead.

    Args:
        movement: The same as before where only `option` is new.
        why: In words, such as "no kit".
        option: A way described on the spot; it becomes a note on the rung.
    """

    movement: Movement
    why: str
    option: Option | None = None


def unmet(movement: Movement, wishes: Wishes) -> str | None:
    """Give the promise that a movement breaks, in words, or None."""
    if wishes.no_kit and set(movement.kit) - AT_HAND:
        return "no kit"
    if wishes.no_jumps and movement.pattern is Pattern.JUMP:
        return "no jumps"
    return None


def another_way(
    movement: Movement,
    wishes: Wishes,
    library: Library,
    *,
    fits: Callable[[Movement], bool],
    taken: frozenset[str],
) -> Way | None:
    """Find how a movement is done so that it keeps what a division promises.

    Args:
        movement: As written.
        wishes: What the division is like.
        library: Every movement that options may lead to.
        fits: Whether a movement can stand on the rung at all.
        taken: Ids of movements that the round has already; they come last.

    Returns:
        The way, or None if there is none. Ask only for movements that `unmet` speaks against.
    """
    why = unmet(movement, wishes) or ""
    allowed = set(movement.kit) | AT_HAND
    for stage in (_ways_down(movement, library), *_alike(movement, library)):
        found = [
            each
            for each in stage
            if unmet(each, wishes) is None and set(each.kit) <= allowed and fits(each)
        ]
        if found:
            fresh = next((each for each in found if each.id not in taken), found[0])
            return Way(fresh, why)
    return None


def easier_way(
    movement: Movement, wishes: Wishes, library: Library, *, fits: Callable[[Movement], bool]
) -> Way | None:
    """Find an easier way: the hardest option that is a movement of the same unit, or one in words.

    A movement comes first because it brings its own standard: what is told in words is still
    judged by the standard of the movement it eases.

    Returns:
        The way, or None where the options hold none that keeps what the division promises.
    """
    allowed = set(movement.kit) | AT_HAND
    for option in movement.options:
        other = library[option.movement] if option.movement else None
        if (
            other is not None
            and other.unit is movement.unit
            and unmet(other, wishes) is None
            and set(other.kit) <= allowed
            and fits(other)
            and middle_pace_s(other) <= MOST_SLOWER * middle_pace_s(movement)
        ):
            return Way(other, "easier")
    in_words = next((option for option in movement.options if option.name), None)
    return None if in_words is None else Way(movement, "easier", in_words)


def _ways_down(movement: Movement, library: Library) -> Iterator[Movement]:
    """Give what options lead to, hardest first: each option, and below it its own options."""
    seen = {movement.id}
    waiting = list(reversed(movement.options))
    while waiting:
        name = waiting.pop().movement
        if name is not None and name not in seen:
            seen.add(name)
            yield library[name]
            waiting.extend(reversed(library[name].options))


def _alike(movement: Movement, library: Library) -> Iterator[list[Movement]]:
    """Give movements that train the same, where no option is one; then what trains the rest.

    In each list the most usual options come first, of equals the one nearest in pace. What no
    movement's options name is left out: it may be for warming up only.
    """
    usual = Counter(
        option.movement for each in library.values() for option in each.options if option.movement
    )
    known = [each for each in library.values() if usual[each.id] and each.id != movement.id]
    known.sort(key=lambda each: (-usual[each.id], _apart(each, movement)))
    jumps = movement.pattern is Pattern.JUMP
    for pattern in (movement.pattern, *([_INSTEAD_OF_JUMPS] if jumps else []), *movement.also):
        yield [each for each in known if each.pattern is pattern]
    yield known


def _apart(one: Movement, other: Movement) -> float:
    return abs(log(middle_pace_s(one) / middle_pace_s(other)))
