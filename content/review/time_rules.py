"""Does the day fit its time, does the clock fit the work, is it the same for every division?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

import numpy as np

from content import ladder as arithmetic
from content.review.finding import Finding, Severity, listed
from content.review.outlook import MOVING_ON_S, Expected, Outlook
from content.review.pace import expected_s
from content.review.people import draw
from content.review.score_words import clock, exactly, minutes, percent
from content.review.simulation import NotSimulated, Simulated, go_up, is_endless
from content.score import Finished, ScoreKind

# What most people keep free on a working day. Common practice, no source.
DAY_S = 45 * 60
SHORT_WARM_UP_S = 5 * 60  # common practice, no source
# Divisions are one stimulus if their times are within this of the longest. Common practice.
SAME_WITHIN = 0.15
MOST_ROUNDS = 15  # more are hard to count; common practice, no source
_NEARLY_ALL = 0.95
_CAP_UNUSED = 0.6


def fits_the_time(outlook: Outlook) -> Iterator[Finding]:
    """Find days that are longer than people have time for."""
    for number, _, divisions in outlook.workout_days():
        long = [each for each in divisions if each.session_s > DAY_S]
        if long:
            yield _too_long(outlook, number, long)


def _too_long(outlook: Outlook, number: int, long: Sequence[Expected]) -> Finding:
    longest = max(long, key=lambda each: each.session_s)
    names = [each.division.id for each in long]
    slow_s = longest.session_s - longest.lengths_s[1] + longest.lengths_s[2]
    slow, middle = minutes(slow_s), minutes(longest.session_s)
    slower = "" if slow == middle else f"; a slow quarter needs {slow} or more"
    cap = ", give it a cap" if longest.task.clock_s is None else ""
    return Finding(
        "day-too-long",
        Severity.LOOK_AT,
        f"The day takes {outlook.who(names)} about {middle} from warm-up to going home{slower}.",
        f"Say so the day before{cap}, or keep it within {minutes(DAY_S)}.",
        day=number,
        divisions=tuple(names),
        numbers={
            "session_s": round(longest.session_s),
            "slow_quarter_s": round(slow_s),
            "day_s": DAY_S,
            "moving_on_s": MOVING_ON_S,
        },
    )


def warm_up_long_enough(outlook: Outlook) -> Iterator[Finding]:
    """Find hard days with hardly any warm-up."""
    for number, _, divisions in outlook.workout_days():
        first = divisions[0]
        if first.warm_up_s < SHORT_WARM_UP_S and first.effort > 4:  # noqa: PLR2004 - an easy day
            yield Finding(
                "short-warm-up",
                Severity.LOOK_AT,
                f"The warm-up is over after {clock(first.warm_up_s)}, and the workout is hard.",
                f"Make it {minutes(SHORT_WARM_UP_S)} or more.",
                day=number,
                numbers={"warm_up_s": first.warm_up_s, "least_s": SHORT_WARM_UP_S},
            )


def clock_fits_the_work(outlook: Outlook) -> Iterator[Finding]:
    """Find windows and caps that are too short, or so long that they mean nothing."""
    for _, _, divisions in outlook.workout_days():
        simulated = [
            (each, each.scores) for each in divisions if isinstance(each.scores, Simulated)
        ]
        for each, scores in simulated:
            if each.task.workout.score is ScoreKind.ROUNDS_AND_REPS:
                yield from _rounds(each, scores)
            elif scores.capped_share > 0.5:  # noqa: PLR2004 - most
                yield _capped(each, scores)
        yield from _cap_unused(simulated)
        for each in divisions:
            if each.scores is NotSimulated.ENDLESS:
                yield _endless(each)


def _rounds(each: Expected, scores: Simulated) -> Iterator[Finding]:
    steps, name = each.task.steps, each.division.name
    if steps is None:
        return
    first, window = arithmetic.round_size(steps, 1), each.task.workout.window_s or 0
    missing = float(np.mean(scores.keys < first))
    if missing > 0.5:  # noqa: PLR2004 - most
        yield Finding(
            "no-whole-round",
            Severity.MUST_FIX if missing > _NEARLY_ALL else Severity.LOOK_AT,
            f"{name}: {percent(missing)} of the people do not finish one round in "
            f"{exactly(window)}; a round has {first} repetitions.",
            f"Make the rounds smaller: about {max(1, scores.key_at(0.5) // 3)} repetitions would "
            "give the middle person three.",
            day=each.number,
            divisions=(each.division.id,),
            numbers={
                "share_without_a_round": round(missing, 3),
                "round_reps": first,
                "window_s": window,
            },
        )
    rounds, _ = arithmetic.split(steps, scores.key_at(0.5))
    if rounds >= MOST_ROUNDS:
        yield Finding(
            "many-rounds-to-count",
            Severity.NOTE,
            f"{name}: half of the people do {rounds} rounds or more, and many will lose count.",
            "Make the rounds larger, or tell people how to keep count, such as a pebble a round.",
            day=each.number,
            divisions=(each.division.id,),
            numbers={"middle_rounds": rounds, "most_rounds": MOST_ROUNDS},
        )


def _capped(each: Expected, scores: Simulated) -> Finding:
    share, cap = scores.capped_share, each.task.workout.cap_s or each.task.workout.window_s or 0
    _, spent = go_up(each.task, draw(), None)
    enough = ceil(float(np.quantile(spent, 0.75)) / 60) * 60
    return Finding(
        "most-are-capped",
        Severity.MUST_FIX if share > _NEARLY_ALL else Severity.LOOK_AT,
        f"{each.division.name}: the clock stops {percent(share)} of the people at {exactly(cap)}, "
        "before the work is done.",
        f"A cap of {minutes(enough)} would let three of four finish; or do less work.",
        day=each.number,
        divisions=(each.division.id,),
        numbers={
            "capped_share": round(share, 3),
            "cap_s": cap,
            "enough_for_three_of_four_s": enough,
        },
    )


def _cap_unused(simulated: Sequence[tuple[Expected, Simulated]]) -> Iterator[Finding]:
    """Find a cap that is far away for the slow people of every division."""
    cap = simulated[0][0].task.workout.cap_s if simulated else None
    if cap is None:
        return
    slowest = max(float(np.quantile(scores.lengths_s, _NEARLY_ALL)) for _, scores in simulated)
    if slowest < _CAP_UNUSED * cap:
        yield Finding(
            "cap-far-away",
            Severity.NOTE,
            f"Slow people are done after about {minutes(slowest)}; the cap of {exactly(cap)} "
            "will stop nobody.",
            "A nearer cap tells people how long the day is.",
            day=simulated[0][0].number,
            numbers={"slow_s": round(slowest), "cap_s": cap},
        )


def _endless(each: Expected) -> Finding:
    return Finding(
        "too-much-work",
        Severity.MUST_FIX,
        f"{each.division.name}: there are thousands of rungs to go through.",
        "Look at the counts, the rounds and the window; one of them is probably a slip.",
        day=each.number,
        divisions=(each.division.id,),
    )


def same_for_every_division(outlook: Outlook) -> Iterator[Finding]:
    """Find days that are much shorter in one division than in another."""
    for number, _, divisions in outlook.workout_days():
        rounds = _rounds_to_compare(divisions)
        times = {each.division.id: _time_s(each, rounds) for each in divisions}
        known = {name: seconds for name, seconds in times.items() if seconds is not None}
        if not known or min(known.values()) >= (1 - SAME_WITHIN) * max(known.values()):
            continue
        longest, shortest = max(known.values()), min(known, key=lambda name: known[name])
        said = [f"{outlook.who([name])} {clock(seconds)}" for name, seconds in known.items()]
        short = outlook.who([shortest])
        more = longest / known[shortest] - 1
        what = "The work takes" if rounds is None else f"{_rounds_word(rounds)}"
        yield Finding(
            "divisions-differ-in-time",
            Severity.LOOK_AT,
            f"{what} {listed(said)}: {short} is {percent(1 - known[shortest] / longest)} shorter "
            "than the longest.",
            f"For the same effort give {short} about {_more(more)}; or say that it is meant to "
            "be shorter.",
            day=number,
            divisions=tuple(known),
            numbers={f"{name}_s": round(seconds) for name, seconds in known.items()},
        )


def _rounds_word(rounds: int) -> str:
    return "One round takes" if rounds == 1 else f"{rounds} rounds take"


def _more(share: float) -> str:
    return "twice the work" if share > 0.9 else f"{percent(share)} more work"  # noqa: PLR2004


def _rounds_to_compare(divisions: Sequence[Expected]) -> int | None:
    """Give the middle person's rounds in the first division; None where the work is fixed."""
    first = divisions[0]
    if first.task.steps is None or first.task.workout.score is not ScoreKind.ROUNDS_AND_REPS:
        return None
    if not isinstance(first.scores, Simulated):
        return 1
    rounds, _ = arithmetic.split(first.task.steps, first.scores.key_at(0.5))
    return max(1, rounds)


def _time_s(each: Expected, rounds: int | None) -> float | None:
    """Give the middle's time for the rounds, or for all of the work."""
    if is_endless(each.task):
        return None
    middle = each.scores.at(0.5) if isinstance(each.scores, Simulated) else None
    if isinstance(middle, Finished):
        return middle.time_s
    return expected_s(each.task, rounds)
