"""The frame of a workout: shape, clock, rounds, score; and the signs it is read from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from content.movement import CountUnit, Movement
from content.score import ScoreKind
from content.shorthand.clause import Say
from content.shorthand.item import Item
from content.shorthand.listing import Listing
from content.shorthand.sheet import Notes, Span
from content.workout import Shape


@dataclass(frozen=True, slots=True)
class Frame:
    """What holds for the whole workout; None where nothing is said.

    `work_s` with `rest_s` and `times` are its intervals. `rests` are the words about resting
    between rounds, which go to the people as they are.
    """

    score: ScoreKind
    shape: Shape
    window_s: int | None = None
    cap_s: int | None = None
    rounds: int | None = None
    step: int | None = None
    scheme: tuple[int, ...] | None = None
    times: int | None = None
    work_s: int | None = None
    rest_s: int = 0
    start: int | None = None
    rests: str | None = None


class Signs:
    """What was said, and how to look at it; the makers of frames build on it.

    Attributes:
        said: The list that holds for all. A duration that turns out to be the clock leaves it.
        items: Its movements, or those of the first division that has some.
        others: What the divisions say of themselves.
    """

    def __init__(
        self, notes: Notes, said: Listing, library: Mapping[str, Movement], others: Listing
    ) -> None:
        self.notes = notes
        self.said = said
        self.library = library
        self.items = said.items or others.items
        self.others = others

    def _window(self) -> int | None:
        """Give the time there is: of an AMRAP, "in 8 min", or a bare "8 min"."""
        for say in (Say.AMRAP, Say.WINDOW):
            for clause in self.said.clauses:
                if clause.say is say and clause.work_s:
                    return clause.work_s
        bare = [item for item in self.said.items if item.lasts_s and item.movement is None]
        if bare:
            self.said.items.remove(bare[0])
            return bare[0].lasts_s
        return None

    def _cap(self) -> int | None:
        cap = self.said.first(Say.CAP)
        return cap.work_s if cap else None

    def _own_time(self) -> int | None:
        """Give the time that stands before the only movement: "3 min max push-ups"."""
        lasting = [item for item in self.said.items if item.lasts_s]
        if len(lasting) == 1 and len(self.said.items) == 1:
            index = self.said.items.index(lasting[0])
            self.said.items[index] = replace(lasting[0], lasts_s=None)
            return lasting[0].lasts_s
        return None

    def _time_beside(self) -> int | None:
        """Give the only movement's time as the clock: "3 min max push-ups".

        On a line of its own, "60 s plank" below "heaviest" belongs to the movement.
        """
        text = self.notes.sheet.text
        items, clauses = self.said.items, self.said.clauses
        if items and clauses and "\n" in text[clauses[0].span[1] : items[0].span[0]]:
            return None
        return self._own_time()

    def _is_done(self) -> bool:
        return self.said.has(Say.DONE)

    def _unit(self, item: Item) -> CountUnit:
        movement = self.library.get(item.movement or "")
        return movement.unit if movement else CountUnit.REPS

    def _rounds_of(self, said: Listing) -> int | None:
        clause = said.first(Say.ROUNDS)
        if clause is not None:
            return clause.number
        sets = {item.sets for item in said.items if item.sets}
        return sets.pop() if len(sets) == 1 and all(item.sets for item in said.items) else None

    def _rests(self) -> str | None:
        rest = self.said.first(Say.REST)
        if rest is None:
            return None
        said = " ".join(self.notes.sheet.slice(rest.span).split())
        return f"{said[:1].upper()}{said[1:]}."

    def _open(self, score: ScoreKind) -> Frame:
        window = self._window() or self._time_beside() or self._cap()
        rests = self._rests()
        return Frame(score, Shape.OPEN, window_s=window, rests=rests)

    def _clocked(self, score: ScoreKind, times: int, work: int, rest: int = 0) -> Frame:
        return Frame(score, Shape.OPEN, times=times, work_s=work, rest_s=rest)


def head_span(listing: Listing) -> Span:
    """Give a place that stands for the workout as a whole."""
    spans = [clause.span for clause in listing.clauses] + [item.span for item in listing.items]
    return min(spans) if spans else (0, 0)
