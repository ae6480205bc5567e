"""Give every division its list: what its own lines say, and the rest from the first division."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from content.movement import Movement
from content.shorthand.item import Item
from content.shorthand.sheet import Notes

T = TypeVar("T")


def for_division(item: Item, index: int) -> Item:
    """Give an item as one division does it: of "24/16 kg" the second does 16.

    A division beyond the last number does what the first does.
    """
    return replace(
        item,
        counts=_chosen(item.counts, index),
        loads=_chosen(item.loads, index),
    )


def _chosen(values: tuple[T, ...], index: int) -> tuple[T, ...]:
    if not values:
        return ()
    return (values[index] if index < len(values) else values[0],)


def merge(
    base: Sequence[Item], own: Sequence[Item], library: Mapping[str, Movement], notes: Notes
) -> list[Item]:
    """Put a division's own items in the place of those of the first division.

    Items are matched by movement, by being an easier way of one another, by kind, and at last by
    place. A list longer than the base stands as it is written.
    """
    named = [item for item in own if item.movement]
    if len(named) > len(base):
        return [_filled(item, _same(item, base)) for item in named]
    merged = list(base)
    for place, item in _matched(base, named, library, notes):
        merged[place] = _filled(item, base[place])
    _spread([item for item in own if not item.movement], merged, library, notes)
    return merged


def _same(item: Item, base: Sequence[Item]) -> Item | None:
    return next((each for each in base if each.movement == item.movement), None)


def _matched(
    base: Sequence[Item], own: Sequence[Item], library: Mapping[str, Movement], notes: Notes
) -> list[tuple[int, Item]]:
    free = dict(enumerate(base))
    waiting = dict(enumerate(own))
    pairs: list[tuple[int, Item]] = []
    for least in (5, 4, 3, 2):
        for index, item in list(waiting.items()):
            places = [n for n, each in free.items() if closeness(item, each, library) >= least]
            if not places:
                continue
            only = sum(each.movement == item.movement for each in own) == 1
            every = places if least >= 4 and only else places[:1]  # noqa: PLR2004
            for place in every:
                pairs.append((place, item))
                del free[place]
            del waiting[index]
    whole = len(own) == len(base)
    for item in waiting.values():
        alike = [n for n, each in free.items() if closeness(item, each, library) >= 1]
        if whole and free:
            place = min(free)
        elif len(alike) == 1 or (alike and len(free) == 1):
            place = alike[0]
        elif len(free) == 1 and len(base) == 1:
            place = next(iter(free))
        else:
            name = library[item.movement].plural if item.movement else "that"
            notes.wrong(
                item.span,
                f"which movement does it take the place of? Write for example “{name} instead of "
                f"{_plural(base[0], library)}”",
            )
            continue
        pairs.append((place, item))
        del free[place]
    return pairs


def _plural(item: Item, library: Mapping[str, Movement]) -> str:
    return library[item.movement].plural if item.movement else "burpees"


def closeness(item: Item, base: Item, library: Mapping[str, Movement]) -> int:
    """Say how likely an item stands for one of the base: 5 said so, 4 the same, 0 not at all."""
    if item.movement is None or base.movement is None:
        return 0
    if item.instead_of is not None:
        return 5 if item.instead_of == base.movement else 0
    if item.movement == base.movement:
        return 4
    one, other = library[item.movement], library[base.movement]
    if one.id in _ways(other, library) or other.id in _ways(one, library):
        return 3
    if one.name.split()[-1] == other.name.split()[-1] or set(one.nicknames) & set(other.nicknames):
        return 2
    return int(one.pattern is other.pattern)


def _ways(movement: Movement, library: Mapping[str, Movement]) -> set[str]:
    """Give the easier ways of a movement, and the easier ways of those."""
    ways: set[str] = set()
    waiting = [movement]
    while waiting:
        for option in waiting.pop().options:
            if option.movement and option.movement not in ways and option.movement in library:
                ways.add(option.movement)
                waiting.append(library[option.movement])
    return ways


def _filled(item: Item, base: Item | None) -> Item:
    """Take from the base what the item leaves open."""
    if base is None:
        return item
    same = item.movement == base.movement
    counted = bool(item.counts) or item.lasts_s is not None or item.most
    took = (
        item
        if counted
        else replace(
            item,
            counts=base.counts,
            unit=base.unit,
            lasts_s=base.lasts_s,
            each_side=item.each_side or base.each_side,
            step=base.step if item.step is None else item.step,
            every=item.every or base.every,
        )
    )
    if same and not item.loads and not item.no_load:
        took = replace(took, loads=base.loads)
    if same and item.note is None:
        took = replace(took, note=base.note)
    if took.each_side and not item.each_side and not same:
        took = replace(took, each_side=base.each_side)
    return replace(took, turn=item.turn or base.turn, turn_note=item.turn_note or base.turn_note)


def _spread(
    bare: Iterable[Item], merged: list[Item], library: Mapping[str, Movement], notes: Notes
) -> None:
    """Spread loads and counts that stand without a movement."""
    bare = list(bare)
    counted = [item for item in bare if item.counts]
    numbers = counted[0].counts if len(counted) == 1 else tuple(i.counts[0] for i in counted)
    if len(counted) == 1 and len(numbers) == 1 and counted[0].each_side:  # "20 of each"
        numbers *= len(merged)
    if counted and len(numbers) == len(merged):
        for place, count in enumerate(numbers):
            merged[place] = replace(
                merged[place], counts=(count,), unit=counted[0].unit or merged[place].unit
            )
    elif counted:
        notes.wrong(counted[0].span, "how many of what? Write the movement behind the number")
    for item in bare:
        if item.loads or item.no_load:
            _load_all(item, merged, library, notes)


def _load_all(
    item: Item, merged: list[Item], library: Mapping[str, Movement], notes: Notes
) -> None:
    loaded = [n for n, each in enumerate(merged) if each.loads]
    kit = [n for n, each in enumerate(merged) if each.movement and library[each.movement].kit]
    places = loaded or kit
    if not places:
        notes.wrong(item.span, "nothing here is done with a load; write the movement behind it")
    for place in places:
        merged[place] = replace(merged[place], loads=item.loads, no_load=item.no_load)
