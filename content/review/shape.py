"""The shape of a distribution, for charts: scores on a scale, and a smooth curve over it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from content import ladder as arithmetic
from content.review.simulation import Simulated
from content.score import FINISH, ScoreKind

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Scale = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Shape:
    """Everybody on the scale, from the worst to the best; larger is better.

    The scale is rounds with their fraction, minus seconds, or the amount. Those whom the cap
    stopped have no place on it.
    """

    scores: Simulated
    values: Scale

    def at(self, share: float) -> float | None:
        """Give the place of a share of all the people; None if the cap stopped them."""
        return _value(self.scores, self.scores.key_at(share))

    def heights(self, places: Scale) -> Scale:
        """Give the curve's height at some places, 1 at the highest of them.

        A sum of bells, as wide as suits so many people (Silverman's rule of thumb) and no
        narrower than what lies between two scores.
        """
        if not self.values.size:
            return np.zeros_like(places)
        spread = float(self.values.std()) or 1.0
        width = max(1.06 * spread * self.values.size**-0.2, 0.6 * self._least_step())
        bells = np.exp(-0.5 * ((places[:, None] - self.values[None, :]) / width) ** 2)
        curve = bells.sum(axis=1)
        tallest = float(curve.max())
        return np.asarray(curve / tallest if tallest > 0 else curve)

    def _least_step(self) -> float:
        rounds = self.scores.task.workout.score is ScoreKind.ROUNDS_AND_REPS
        return 0.0 if rounds else 1.0


def shape_of(scores: Simulated) -> Shape:
    """Put everybody on the scale."""
    places = (_value(scores, int(key)) for key in scores.keys)
    return Shape(scores, np.array([place for place in places if place is not None]))


def _value(scores: Simulated, key: int) -> float | None:
    task = scores.task
    match task.workout.score:
        case ScoreKind.TIME:
            time_s = FINISH - key
            return float(-time_s) if time_s < FINISH // 2 else None
        case ScoreKind.ROUNDS_AND_REPS if task.steps is not None:
            rounds, reps = arithmetic.split(task.steps, key)
            return rounds + reps / arithmetic.round_size(task.steps, rounds + 1)
        case _:
            return float(key)
