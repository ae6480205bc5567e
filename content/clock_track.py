"""The clock of a day as a line of cues: warm-up, workout, its end. Whole seconds, pure numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from content.challenge import WarmUp, WorkoutDay
from content.task import Task
from content.timing import warm_up_s
from content.workout import Intervals

# Common practice, no source: ten seconds to put the phone down, three ticks before each start.
LEAD_IN_S = 10
TICKS = 3
TAIL_S = 2  # so that the last cue is heard to its end
_ROOM_FOR_TICKS_S = 5  # a shorter pause has no ticks in it
_SHORTEST_FOR_HALF_S = 120  # below, halfway is as good as the end
_LAST_S = 60
MOST_MARKS = 60


class Cue(StrEnum):
    """What a cue means. Each has a sound of its own, shorter than a second."""

    TICK = "tick"  # a start or the end is three, two, one seconds away
    BEGIN = "begin"  # the next warm-up movement
    CHANGE = "change"  # this movement or interval is over: move on, or rest
    START = "start"  # the workout, or its next interval
    HALF = "half"
    LAST_MINUTE = "last_minute"
    PACE = "pace"  # at an even pace this round would be done now
    END = "end"


@dataclass(frozen=True, slots=True)
class Mark:
    """A cue, so many seconds after the beginning."""

    at_s: int
    cue: Cue


@dataclass(frozen=True, slots=True)
class Track:
    """All cues in order, at most one in a second, and the length with the tail."""

    marks: tuple[Mark, ...]
    length_s: int
    starts_at_s: int  # of the workout


# Where two cues fall on one second the one further left is heard.
_WEIGHT = (
    *(Cue.END, Cue.START, Cue.BEGIN, Cue.CHANGE),
    *(Cue.LAST_MINUTE, Cue.HALF, Cue.TICK, Cue.PACE),
)


def day_track(day: WorkoutDay, *, pace_s: Sequence[int] = ()) -> Track:
    """Put the cues of a day in order.

    Args:
        day: Its warm-up comes first, then the workout. A workout without a clock of its own has
            its start and nothing more.
        pace_s: Seconds into the workout at which a pace cue is wanted, as `even_pace` gives them.
    """
    timed = day.warm_up
    starts_at = LEAD_IN_S + warm_up_s(
        len(timed.movements), work_s=timed.work_s, move_on_s=timed.move_on_s
    )
    marks = [*_warm_up(timed), *_workout(day, starts_at)]
    ends_at = max(mark.at_s for mark in marks)
    marks += [Mark(starts_at + at, Cue.PACE) for at in pace_s if 0 < at < ends_at - starts_at]
    return Track(_one_a_second(marks), ends_at + TAIL_S, starts_at)


def _warm_up(warm_up: WarmUp) -> Iterator[Mark]:
    yield from _ticks(LEAD_IN_S, LEAD_IN_S)
    at = LEAD_IN_S
    for number in range(len(warm_up.movements)):
        if number > 0:
            yield from _ticks(at, warm_up.move_on_s)
        yield Mark(at, Cue.BEGIN)
        yield Mark(at + warm_up.work_s, Cue.CHANGE)
        at += warm_up.work_s + warm_up.move_on_s
    yield from _ticks(at, warm_up.move_on_s)  # the last way is the one to the workout


def _workout(day: WorkoutDay, starts_at: int) -> Iterator[Mark]:
    workout = day.workout
    if workout.intervals is not None:
        yield from _intervals(workout.intervals, starts_at)
        return
    yield Mark(starts_at, Cue.START)
    length = workout.window_s or workout.cap_s
    if length is None:
        return
    if length >= _SHORTEST_FOR_HALF_S:
        yield Mark(starts_at + length // 2, Cue.HALF)
    if length > _LAST_S:
        yield Mark(starts_at + length - _LAST_S, Cue.LAST_MINUTE)
    yield from _ticks(starts_at + length, length)
    yield Mark(starts_at + length, Cue.END)


def _intervals(intervals: Intervals, starts_at: int) -> Iterator[Mark]:
    """Cue each interval's start and rest; after the last one there is nothing to rest for."""
    at = starts_at
    for number in range(1, intervals.rounds + 1):
        if number > 1:
            yield from _ticks(at, intervals.rest_s or intervals.work_s)
        yield Mark(at, Cue.START)
        over = at + intervals.work_s
        if number == intervals.rounds:
            yield from _ticks(over, intervals.work_s)
            yield Mark(over, Cue.END)
        elif intervals.rest_s > 0:
            yield Mark(over, Cue.CHANGE)
        at = over + intervals.rest_s


def _ticks(before_s: int, room_s: int) -> Iterator[Mark]:
    """Tick in the seconds before an instant, if the stretch that ends there has room for it."""
    if room_s >= _ROOM_FOR_TICKS_S:
        yield from (Mark(before_s - left, Cue.TICK) for left in range(TICKS, 0, -1))


def _one_a_second(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    kept: dict[int, Mark] = {}
    for mark in sorted(marks, key=lambda mark: (mark.at_s, _WEIGHT.index(mark.cue))):
        kept.setdefault(mark.at_s, mark)
    return tuple(kept.values())


def even_pace(task: Task, rounds: int) -> tuple[int, ...]:
    """Give when each round ends at an even pace, if the last of `rounds` ends with the clock.

    A round's share of the clock is its share of the work, in seconds at each movement's quickest
    pace; so a round of fewer repetitions is shorter.

    Returns:
        Seconds into the workout, the last round left out (the end has its own cue); nothing where
        the workout has no clock, no rounds, or not so many.

    Source: common practice, no source.
    """
    clock_s = task.workout.window_s or task.workout.cap_s
    if task.steps is None or clock_s is None or task.workout.intervals is not None:
        return ()
    most = task.steps.rounds
    if not 1 < rounds <= MOST_MARKS or (most is not None and most < rounds):
        return ()
    work = [task.fastest_s(task.steps.through(n)) for n in range(1, rounds + 1)]
    return tuple(round(clock_s * done / work[-1]) for done in work[:-1])
