"""What days add up to: rest, jumps in load, weeks in which every day is alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from content.challenge import RestDay
from content.review.effort import EASY_EFFORT, HIGH_MONOTONY, WEEK, WeekLoad, week_load
from content.review.finding import Finding, Severity
from content.review.outlook import Expected, Outlook
from content.review.score_words import minutes

# Common practice, no source. The ratio of recent to longer load is not used as a measure of risk:
# random denominators do as well (Impellizzeri et al., Sports Med 2020).
BIG_JUMP = 2.0
BIG_JUMP_OF_A_WEEK = 1.5
_LEAST_DAYS_BEFORE = 2
# Beside a high monotony the hardest day is less than this many times the easiest: a week can have
# a high figure for want of a rest day only, and nobody would call its days alike.
ALIKE_WITHIN = 2.0


def rest_in_seven(outlook: Outlook) -> Iterator[Finding]:
    """Find seven days on end without a rest day or an easy one."""
    easy = [number for number in range(1, len(outlook.content.days) + 1) if _easy(outlook, number)]
    edges = [0, *easy, len(outlook.content.days) + 1]
    for before, after in pairwise(edges):
        if after - before > WEEK:
            yield Finding(
                "no-easy-day",
                Severity.LOOK_AT,
                f"Days {before + 1} to {after - 1} go by without a rest day or an easy one.",
                "Make one day in seven a rest day, or one that is only done or not done.",
                numbers={
                    "first_day": before + 1,
                    "last_day": after - 1,
                    "easy_up_to": EASY_EFFORT,
                },
            )


def _easy(outlook: Outlook, number: int) -> bool:
    if isinstance(outlook.content.days[number - 1], RestDay):
        return True
    return all(each.effort <= EASY_EFFORT for each in outlook.of_day(number))


def big_jumps(outlook: Outlook) -> Iterator[Finding]:
    """Find days far beyond every day before, and weeks far beyond the week before."""
    for number, _, divisions in outlook.workout_days():
        jumps = {each.division.id: _jump(outlook, each) for each in divisions}
        high = [name for name, jump in jumps.items() if jump > BIG_JUMP]
        if high:
            yield _jumped(outlook, number, high, jumps)
    weeks = list(outlook.weeks())
    for before, week in pairwise(weeks):
        yield from _jumped_week(outlook, before, week)


def _jump(outlook: Outlook, each: Expected) -> float:
    before = [load for load in outlook.loads(each.division.id, range(1, each.number)) if load]
    return each.load / max(before) if len(before) >= _LEAST_DAYS_BEFORE else 0.0


def _jumped(
    outlook: Outlook, number: int, high: Sequence[str], jumps: Mapping[str, float]
) -> Finding:
    most = max(high, key=lambda name: jumps[name])
    each = outlook.expected[number, most]
    return Finding(
        "big-jump",
        Severity.LOOK_AT,
        f"The day is far more than any day before it for {outlook.who(high)}: about "
        f"{jumps[most]:.1f} times the load ({minutes(each.lengths_s[1])} of work at an effort of "
        f"{each.effort} in 10).",
        "Build up to it over the days before, or offer a shorter way.",
        day=number,
        divisions=tuple(high),
        numbers={
            "times_the_most_before": round(jumps[most], 2),
            "load": round(each.load),
            "most_times": BIG_JUMP,
        },
    )


def _jumped_week(outlook: Outlook, before: range, week: range) -> Iterator[Finding]:
    jumps = {
        division.id: sum(outlook.loads(division.id, week))
        / (sum(outlook.loads(division.id, before)) or 1)
        for division in outlook.divisions
    }
    high = [name for name, jump in jumps.items() if jump > BIG_JUMP_OF_A_WEEK]
    if high:
        most = max(jumps[name] for name in high)
        yield Finding(
            "big-jump-of-a-week",
            Severity.LOOK_AT,
            f"Days {week[0]} to {week[-1]} are {most:.1f} times the load of the seven days before "
            f"them: {outlook.who(high)}.",
            "Add about a tenth to a quarter from week to week.",
            divisions=tuple(high),
            numbers={"times_the_week_before": round(most, 2), "most_times": BIG_JUMP_OF_A_WEEK},
        )


def week_loads(outlook: Outlook) -> Iterator[tuple[range, str, WeekLoad]]:
    """Give every whole week's load, division by division."""
    for week in outlook.weeks():
        for division in outlook.divisions:
            yield week, division.id, week_load(outlook.loads(division.id, week))


def varied_week(outlook: Outlook) -> Iterator[Finding]:
    """Find weeks in which every day is about as hard as the others."""
    for week in outlook.weeks():
        loads = {division: load for each, division, load in week_loads(outlook) if each == week}
        same = [name for name, load in loads.items() if load.total and load.monotony is None]
        alike = [
            name
            for name, load in loads.items()
            if (load.monotony or 0) > HIGH_MONOTONY and _alike(outlook.loads(name, week))
        ]
        span = f"Days {week[0]} to {week[-1]}"
        if same:
            yield Finding(
                "every-day-the-same",
                Severity.LOOK_AT,
                f"{span}: every day is the same load for {outlook.who(same)}.",
                "Make a day or two clearly easier, or rest.",
                divisions=tuple(same),
                numbers={"deviation": 0},
            )
        if alike:
            most = max(loads[name].monotony or 0 for name in alike)
            yield Finding(
                "days-much-alike",
                Severity.NOTE,
                f"{span}: the days are much alike for {outlook.who(alike)} (monotony {most:.1f}; "
                f"above {HIGH_MONOTONY:.0f} is usually called high).",
                "Make the hard days harder and a day or two clearly easier.",
                divisions=tuple(alike),
                numbers={"monotony": round(most, 2), "high_from": HIGH_MONOTONY},
            )


def _alike(loads: Sequence[float]) -> bool:
    worked = [load for load in loads if load]
    return max(worked) <= ALIKE_WITHIN * min(worked)
