"""Make every division's ladder: the common list, its own lines, what is left to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from content.challenge import Division
from content.fields import Load
from content.movement import Movement
from content.shorthand.clause import Clause, Say
from content.shorthand.dividing import for_division, merge
from content.shorthand.filling import listed
from content.shorthand.frame import Frame
from content.shorthand.item import Item
from content.shorthand.listing import Listing
from content.shorthand.rungs import lacks_count, reason, rung_of
from content.shorthand.sheet import Notes
from content.units import kg_text
from content.workout import DivisionLadder, Shape


@dataclass(slots=True)
class Ladders:
    """The divisions of one text.

    Attributes:
        own: What the divisions say of themselves, by id; a division without a line is not there.
        complete: Those whose list is said to be complete.
    """

    notes: Notes
    library: Mapping[str, Movement]
    divisions: Sequence[Division]
    own: Mapping[str, Listing]
    complete: frozenset[str]

    def of(self, common: Listing, frame: Frame) -> dict[str, DivisionLadder] | None:
        """Make the ladder of every division, or None if one could not be made."""
        shared = self._spread_bare(common.items)
        self._check_numbers(shared)
        lists = self._lists(shared)
        self._fill_empty(lists)
        self._say_left_out(lists, shared)
        ladders = {name: self._ladder(name, items, frame) for name, items in lists.items()}
        found = {name: ladder for name, ladder in ladders.items() if ladder is not None}
        return found if len(found) == len(ladders) else None

    def _spread_bare(self, items: Sequence[Item]) -> list[Item]:
        """Give a load that stands alone in the heading to every movement that takes one."""
        named = [item for item in items if item.movement]
        for item in items:
            if item.movement is not None:
                continue
            if item.loads and named:
                named = [self._loaded(each, item.loads) for each in named]
            if item.counts or item.lasts_s:
                self.notes.ask(
                    item.span,
                    "how many of what? It is left out for now; write the movement behind the "
                    "number.",
                )
        return named

    def _loaded(self, item: Item, loads: tuple[Load, ...]) -> Item:
        kit = self.library[item.movement or ""].kit
        return replace(item, loads=loads) if kit and not item.loads else item

    def _check_numbers(self, items: Sequence[Item]) -> None:
        most = len(self.divisions)
        for item in items:
            said = max(len(item.loads), len(item.counts))
            if said > most:
                names = listed([division.name for division in self.divisions])
                self.notes.wrong(item.span, f"{said} numbers for {most} divisions ({names})")

    def _lists(self, shared: Sequence[Item]) -> dict[str, list[Item]]:
        """Give each division its items; the first one's hold where another says nothing."""
        lists: dict[str, list[Item]] = {}
        lead: list[Item] = []
        for index, division in enumerate(self.divisions):
            base = [for_division(item, index) for item in shared]
            if index and lead and (not base or self.divisions[0].id in self.own):
                base = _with_own_loads(lead, shared, base)
            lists[division.id] = self._own_list(index, base)
            lead = lead or lists[division.id]
        return lists

    def _own_list(self, index: int, base: list[Item]) -> list[Item]:
        division = self.divisions[index]
        mine = self.own.get(division.id)
        if mine is None:
            left = self._passed_on(index)
            return merge(base, left, self.library, self.notes) if left and base else base
        self._say_first_load(index, mine)
        items = [for_division(item, 0) for item in mine.items]
        if len(items) == 1 and items[0].movement is None and len(mine.items[0].counts) > 1:
            items = [replace(items[0], counts=mine.items[0].counts)]  # one for each movement
        if division.id in self.complete or not base:
            return [item for item in items if item.movement]
        return merge(base, items, self.library, self.notes)

    def _passed_on(self, index: int) -> list[Item]:
        """Give what an earlier division's "16/12 kg" leaves to a division without a line."""
        for before in range(index - 1, 0, -1):
            mine = self.own.get(self.divisions[before].id)
            if mine is not None:
                away = index - before
                return [
                    Item(item.span, item.movement, loads=(item.loads[away],))
                    for item in mine.items
                    if len(item.loads) > away
                ]
        return []

    def _say_first_load(self, index: int, mine: Listing) -> None:
        name = self.divisions[index].name
        after = [each.name for each in self.divisions[index + 1 :] if each.id not in self.own]
        for item in mine.items:
            if len(item.loads) > 1:
                said = self.notes.sheet.place(item.span).slice
                load = kg_text(item.loads[0].grams)
                rest = f", {after[0]} the next" if after and index else ""
                self.notes.assume(f"{name} takes the first load of “{said}”, {load}{rest}.")

    def _fill_empty(self, lists: dict[str, list[Item]]) -> None:
        """Give a division that nothing is said of what the first one with a list does."""
        source = next((items for items in lists.values() if items), None)
        for name, items in lists.items():
            if not items and source is not None:
                mine = self.own[name].items if name in self.own else []
                lists[name] = merge(source, mine, self.library, self.notes)

    def _say_left_out(self, lists: Mapping[str, list[Item]], shared: Sequence[Item]) -> None:
        most = max((max(len(item.loads), len(item.counts)) for item in shared), default=1)
        first = self.divisions[0]
        left = [
            division.name
            for index, division in enumerate(self.divisions)
            if index >= max(1, most) and division.id not in self.own and not self._passed_on(index)
        ]
        if left:
            loads = [kg_text(item.loads[0].grams) for item in lists[first.id] if item.loads]
            with_loads = f", with {listed(list(dict.fromkeys(loads)))}" if loads else ""
            verb = "does" if len(left) == 1 else "do"
            self.notes.assume(f"{listed(left)} {verb} the same as {first.name}{with_loads}.")

    def _ladder(self, name: str, items: list[Item], frame: Frame) -> DivisionLadder | None:
        mine = self.own.get(name)
        said = self._own_steps(self._clauses(name), frame)
        start = said.pop("start", None)
        if start is not None:
            frame = replace(frame, start=start)
            items = [replace(i, counts=()) if _from_base(i, mine) else i for i in items]
        items = self._counted(items, frame)
        rungs = [rung_of(item, frame, self.library, self.notes) for item in items]
        if not rungs or any(rung is None for rung in rungs):
            return None
        try:
            return DivisionLadder.model_validate({"rungs": rungs, **said})
        except ValidationError as error:
            self.notes.wrong(items[0].span, reason(error))
            return None

    def _counted(self, items: list[Item], frame: Frame) -> list[Item]:
        """Leave out, and ask about, what has no count while others have one."""
        open_items = [item for item in items if lacks_count(item, frame)]
        if len(open_items) == len(items):
            return items
        for item in open_items:
            plural = self.library[item.movement or ""].plural
            self.notes.ask(
                item.span,
                f"how many? It is left out for now; write for example “10 {plural}”.",
            )
        return [item for item in items if item not in open_items]

    def _clauses(self, name: str) -> list[Clause]:
        """Give what a division says of rounds and scheme; before it what the first one says."""
        lead = self.own.get(self.divisions[0].id)
        mine = self.own.get(name)
        alone = name in self.complete and mine is not lead
        first = lead.clauses if lead is not None and not alone else []
        return [*first, *(mine.clauses if mine is not None and mine is not lead else [])]

    def _own_steps(self, clauses: Sequence[Clause], frame: Frame) -> dict[str, Any]:
        said: dict[str, Any] = {}
        for clause in clauses:
            match clause.say:
                case Say.ROUNDS:
                    said["rounds"] = clause.number
                case Say.STEP:
                    said["step"] = abs(clause.number or 1)
                case Say.START:
                    said["start"] = clause.number
                case Say.SCHEME if frame.shape is Shape.SCHEME:
                    said["scheme"] = clause.scheme
                case Say.SCHEME if frame.shape in _STEPPED and len(clause.scheme) > 1:
                    said |= _steps_of(clause, frame)
                case Say.SCHEME:
                    self.notes.wrong(
                        clause.span,
                        "the workout has no scheme; write it above the divisions too, for "
                        "example 24-18-12",
                    )
                case _:
                    pass
        return said


_STEPPED = (Shape.CLIMB, Shape.DESCEND)


def _steps_of(clause: Clause, frame: Frame) -> dict[str, Any]:
    """Read a division's "8-7-6...1" as start, step and rounds, as far as they are its own."""
    step = abs(clause.scheme[1] - clause.scheme[0])
    rounds = None if clause.endless or frame.rounds is None else len(clause.scheme)
    said: dict[str, Any] = {"start": clause.scheme[0]}
    if step != frame.step:
        said["step"] = step
    if rounds != frame.rounds and rounds is not None:
        said["rounds"] = rounds
    return said


def _with_own_loads(lead: list[Item], shared: Sequence[Item], base: Sequence[Item]) -> list[Item]:
    """Give the first division's list, with the loads that "24/16 kg" has for this one."""
    if len(lead) != len(base):
        return lead
    return [
        replace(item, loads=mine.loads)
        if len(said.loads) > 1 and item.movement == mine.movement
        else item
        for item, said, mine in zip(lead, shared, base, strict=True)
    ]


def _from_base(item: Item, mine: Listing | None) -> bool:
    """Tell whether an item's bare count is not the division's own."""
    own = mine is not None and any(each.span == item.span and each.counts for each in mine.items)
    return bool(item.counts) and item.unit is None and not own
