"""What a score can be, how it ranks, and its JSON form. Integers only, in the smallest unit."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, assert_never

from content.units import plain


class ScoreKind(StrEnum):
    """How a workout is scored; what the organiser writes after `score:`."""

    ROUNDS_AND_REPS = "rounds_and_reps"
    TIME = "time"
    TOTAL_REPS = "total_reps"
    LOWEST_ROUND = "lowest_round"
    HOLD = "hold"
    LOAD = "load"
    DISTANCE = "distance"
    DONE = "done"


class Unit(StrEnum):
    """Units of an amount as they stand in JSON."""

    REPS = "reps"
    SECONDS = "s"
    METRES = "m"
    KILOGRAMS = "kg"


AMOUNT_UNITS = {
    ScoreKind.TOTAL_REPS: Unit.REPS,
    ScoreKind.LOWEST_ROUND: Unit.REPS,
    ScoreKind.HOLD: Unit.SECONDS,
    ScoreKind.LOAD: Unit.KILOGRAMS,
    ScoreKind.DISTANCE: Unit.METRES,
}


@dataclass(frozen=True, slots=True)
class RoundsAndReps:
    """Whole rounds and repetitions of the next, with the total they make on that ladder."""

    rounds: int
    reps: int
    total_reps: int


@dataclass(frozen=True, slots=True)
class Finished:
    """The whole ladder, done in `time_s` seconds."""

    time_s: int


@dataclass(frozen=True, slots=True)
class Capped:
    """The cap came first, after `total_reps` repetitions."""

    total_reps: int


@dataclass(frozen=True, slots=True)
class Amount:
    """A bare number: repetitions, seconds, metres, or grams for a load.

    `total_reps` accompanies the lowest round when every round was told.
    """

    amount: int
    unit: Unit
    total_reps: int | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """The day was done; nothing is measured."""


Score = RoundsAndReps | Finished | Capped | Amount | Done

# Any finish beats any capped score; a billion seconds is longer than a challenge.
FINISH = 1_000_000_000


def rank_key(score: Score) -> int:
    """Give the integer that ranks a score within one day and division; larger is better."""
    match score:
        case RoundsAndReps(total_reps=total) | Capped(total_reps=total):
            return total
        case Finished(time_s=time_s):
            return FINISH - time_s
        case Amount(amount=amount):
            return amount
        case Done():
            return 1
        case _:
            assert_never(score)


def score_to_json(score: Score) -> dict[str, Any]:
    """Write a score as the `result` object of a reading; loads in kilograms."""
    match score:
        case RoundsAndReps():
            return {"rounds": score.rounds, "reps": score.reps, "total_reps": score.total_reps}
        case Finished():
            return {"time_s": score.time_s}
        case Capped():
            return {"capped": True, "total_reps": score.total_reps}
        case Amount():
            found: dict[str, Any] = {"amount": _amount_number(score), "unit": score.unit.value}
            return found if score.total_reps is None else found | {"total_reps": score.total_reps}
        case Done():
            return {"done": True}
        case _:
            assert_never(score)


def _amount_number(score: Amount) -> int | float:
    return kilograms(score.amount) if score.unit is Unit.KILOGRAMS else score.amount


def kilograms(grams: int) -> int | float:
    """Give grams as a JSON number of kilograms."""
    text = plain(Decimal(grams) / 1000)
    return float(text) if "." in text else int(text)


def score_from_json(found: dict[str, Any]) -> Score:
    """Read back what `score_to_json` wrote.

    Raises:
        ValueError: It is none of the forms, or not exactly one: half a repetition, another key.
    """
    score = _score_of(found)
    if score_to_json(score) != found:
        raise ValueError(f"no form of a score: {found}")
    return score


def _score_of(found: dict[str, Any]) -> Score:
    match found:
        case {"rounds": int(rounds), "reps": int(reps), "total_reps": int(total)}:
            return RoundsAndReps(rounds, reps, total)
        case {"time_s": int(time_s)}:
            return Finished(time_s)
        case {"capped": True, "total_reps": int(total)}:
            return Capped(total)
        case {"amount": int() | float() as amount, "unit": str(unit)}:
            grams = Unit(unit) is Unit.KILOGRAMS
            exact = int(Decimal(str(amount)) * 1000) if grams else int(amount)
            every = found.get("total_reps")
            return Amount(exact, Unit(unit), every if isinstance(every, int) else None)
        case {"done": True}:
            return Done()
        case _:
            raise ValueError(f"no form of a score: {found}")
