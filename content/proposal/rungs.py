"""Rung by rung: what a division does instead of what is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from content.fields import Load
from content.movement import CountUnit, Kit, Movement
from content.proposal.counts import MOST
from content.proposal.draft import CLIMBING
from content.proposal.ways import Way, another_way, easier_way, unmet
from content.proposal.weights import WEIGHTS, lighter_load
from content.proposal.wishes import Wishes
from content.score import ScoreKind
from content.workout import DivisionLadder, Rung, Shape, Workout

_LONGEST_NOTE = 400


@dataclass(frozen=True, slots=True)
class Change:
    """A rung beside the one it came from.

    Args:
        written: As it was.
        rung: As proposed; its count may still be a first guess.
        why: In words, or "" if it is as it was.
        stuck: The promise that no way was found to keep, in words, or "".
    """

    written: Rung
    rung: Rung
    why: str = ""
    stuck: str = ""

    @property
    def another_movement(self) -> bool:
        """Whether the count has to be found anew."""
        return self.rung.movement != self.written.movement


def changes(
    workout: Workout, written: DivisionLadder, wishes: Wishes, library: Mapping[str, Movement]
) -> tuple[Change, ...]:
    """Give every rung as a division does it, in order.

    The same movement is replaced by the same one wherever it stands.
    """
    chooser = _Chooser(workout, written, wishes, library)
    return tuple(chooser.change(rung) for rung in written.rungs)


class _Chooser:
    """Chooses for one division of one day; remembers what it chose."""

    def __init__(
        self,
        workout: Workout,
        written: DivisionLadder,
        wishes: Wishes,
        library: Mapping[str, Movement],
    ) -> None:
        self._workout, self._written = workout, written
        self._wishes, self._library = wishes, library
        self._chosen: dict[tuple[str, Load | None, CountUnit | None], Way | None] = {}
        self._taken = {
            rung.movement
            for rung in written.rungs
            if not wishes.lighter and unmet(library[rung.movement], wishes) is None
        }

    def change(self, rung: Rung) -> Change:
        movement = self._library[rung.movement]
        broken = unmet(movement, self._wishes)
        if broken is None and self._wishes.no_kit and rung.load is not None:
            return Change(rung, rung.model_copy(update={"load": None}), "no kit")
        if broken is None and not self._wishes.lighter:
            return Change(rung, rung)
        if broken is None and self._everybody_chooses(movement):
            return Change(rung, rung)
        if broken is None and rung.load is not None:
            load = lighter_load(rung.load, self._kits(rung.load))
            if load is not None:
                return Change(rung, rung.model_copy(update={"load": load}), "lighter")
        way = self._way(rung, movement, broken)
        if way is None:
            return Change(rung, rung, stuck=broken or "")
        return Change(rung, self._done(rung, way), way.why)

    def _everybody_chooses(self, movement: Movement) -> bool:
        """Tell whether people bring the weight they can lift: it is what the day scores."""
        return self._workout.score is ScoreKind.LOAD and bool(WEIGHTS & set(movement.kit))

    def _way(self, rung: Rung, movement: Movement, broken: str | None) -> Way | None:
        key = (rung.movement, rung.load, rung.unit)
        if key not in self._chosen:
            if broken is None:
                fits = self._takes_turns_well(rung, movement)
                found = easier_way(movement, self._wishes, self._library, fits=fits)
            else:
                found = another_way(
                    movement,
                    self._wishes,
                    self._library,
                    fits=self._fits(rung, movement),
                    taken=frozenset(self._taken),
                )
            self._chosen[key] = found
            self._taken |= {found.movement.id} if found else set()
        return self._chosen[key]

    def _done(self, rung: Rung, way: Way) -> Rung:
        if way.option is not None:
            note = f"{way.option.name}: {way.option.how}"[:_LONGEST_NOTE]
            return rung.model_copy(update={"note": note})
        one_sided = self._library[rung.movement].one_sided
        return _with_movement(rung, way.movement, was_one_sided=one_sided, step=self._step(rung))

    def _kits(self, load: Load) -> list[Kit]:
        """Give every kind of weight that is held with a load somewhere in the round."""
        found: dict[Kit, None] = {}
        for rung in self._written.rungs:
            if rung.load and (rung.load.grams, rung.load.unit) == (load.grams, load.unit):
                kit = self._library[rung.movement].kit
                found |= dict.fromkeys(each for each in kit if each in WEIGHTS)
        return list(found)

    def _step(self, rung: Rung) -> int | None:
        """Give a rung's change per round as it may be written on the rung."""
        if self._workout.shape not in CLIMBING:
            return None
        size = self._written.step or self._workout.step or 0
        signed = size if self._workout.shape is Shape.CLIMB else -size
        return signed if rung.step is None else rung.step

    def _fits(self, rung: Rung, movement: Movement) -> Callable[[Movement], bool]:
        """Give the test of what may stand on a rung instead."""
        if rung.unit is CountUnit.SECONDS:
            unit = None  # anything can be done for a time
        elif rung.unit is None or self._workout.shape in CLIMBING:
            unit = rung.unit or CountUnit(movement.unit)
        else:
            unit = None
        return lambda other: unit is None or CountUnit(other.unit) is unit

    def _takes_turns_well(self, rung: Rung, movement: Movement) -> Callable[[Movement], bool]:
        """Give the same test, without what would have to be counted on each side.

        Sides that take turns need even counts, and a ladder with an odd step has odd ones.
        """
        fits, odd = self._fits(rung, movement), bool((self._step(rung) or 0) % 2)
        return lambda other: (
            fits(other) and not (odd and other.one_sided and not movement.one_sided)
        )


def _with_movement(
    rung: Rung, movement: Movement, *, was_one_sided: bool, step: int | None
) -> Rung:
    """Put another movement on a rung, counted in its own unit; the count is a first guess.

    Seconds stay seconds, whatever is done in them. What was said of the movement before (its
    note, its load) goes. With an odd step counts cannot stay even: a movement whose sides take
    turns is then counted on each side.

    Args:
        rung: As written.
        movement: What is done instead.
        was_one_sided: Whether the movement before was done one side at a time.
        step: The rung's change per round, where the ladder climbs or descends.
    """
    odd = bool(step and step % 2) and rung.unit is CountUnit.REPS and not was_one_sided
    each_side = movement.one_sided and (rung.each_side or odd)
    said: dict[str, object] = {"movement": movement.id, "each_side": each_side}
    said |= {"load": None, "note": None}
    unit, count, sides = rung.unit, rung.count, 2 if rung.each_side and not each_side else 1
    if unit is not None and count is not None:
        own = unit if unit is CountUnit.SECONDS else CountUnit(movement.unit)
        if own is unit:
            said[unit.value] = min(sides * count, MOST)
            said["step"] = sides * step if sides > 1 and step else rung.step
        else:
            said |= {unit.value: None, own.value: 1, "every": None, "step": None}
    return rung.model_copy(update=said)
