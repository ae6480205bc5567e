"""Decide on the frame of a workout, from the surest sign to the weakest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from content.movement import CountUnit, Movement
from content.score import ScoreKind
from content.shorthand.by_the_clock import ByTheClock
from content.shorthand.clause import Clause, Say
from content.shorthand.frame import Frame, Signs
from content.shorthand.listing import Listing
from content.shorthand.on_a_ladder import OnALadder
from content.shorthand.sheet import Notes


def frame_of(
    notes: Notes, said: Listing, library: Mapping[str, Movement], others: Listing
) -> Frame:
    """Make the frame; `Signs` tells what the arguments are."""
    signs = _MostOfAll(notes, said, library, others)
    signs.one_clock()
    frame = _decided(signs, notes, said, library, others)
    for item in said.items:
        if item.sets and item.sets not in (frame.rounds, frame.times) and not signs.lifts():
            notes.wrong(
                item.span,
                f"{item.sets} times this one only? Write “{item.sets} rounds: ...”, or the list "
                "out in full",
            )
    return frame


def _decided(
    signs: _MostOfAll,
    notes: Notes,
    said: Listing,
    library: Mapping[str, Movement],
    others: Listing,
) -> Frame:
    clocked = ByTheClock(notes, said, library, others).frame() or signs.frame()
    if clocked is not None:
        return clocked
    ladder = OnALadder(notes, said, library, others)
    amrap = said.first(Say.AMRAP)
    if amrap is None:
        return signs.most() or ladder.fixed()
    signs.no_cap_beside(amrap)
    signs.no_other_time(amrap)
    return ladder.amrap(amrap)


class _MostOfAll(Signs):
    """Frames without fixed work: the heaviest, the longest, the farthest, the most."""

    def frame(self) -> Frame | None:
        """Make the frame of a lift, a hold or a distance, or None."""
        if (heaviest := self.said.first(Say.HEAVIEST)) is not None:
            self._count_all(heaviest.number)
            return self._open(ScoreKind.LOAD)
        if self.said.has(Say.HOLD) or self._is_hold():
            return self._open(ScoreKind.HOLD)
        return self._open(ScoreKind.DISTANCE) if self.said.has(Say.FAR) else None

    def lifts(self) -> bool:
        """Tell whether it is about a heaviest lift: "5 x 5" is a way to get there."""
        return self.said.has(Say.HEAVIEST)

    def most(self) -> Frame | None:
        """Make the frame of as many as possible, or None."""
        return self._open(ScoreKind.TOTAL_REPS) if self._is_most() else None

    def _count_all(self, count: int | None) -> None:
        """Give a count said for all to the movements without one: "5RM deadlift"."""
        for place, item in enumerate(self.said.items):
            if count and item.movement and not item.counts:
                self.said.items[place] = replace(item, counts=(count,))

    def _is_hold(self) -> bool:
        """Tell whether it is one maximum of something that is held: "max plank"."""
        if not (self.said.has(Say.MAX) or any(item.most for item in self.items)):
            return False
        held = [self._unit(item) is CountUnit.SECONDS for item in self.items if item.movement]
        return bool(held) and all(held)

    def _is_most(self) -> bool:
        if self.said.has(Say.TOTAL) and not any(item.counts for item in self.items):
            return True
        most = self.said.has(Say.MAX) or any(item.most for item in self.items)
        named = [item for item in self.items if item.movement]
        if len(named) > 1 and all(item.counts and not item.most for item in named):
            return False  # "..., 30 min max" below a list with counts is its cap
        return most and not self.said.has(Say.SCHEME) and not self._rounds_of(self.said)

    def one_clock(self) -> None:
        """Note a second clock, scheme or number of rounds: a day has one workout."""
        for group, what in (
            ((Say.AMRAP, Say.EVERY, Say.INTERVALS), "kind of workout"),
            ((Say.CAP,), "cap"),
            ((Say.ROUNDS,), "number of rounds"),
            ((Say.WINDOW,), "time"),
        ):
            found = [clause for clause in self.said.clauses if clause.say in group]
            if len(found) > 1 and not _agree(found):
                first = self.notes.sheet.slice(found[0].span).strip()
                self.notes.wrong(
                    found[1].span,
                    f"a second {what} beside “{first}”; a day has one workout, write the other "
                    "into a note or on another day",
                )

    def no_cap_beside(self, amrap: Clause) -> None:
        cap = self.said.first(Say.CAP)
        if cap is not None and amrap.work_s and cap.work_s != amrap.work_s:
            said = self.notes.sheet.slice(amrap.span).strip()
            self.notes.wrong(cap.span, f"“{said}” ends by itself; leave out the cap")

    def no_other_time(self, amrap: Clause) -> None:
        """Ask about "AMRAP 12 min in 20 minutes"."""
        other = self.said.first(Say.WINDOW)
        if other is not None and amrap.work_s and other.work_s != amrap.work_s:
            said = self.notes.sheet.slice(amrap.span).strip()
            self.notes.ask(other.span, f"beside “{said}”? Taken as that for now.", taken=said)


def _agree(clauses: Sequence[Clause]) -> bool:
    """Tell whether clauses say the same, or one only names what the other counts."""
    first = clauses[0]
    if len({clause.say for clause in clauses}) > 1:
        return False
    said = {(c.number, c.work_s, c.rest_s) for c in clauses if c.number or c.work_s}
    return len(said) <= 1 or first.say is Say.WINDOW
