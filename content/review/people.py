"""The people the review imagines: how fast they move, how they tire, how long they pause.

Everybody in a division is drawn from the same spread of ability. Somebody who finds a division
too hard chooses another, so a movement of a division is about as hard for the people who do it as
the movement beside it is for the others.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from content.movement import Movement

    Seconds = NDArray[np.float64]

MANY = 2_000
SEED = 1


@dataclass(frozen=True, slots=True)
class Group:
    """What is assumed of a group of mixed abilities. Common practice, no source.

    Args:
        ability: Where the middle person stands between a movement's fastest pace (0) and its
            slowest (1), on a logarithmic scale.
        ability_spread: Standard deviation of that place from person to person.
        skill_spread: The same from movement to movement within a person.
        fatigue: 1 as usual, 0 for people who never tire.
        pauses: 1 as usual, 0 for people who never pause nor change places.
        own_spread: Standard deviation of the logarithm of a person's own fatigue and pauses.
    """

    ability: float = 0.55
    ability_spread: float = 0.14
    skill_spread: float = 0.07
    fatigue: float = 1.0
    pauses: float = 1.0
    own_spread: float = 0.3


USUAL = Group()
# All alike, tireless, without a pause: plain arithmetic on the ladder.
TIRELESS = Group(ability_spread=0, skill_spread=0, fatigue=0, pauses=0, own_spread=0)


@dataclass(frozen=True, eq=False)
class Athletes:
    """So many people of a group, one element of each array per person."""

    ability: Seconds
    fatigue: Seconds
    pauses: Seconds
    skill_spread: float
    seed: int

    def pace_s(self, movement: Movement) -> Seconds:
        """Give everybody's seconds per repetition or metre of a movement, rested."""
        fastest, slowest = movement.pace
        # Drawn from the movement's name: a person is the same in every division and on every day.
        own = np.random.default_rng([self.seed, crc32(movement.id.encode())])
        skill = own.normal(0, self.skill_spread, self.ability.size)
        place = np.clip(self.ability + skill, 0, 1)
        return np.asarray(fastest * (slowest / fastest) ** place)


def draw(group: Group = USUAL, *, many: int = MANY, seed: int = SEED) -> Athletes:
    """Draw people of a group; the same seed draws the same people."""
    random = np.random.default_rng(seed)
    return Athletes(
        ability=np.clip(random.normal(group.ability, group.ability_spread, many), 0, 1),
        fatigue=group.fatigue * np.exp(random.normal(0, group.own_spread, many)),
        pauses=group.pauses * np.exp(random.normal(0, group.own_spread, many)),
        skill_spread=group.skill_spread,
        seed=seed,
    )


def middle_person(group: Group = USUAL) -> Athletes:
    """Give the one person in the middle of a group."""
    return Athletes(
        ability=np.array([group.ability]),
        fatigue=np.array([group.fatigue]),
        pauses=np.array([group.pauses]),
        skill_spread=0.0,
        seed=SEED,
    )
