"""Frames of ladders: rounds in a window, rounds and schemes for time, climbing and coming down."""

from __future__ import annotations

from dataclasses import replace

from content.movement import CountUnit
from content.score import ScoreKind
from content.shorthand.clause import Clause, Say
from content.shorthand.frame import Frame, Signs
from content.shorthand.item import Item
from content.units import clock_text
from content.workout import Shape


class OnALadder(Signs):
    """Makes those frames, and that of one effort in a time; what it decides alone it says."""

    def amrap(self, clause: Clause) -> Frame:
        """Read as many rounds as possible: of the same, climbing, or of one movement."""
        window = self._window() or self._cap() or self._own_time()
        items = [item for item in self.items if item.movement]
        counted = [item for item in items if item.counts or item.lasts_s]
        scheme, step = self.said.first(Say.SCHEME), self.said.first(Say.STEP)
        if scheme is not None or step is not None:
            return self._climb(window)
        if len(items) == 1 and not counted:
            far = self._unit(items[0]) is CountUnit.METRES
            score = ScoreKind.DISTANCE if far else ScoreKind.TOTAL_REPS
            return Frame(score, Shape.OPEN, window_s=window)
        if window is None:
            self.notes.wrong(clause.span, "how long? Write for example “AMRAP 12 min”")
            window = 60
        if self._is_done():
            return Frame(ScoreKind.DONE, Shape.OPEN, window_s=window)
        rests = self._rests()
        return Frame(ScoreKind.ROUNDS_AND_REPS, Shape.REPEAT, window_s=window, rests=rests)

    def _climb(self, window: int | None) -> Frame:
        scheme, step = self.said.first(Say.SCHEME), self.said.first(Say.STEP)
        size, start = self._stepping(scheme, step)
        said = scheme or step
        span = said.span if said else (0, 0)
        if window is None:
            self.notes.wrong(span, "in how many minutes? Write for example “in 8 min”")
            window = 60
        if size is None or size <= 0:
            self.notes.wrong(
                span,
                "as many rounds as possible can only stay or climb; write “for time” for a ladder "
                "that comes down",
            )
            size = 1
        return Frame(
            ScoreKind.ROUNDS_AND_REPS, Shape.CLIMB, window_s=window, step=size, start=start
        )

    def _stepping(
        self, scheme: Clause | None, step: Clause | None
    ) -> tuple[int | None, int | None]:
        """Give size and start of a ladder that climbs or comes down."""
        start = self.said.first(Say.START)
        first = start.number if start else None
        if scheme is not None and len(scheme.scheme) > 1:
            size = scheme.scheme[1] - scheme.scheme[0]
            return (step.number if step and step.number else size), first or scheme.scheme[0]
        return (step.number if step else None), first

    def fixed(self) -> Frame:
        """Read a fixed ladder: scheme, rounds, climbing, coming down, or one long list."""
        scheme, step = self.said.first(Say.SCHEME), self.said.first(Say.STEP)
        others = self.others.first(Say.SCHEME)
        if scheme is not None and scheme.endless:
            return self._climb(self._window() or self._cap())
        if scheme is None and step is not None:
            return self._stepped(step)
        window = self._clock_before_ladder()
        if self.said.has(Say.OPEN) and self._is_done():
            return Frame(ScoreKind.DONE, Shape.OPEN, window_s=window, rests=self._rests())
        rounds = self._rounds_of(self.said)
        open_counts = not all(item.counts or item.lasts_s for item in self.items)
        if scheme is not None or (others is not None and rounds is None and open_counts):
            return self._schemed(scheme, window)
        if (effort := self._single_effort(window)) is not None:
            return effort
        divided = self.others.first(Say.ROUNDS) is not None
        shape = Shape.REPEAT if rounds is not None or divided else Shape.ONCE
        return self._timed(
            Frame(ScoreKind.TIME, shape, rounds=rounds, rests=self._rests()), window
        )

    def _clock_before_ladder(self) -> int | None:
        bare = [item for item in self.said.items if item.lasts_s and item.movement is None]
        window = self.said.first(Say.WINDOW)
        if bare:
            self.said.items.remove(bare[0])
            return bare[0].lasts_s
        return window.work_s if window else None

    def _single_effort(self, window: int | None) -> Frame | None:
        """Read "20 min easy walk, done is done" or "12 min run": a time and no count."""
        items = [item for item in self.said.items if item.movement]
        if self._rounds_of(self.said) or not items or any(item.counts for item in items):
            return None
        if self._is_done():
            time = window or self._time_beside()
            if time is None and any(item.lasts_s for item in items):
                return None
            return Frame(ScoreKind.DONE, Shape.OPEN, window_s=time, rests=self._rests())
        if len(items) != 1 or self.said.has(Say.FOR_TIME):
            return None
        if self._unit(items[0]) is CountUnit.SECONDS:
            return self._hold(items[0], window)
        time = window or self._own_time()
        if time is None:
            return None
        if self._unit(items[0]) is CountUnit.METRES:
            self.notes.assume(
                "The score is the distance; write “done is done” if nothing is measured."
            )
            return Frame(ScoreKind.DISTANCE, Shape.OPEN, window_s=time)
        self.notes.assume("The score is the number of repetitions in that time.")
        return Frame(ScoreKind.TOTAL_REPS, Shape.OPEN, window_s=time)

    def _hold(self, item: Item, window: int | None) -> Frame:
        """Read "plank", and "2 min plank", which is done or not."""
        if item.lasts_s is None:
            self.notes.assume("The score is the longest hold.")
            return Frame(ScoreKind.HOLD, Shape.OPEN, window_s=window)
        self.notes.assume("It counts as done or not done.")
        return Frame(ScoreKind.DONE, Shape.ONCE, window_s=window)

    def _stepped(self, step: Clause) -> Frame:
        """Read "start at 2, add 2 each round" with a time, or with a last round."""
        size, start = step.number or 1, self.said.first(Say.START)
        first = start.number if start else None
        begins = first or next((item.counts[0] for item in self.items if item.counts), None)
        rounds = self._rounds_of(self.said) or self._rounds_to_bound(begins, size)
        window = self._window()
        fixed = rounds is not None or self.said.has(Say.FOR_TIME)
        if not fixed and size > 0 and not self._is_done():
            return replace(self._climb(window or self._cap()), step=size, start=first)
        if rounds is None and size < 0 and begins:
            rounds = -(-begins // -size)
            self.notes.assume(
                f"It comes down from {begins} by {-size} as far as it goes: {rounds} rounds."
            )
        if rounds is None and self.others.first(Say.ROUNDS) is None:
            self.notes.wrong(
                step.span, "how many rounds, or up to which number? Write for example “10 rounds”"
            )
            rounds = 1
        shape = Shape.CLIMB if size > 0 else Shape.DESCEND
        made = Frame(ScoreKind.TIME, shape, rounds=rounds, step=abs(size), start=first)
        return self._timed(made, window)

    def _rounds_to_bound(self, begins: int | None, size: int) -> int | None:
        """Give the rounds of "from 20 by 4 down to 4"."""
        bound = self.said.first(Say.BOUND)
        if bound is None or not bound.number or not begins:
            return None
        steps, rest = divmod(bound.number - begins, size)
        if rest or steps < 0:
            self.notes.wrong(
                bound.span, f"steps of {abs(size)} from {begins} never come to {bound.number}"
            )
        return abs(steps) + 1

    def _schemed(self, scheme: Clause | None, window: int | None) -> Frame:
        if scheme is None:
            return self._timed(Frame(ScoreKind.TIME, Shape.SCHEME), window)
        if scheme.number is not None:
            shape = Shape.CLIMB if scheme.number > 0 else Shape.DESCEND
            made = Frame(
                ScoreKind.TIME,
                shape,
                rounds=len(scheme.scheme),
                step=abs(scheme.number),
                start=scheme.scheme[0],
            )
            return self._timed(made, window)
        return self._timed(
            Frame(ScoreKind.TIME, Shape.SCHEME, scheme=scheme.scheme, rests=self._rests()), window
        )

    def _timed(self, frame: Frame, window: int | None) -> Frame:
        """Give a fixed ladder its cap and score."""
        if self._is_done():
            return replace(frame, score=ScoreKind.DONE, window_s=window or self._cap())
        cap = self._cap() or window
        if window and not self._cap():
            self.notes.assume(f"The clock stops at {clock_text(window)}.")
        rounds = self.said.first(Say.ROUNDS)
        timed = self.said.has(Say.FOR_TIME) or (rounds is not None and rounds.label)
        if not timed and not cap:
            self.notes.assume("It is for time: the score is how long it takes.")
        return replace(frame, cap_s=cap)
