"""Frames of workouts whose work and rest go by the clock: every so often, intervals, stations."""

from __future__ import annotations

from dataclasses import replace

from content.movement import CountUnit
from content.score import ScoreKind
from content.shorthand.clause import Clause, Say
from content.shorthand.frame import Frame, Signs
from content.workout import Shape


class ByTheClock(Signs):
    """Makes those frames; what it decides alone it says."""

    def frame(self) -> Frame | None:
        """Make the frame, or None if nothing goes by the clock."""
        if (every := self.said.first(Say.EVERY)) is not None:
            return self._every(every)
        if (intervals := self.said.first(Say.INTERVALS)) is not None:
            return self._intervals(intervals)
        return self._swift_bursts() or self._timed_stations()

    def _every(self, clause: Clause) -> Frame:
        work = clause.work_s or 60
        rounds = self.said.first(Say.ROUNDS)
        times = clause.number
        if times is None and rounds is not None:
            times = rounds.number
            if self._stations() > 1 and rounds.number:
                times = rounds.number * self._stations()
        if times is None:
            window = self._window()
            times = max(1, window // work) if window else None
        if times is None:
            self.notes.wrong(
                clause.span, "for how long? Write for example “EMOM 10” or “every 2 min x 6”"
            )
            times = 1
        most = self.said.has(Say.MAX) or any(item.most for item in self.items)
        if self.said.has(Say.LOWEST):
            return self._clocked(ScoreKind.LOWEST_ROUND, times, work)
        if most or self.said.has(Say.TOTAL):
            return self._clocked(ScoreKind.TOTAL_REPS, times, work)
        return self._every_done(times, work, explicit=rounds.number if rounds else None)

    def _stations(self) -> int:
        """Tell how many movements take turns, one for each minute; 1 when all are done in each."""
        turns = [item.turn for item in [*self.said.items, *self.said.pauses] if item.turn]
        if turns:
            return max(turns)
        in_all = len(self.said.items) + len(self.said.pauses)
        return in_all if self.said.has(Say.TURNS) or self.said.pauses else 1

    def _every_done(self, times: int, work: int, explicit: int | None) -> Frame:
        if not self._is_done():
            self.notes.assume(
                "It counts as done or not done; write “total reps” to count repetitions."
            )
        counted = all(item.counts or item.lasts_s for item in self.items)
        stations = self._stations()
        if self.said.has(Say.OPEN) or not counted or (explicit is None and times % stations):
            return Frame(ScoreKind.DONE, Shape.OPEN, times=times, work_s=work)
        rounds = explicit if explicit is not None else times // stations
        return Frame(ScoreKind.DONE, Shape.REPEAT, rounds=rounds, times=times, work_s=work)

    def _intervals(self, clause: Clause) -> Frame:
        rounds = self.said.first(Say.ROUNDS)
        stations = max(1, len([item for item in self.items if item.movement]))
        if self.said.has(Say.TOGETHER):
            stations = 1
        times, each = clause.number, clause.each
        if times is None and rounds is not None and not self._is_done():
            times, each = rounds.number, True
        if times is None:
            window = self._window()
            whole = (clause.work_s or 0) + (clause.rest_s or 0)
            times = max(1, window // whole) if window and whole else None
        if times is None:
            self.notes.wrong(
                clause.span, "how many of them? Write for example “8 x 20 s on / 10 s off”"
            )
            times = 1
        if each and stations > 1:
            self.notes.assume(
                f"{times} rounds of {stations} movements are {times * stations} intervals, "
                "one for each movement in turn."
            )
            times *= stations
        return self._burst(times, clause.work_s or 1, clause.rest_s or 0, stations)

    def _burst(self, times: int, work: int, rest: int, stations: int) -> Frame:
        if self._is_done():
            rounds = self.said.first(Say.ROUNDS)
            if rounds is not None and not self.said.has(Say.OPEN):
                return Frame(
                    ScoreKind.DONE,
                    Shape.REPEAT,
                    rounds=rounds.number,
                    times=times,
                    work_s=work,
                    rest_s=rest,
                )
            return self._clocked(ScoreKind.DONE, times, work, rest)
        if self.said.has(Say.LOWEST):
            return self._clocked(ScoreKind.LOWEST_ROUND, times, work, rest)
        if self.said.has(Say.TOTAL):
            return self._clocked(ScoreKind.TOTAL_REPS, times, work, rest)
        if stations > 1:
            self.notes.assume("The score is the total of all repetitions.")
            return self._clocked(ScoreKind.TOTAL_REPS, times, work, rest)
        self.notes.assume(
            "The score is the lowest round; write “total reps” to count all repetitions."
        )
        return self._clocked(ScoreKind.LOWEST_ROUND, times, work, rest)

    def _swift_bursts(self) -> Frame | None:
        """Read "6 x 40 s jump squats, 35 s rest": a count of durations of one movement."""
        lasting = [item for item in self.said.items if item.lasts_s]
        rest = self.said.first(Say.REST)
        if len(lasting) != 1 or len(self.said.items) != 1 or rest is None:
            return None
        item = lasting[0]
        rounds = self.said.first(Say.ROUNDS)
        times = (
            item.sets
            or (item.counts[0] if item.counts else None)
            or (rounds.number if rounds else None)
        )
        if times is None or self._unit(item) is not CountUnit.REPS:
            return None
        self.said.items[0] = replace(item, lasts_s=None, counts=(), sets=None)
        return self._burst(times, item.lasts_s or 1, rest.work_s or 0, 1)

    def _timed_stations(self) -> Frame | None:
        """Read "2 rounds: 1 min push-ups, 1 min squats": as many as possible in each."""
        items = [item for item in self.said.items if item.movement]
        rounds = self._rounds_of(self.said)
        times = {item.lasts_s for item in items}
        if rounds is None or len(times) != 1 or None in times or self.said.has(Say.FOR_TIME):
            return None
        if any(self._unit(item) is not CountUnit.REPS for item in items) or self._is_done():
            return None
        work = times.pop() or 1
        self.said.items[:] = [
            replace(
                item, lasts_s=None, turn_note=f"turn {n} of {len(items)}" if len(items) > 1 else ""
            )
            for n, item in enumerate(items, start=1)
        ]
        self.notes.assume("The score is the total of all repetitions.")
        score = ScoreKind.LOWEST_ROUND if self.said.has(Say.LOWEST) else ScoreKind.TOTAL_REPS
        frame = self._clocked(score, rounds * len(items), work)
        return replace(frame, rests=self._rests())
