"""How long work takes: pace, slowing down, breaks, changes of place. For one person or thousands.

Rested work `w` (seconds at somebody's own pace) takes longer the more was done before. The pace
falls with the logarithm of the work done, once for all work and once for the work of the same
pattern; the time is the integral of that, so it does not depend on how work is cut into parts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count as count_from
from typing import TYPE_CHECKING

import numpy as np

from content.movement import CountUnit, Movement, Pattern
from content.review.people import USUAL, Athletes, Group, middle_person
from content.task import Task
from content.workout import Rung

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from content.review.people import Seconds

    Whole = NDArray[np.int64]

# Fitted so that twice the running distance takes 2 to the power 1.06 times as long (Riegel,
# American Scientist 1981;69:285-290): 0.08 per e-fold of work, counted from the first minute.
TIRING_ALL = 0.08
TIRING_FROM_S = 60.0
# The same muscles again. Common practice, no source.
TIRING_SAME = 0.06
# After a rest of this many seconds 1/e of the fatigue is left. Common practice, no source.
RECOVERY_S = 90.0

# Seconds of work before people put in a break, and its length. Common practice, no source.
UNBROKEN_S = {
    Pattern.PUSH: 20.0,
    Pattern.PULL: 25.0,
    Pattern.SQUAT: 45.0,
    Pattern.LUNGE: 45.0,
    Pattern.HINGE: 40.0,
    Pattern.CORE: 30.0,
    Pattern.JUMP: 25.0,
}
BREAK_S = 10.0
# From one movement to the next, and more where something is picked up or put down. Common
# practice, no source.
CHANGE_S = 4.0
CHANGE_WITH_KIT_S = 7.0
# Calories on a machine: seconds for one, fastest and slowest. Common practice, no source.
CALORIE_S = (2.0, 8.0)
# Can be kept up for an hour without slowing down.
EASY = frozenset({"walk", "march"})


@dataclass(frozen=True, eq=False)
class Work:
    """What one repetition of a rung (as the ladder counts) costs everybody, rested."""

    each_s: Seconds
    pattern: Pattern
    tires: bool
    breaks: bool

    @property
    def same_tires(self) -> bool:
        """Whether the pattern's own work slows it down beside all the work."""
        return self.tires and self.pattern in UNBROKEN_S


@dataclass(frozen=True, eq=False)
class Tired:
    """What everybody has done so far: rested seconds of all work, and of each pattern."""

    overall_s: Seconds
    by_pattern_s: dict[Pattern, Seconds] = field(default_factory=dict)

    def of(self, pattern: Pattern) -> Seconds:
        """Give the work of one pattern."""
        return self.by_pattern_s.get(pattern, np.zeros_like(self.overall_s))

    def after(self, pattern: Pattern, more_s: Seconds) -> Tired:
        """Give what was done after so much work more."""
        mine = {**self.by_pattern_s, pattern: self.of(pattern) + more_s}
        return Tired(self.overall_s + more_s, mine)

    def rested(self, rest_s: float) -> Tired:
        """Give what is left of it after a rest."""
        left = np.exp(-rest_s / RECOVERY_S)
        mine = {pattern: done * left for pattern, done in self.by_pattern_s.items()}
        return Tired(self.overall_s * left, mine)


def nobody_tired(athletes: Athletes) -> Tired:
    """Give the state before anything was done."""
    return Tired(np.zeros_like(athletes.ability))


def work_of(rung: Rung, movement: Movement, athletes: Athletes) -> Work:
    """Give what a rung costs everybody for each repetition that it is worth."""
    pattern, easy = movement.pattern, movement.id in EASY
    if rung.unit is CountUnit.SECONDS or movement.unit is CountUnit.SECONDS:
        each = np.full_like(athletes.ability, float(rung.every or rung.seconds or 1))
        return Work(each, pattern, tires=False, breaks=False)
    if rung.unit is CountUnit.CALORIES:
        machine = movement.model_copy(update={"pace": CALORIE_S})
        return Work(athletes.pace_s(machine), pattern, tires=True, breaks=False)
    each = athletes.pace_s(movement)
    if rung.unit is CountUnit.METRES:
        metres = rung.every or rung.metres or 1
        return Work(each * metres, pattern, tires=not easy, breaks=False)
    breaks = movement.unit is CountUnit.REPS and pattern in UNBROKEN_S
    return Work(each, pattern, tires=not easy, breaks=breaks)


def takes_s(work: Work, done: Whole | int, tired: Tired, athletes: Athletes) -> Seconds:
    """Give how long everybody takes for so many repetitions in one go."""
    rested = done * work.each_s
    total = rested.astype(np.float64)
    if work.tires:
        slower = TIRING_ALL * _slowing(tired.overall_s, rested)
        if work.same_tires:
            slower = slower + TIRING_SAME * _slowing(tired.of(work.pattern), rested)
        total = total + athletes.fatigue * slower
    if work.breaks:
        breaks = np.maximum(0, rested / UNBROKEN_S[work.pattern] - 1)
        total = total + athletes.pauses * BREAK_S * breaks
    return total


def _slowing(before_s: Seconds, work_s: Seconds) -> Seconds:
    """Integrate ln(1 + w / TIRING_FROM_S) over the work."""
    return _area(before_s + work_s) - _area(before_s)


def _area(work_s: Seconds) -> Seconds:
    return (TIRING_FROM_S + work_s) * np.log1p(work_s / TIRING_FROM_S) - work_s


@dataclass(frozen=True, slots=True)
class Part:
    """One rung of one round: `count` repetitions after a change that takes `change_s`."""

    rung: int
    count: int
    change_s: float


def parts(task: Task, rounds: int | None = None) -> Iterator[Part]:
    """Go up a ladder, part by part; without end where the ladder has none.

    Args:
        task: With a ladder.
        rounds: Stop after so many; None goes to the end.
    """
    if task.steps is None:
        return
    last = task.steps.rounds if rounds is None else rounds
    before: Movement | None = None
    for number in count_from(1) if last is None else range(1, last + 1):
        for rung, reps in enumerate(task.steps.counts(number)):
            movement = task.movements[rung]
            yield Part(rung, reps, _change_s(before, movement))
            before = movement


def _change_s(before: Movement | None, after: Movement) -> float:
    if before is None or before.id == after.id:
        return 0.0
    return CHANGE_WITH_KIT_S if before.kit or after.kit else CHANGE_S


def expected_s(task: Task, rounds: int | None = None, *, group: Group = USUAL) -> float | None:
    """Give how long the middle person takes for so many rounds of a division's ladder.

    Args:
        task: One division's work.
        rounds: From the first; None for the whole ladder.
        group: Whose middle person it is.

    Returns:
        Seconds, or None where there is no ladder, or none with an end.
    """
    if task.steps is None or (rounds is None and task.steps.rounds is None):
        return None
    return sum(each for _, each in expected_parts(task, rounds, group=group))


def expected_parts(
    task: Task, rounds: int | None = None, *, group: Group = USUAL
) -> Iterator[tuple[Part, float]]:
    """Give every part with the middle person's seconds for it, the change before it included."""
    person = middle_person(group)
    works = [work_of(*pair, person) for pair in zip(task.rungs, task.movements, strict=True)]
    tired = nobody_tired(person)
    for part in parts(task, rounds):
        work = works[part.rung]
        change = person.pauses * part.change_s
        yield part, float((change + takes_s(work, part.count, tired, person))[0])
        tired = tired.after(work.pattern, part.count * work.each_s)


def rested_s(task: Task, done: tuple[int, ...], *, group: Group = USUAL) -> tuple[float, ...]:
    """Give the middle person's seconds of work on each rung, rested, without any pause."""
    person = middle_person(group)
    return tuple(
        reps * float(work_of(rung, movement, person).each_s[0])
        for rung, movement, reps in zip(task.rungs, task.movements, done, strict=True)
    )


def rung_s(rung: Rung, movement: Movement, *, group: Group = USUAL) -> float:
    """Give the middle person's seconds for a rung with a count, rested, without any pause."""
    work = work_of(rung, movement, middle_person(group))
    return rung.worth(rung.count or 0) * float(work.each_s[0])


def middle_pace_s(movement: Movement, *, group: Group = USUAL) -> float:
    """Give the middle person's seconds for one repetition or metre of a movement, rested."""
    return float(middle_person(group).pace_s(movement)[0])
