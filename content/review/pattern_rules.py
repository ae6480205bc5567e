"""What the workouts load: is it warmed up, is it balanced, is it too much on neighbouring days?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from content import ladder as arithmetic
from content.challenge import WorkoutDay
from content.movement import CountUnit, Pattern
from content.review.finding import Finding, Severity, listed
from content.review.outlook import Expected, Outlook
from content.review.score_words import clock, minutes
from content.review.simulation import Simulated

# All of these are common practice, without a source.
LOADED_S = 30.0  # work from which a pattern wants to be warmed up
HARD_S = 150.0  # about 75 repetitions
HARD_OVER_DISTANCE_S = 20 * 60.0
UNBALANCED = 4.0
WORTH_BALANCING_S = 240.0
LEAST_DAYS_TO_BALANCE = 5

DOING = {
    Pattern.PUSH: "pushing",
    Pattern.PULL: "pulling",
    Pattern.SQUAT: "squatting",
    Pattern.LUNGE: "lunging or stepping up",
    Pattern.HINGE: "bending at the hips",
    Pattern.CORE: "work for the trunk",
    Pattern.JUMP: "jumping",
    Pattern.LOCOMOTION: "walking or running",
    Pattern.CARRY: "carrying",
}
# What also prepares for a pattern, beside movements of its own.
_PREPARED_BY = {
    Pattern.SQUAT: {Pattern.LUNGE},
    Pattern.LUNGE: {Pattern.SQUAT},
    Pattern.JUMP: {Pattern.SQUAT},
    Pattern.LOCOMOTION: {Pattern.JUMP},
    Pattern.CARRY: {Pattern.HINGE, Pattern.LOCOMOTION},
}
_TRY = {
    Pattern.PUSH: "arm circles and a few push-ups against a wall",
    Pattern.PULL: "arm swings or bent-over arm raises",
    Pattern.SQUAT: "a few slow air squats",
    Pattern.LUNGE: "a few slow reverse lunges",
    Pattern.HINGE: "hip hinges",
    Pattern.CORE: "dead bugs",
    Pattern.JUMP: "line hops or step jacks",
    Pattern.LOCOMOTION: "marching, then high knees",
    Pattern.CARRY: "hip hinges and marching",
}


def warm_up_covers(outlook: Outlook) -> Iterator[Finding]:
    """Find patterns that the workout loads and the warm-up leaves out."""
    for number, day, divisions in outlook.workout_days():
        prepared = _prepared(day, outlook)
        missing: dict[Pattern, list[Expected]] = defaultdict(list)
        for each in divisions:
            for pattern, seconds in _first_patterns(each).items():
                ready = {pattern} | _PREPARED_BY.get(pattern, set())
                if seconds >= LOADED_S and not ready & prepared:
                    missing[pattern].append(each)
        for pattern, lacking in missing.items():
            yield _not_warmed_up(number, pattern, lacking, outlook)


def _prepared(day: WorkoutDay, outlook: Outlook) -> set[Pattern]:
    movements = [outlook.content.movements[name] for name in day.warm_up.movements]
    return {pattern for each in movements for pattern in (each.pattern, *each.also)}


def _first_patterns(each: Expected) -> Mapping[Pattern, float]:
    """Give the work of each movement's own pattern only."""
    found: dict[Pattern, float] = defaultdict(float)
    for movement, seconds in zip(each.task.movements, each.rung_work_s, strict=True):
        found[movement.pattern] += seconds
    return found


def _not_warmed_up(
    number: int, pattern: Pattern, lacking: Sequence[Expected], outlook: Outlook
) -> Finding:
    names = [each.division.id for each in lacking]
    movements = {
        movement.plural: None
        for each in lacking
        for movement in each.task.movements
        if movement.pattern is pattern
    }
    seconds = max(_first_patterns(each)[pattern] for each in lacking)
    return Finding(
        "not-warmed-up",
        Severity.LOOK_AT,
        f"The warm-up has nothing for {DOING[pattern]}, which {outlook.who(names)} will do for "
        f"about {clock(seconds)} ({listed(list(movements))}).",
        f"Put in {_TRY[pattern]}.",
        day=number,
        divisions=tuple(names),
        numbers={"pattern": pattern.value, "work_s": round(seconds), "loaded_from_s": LOADED_S},
    )


def hard_two_days_running(outlook: Outlook) -> Iterator[Finding]:
    """Find patterns that are hard on a day and hard again on the next."""
    for number in range(2, len(outlook.content.days) + 1):
        before = {each.division.id: each.work_s for each in outlook.of_day(number - 1)}
        again: dict[Pattern, list[str]] = defaultdict(list)
        for each in outlook.of_day(number):
            for pattern in _hard(each.work_s) & _hard(before.get(each.division.id, {})):
                again[pattern].append(each.division.id)
        for pattern, names in sorted(again.items()):
            seconds = [
                max(outlook.expected[day, name].work_s[pattern] for name in names)
                for day in (number - 1, number)
            ]
            yield Finding(
                "hard-two-days-running",
                Severity.LOOK_AT,
                f"Much {DOING[pattern]} on day {number - 1} ({clock(seconds[0])}) and again on "
                f"day {number} ({clock(seconds[1])}): {outlook.who(names)}.",
                "Swap days, so that the same muscles have a day in between.",
                day=number,
                divisions=tuple(names),
                numbers={
                    "pattern": pattern.value,
                    "day_before_s": round(seconds[0]),
                    "day_s": round(seconds[1]),
                    "hard_from_s": _hard_from_s(pattern),
                },
            )


def _hard(work_s: Mapping[Pattern, float]) -> set[Pattern]:
    return {pattern for pattern, done in work_s.items() if done >= _hard_from_s(pattern)}


def _hard_from_s(pattern: Pattern) -> float:
    return HARD_OVER_DISTANCE_S if pattern is Pattern.LOCOMOTION else HARD_S


def balanced_week(outlook: Outlook) -> Iterator[Finding]:
    """Find weeks that push and do not pull, or bend the knees and not the hips."""
    for week in outlook.weeks(least=LEAST_DAYS_TO_BALANCE):
        work = {division.id: _week_s(outlook, division.id, week) for division in outlook.divisions}
        for one, other, words in (
            ({Pattern.PUSH}, {Pattern.PULL}, ("pushing", "pulling", "rows or arm raises")),
            ({Pattern.PULL}, {Pattern.PUSH}, ("pulling", "pushing", "push-ups")),
            (
                {Pattern.SQUAT, Pattern.LUNGE},
                {Pattern.HINGE},
                ("squats and lunges", "bending at the hips", "hip hinges or bridges"),
            ),
        ):
            sums = {
                name: (sum(done[p] for p in one), sum(done[p] for p in other))
                for name, done in work.items()
            }
            lacking = {
                name: pair
                for name, pair in sums.items()
                if pair[0] >= WORTH_BALANCING_S and pair[0] > UNBALANCED * pair[1]
            }
            if lacking:
                yield _unbalanced(outlook, week, lacking, words)


def _week_s(outlook: Outlook, division: str, week: range) -> Mapping[Pattern, float]:
    found: dict[Pattern, float] = defaultdict(float)
    for number in week:
        each = outlook.expected.get((number, division))
        for pattern, seconds in (each.work_s if each else {}).items():
            found[pattern] += seconds
    return found


def _unbalanced(
    outlook: Outlook,
    week: range,
    lacking: Mapping[str, tuple[float, float]],
    words: tuple[str, str, str],
) -> Finding:
    worst = max(lacking, key=lambda name: lacking[name][0] - UNBALANCED * lacking[name][1])
    much, little = lacking[worst]
    up_to = "up to " if len(lacking) > 1 else ""
    against = f"{clock(little)} of {words[1]}" if little else f"no {words[1]} at all"
    return Finding(
        "one-sided-week",
        Severity.NOTE if little else Severity.LOOK_AT,
        f"Days {week[0]} to {week[-1]}, {outlook.who(list(lacking))}: {up_to}{minutes(much)} of "
        f"work is {words[0]}, against {against}.",
        f"Give the next week more {words[1]}, such as {words[2]}.",
        divisions=tuple(lacking),
        numbers={
            "first_day": week[0],
            "last_day": week[-1],
            "much_s": round(much),
            "little_s": round(little),
        },
    )


def quick_reps(each: Expected) -> tuple[int, ...]:
    """Give the repetitions on each rung that a quick quarter does or exceeds; 0 where unknown."""
    done, steps = each.done, each.task.steps
    if done is None:
        return (0,) * len(each.task.rungs)
    if isinstance(each.scores, Simulated) and steps is None:
        quicker = each.scores.key_at(0.75) / max(1, each.scores.key_at(0.5))
        done = tuple(round(quicker * reps) for reps in done)
    elif isinstance(each.scores, Simulated) and steps is not None:
        whole = arithmetic.total_work(steps)
        key = each.scores.key_at(0.75)  # a finisher's key is more than the whole ladder
        done = arithmetic.done_per_rung(steps, key if whole is None else min(key, whole))
    counted = [movement.unit is CountUnit.REPS for movement in each.task.movements]
    return tuple(reps if counts else 0 for reps, counts in zip(done, counted, strict=True))
