"""Which weights there are to hold, and which of them is the next lighter one to offer."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from content.fields import Load
from content.movement import Kit
from content.units import grams_from_kg, grams_from_lb

# Kettlebells as sold, kg and lb. Trade practice, public size charts.
KETTLEBELLS = {
    "kg": "4 6 8 12 16 20 24 28 32 36 40 48",
    "lb": "9 13 18 26 35 44 53 62 70 80 88 106",
}
# Dumbbells as sold: small ones in small steps, then steps of 2.5 kg or 5 lb, and the sizes that
# they share with kettlebells. Common practice, no source.
DUMBBELLS = {
    "kg": "1 2 3 4 5 6 8 10 12 12.5 15 16 17.5 20 22.5 24 25 27.5 30 32 32.5 35 37.5 40 45 50",
    "lb": "3 5 8 10 12 15 20 25 30 35 40 45 50 55 60 65 70 75 80 85 90 95 100",
}
# A pack is filled with water bottles or books: every whole number. Common practice, no source.
BACKPACKS = {
    "kg": " ".join(map(str, range(1, 31))),
    "lb": " ".join(map(str, range(2, 67))),
}
_SOLD = {
    Kit.KETTLEBELL: KETTLEBELLS,
    Kit.DUMBBELL: DUMBBELLS,
    Kit.TWO_DUMBBELLS: DUMBBELLS,
    Kit.BACKPACK: BACKPACKS,
}
WEIGHTS = frozenset(_SOLD)
# A lighter load is this share of the load as written, or the nearest there is; above the highest
# share nobody feels a difference, below the lowest it is another workout. Common practice, no
# source.
SHARE, LOWEST_SHARE, HIGHEST_SHARE = 0.6, 0.35, 0.85


def sold(kit: Kit, unit: str) -> frozenset[int]:
    """Give the weights there are of a kind of kit, in grams, as written in `unit` (kg or lb)."""
    grams = grams_from_kg if unit == "kg" else grams_from_lb
    return frozenset(grams(Decimal(size)) for size in _SOLD[kit][unit].split())


def lighter_load(load: Load, kits: Iterable[Kit]) -> Load | None:
    """Give the lighter load to offer instead.

    Args:
        load: As written; pieces and unit stay.
        kits: Every kind of kit that holds this load on the day. A weight that exists as each of
            them is taken where there is one, so that people need no more weights than before.

    Returns:
        The load, or None if nothing lighter is sold that would do.
    """
    choices = [sold(kit, load.unit) for kit in kits if kit in _SOLD]
    choices = choices or [sold(Kit.DUMBBELL, load.unit)]
    shared = frozenset.intersection(*choices)
    for weights in (shared, choices[0]):
        fitting = [
            grams for grams in weights if LOWEST_SHARE <= grams / load.grams <= HIGHEST_SHARE
        ]
        if fitting:
            # Of two as near the heavier one: it is the smaller change.
            best = min(fitting, key=lambda grams: (abs(grams - SHARE * load.grams), -grams))
            return load.model_copy(update={"grams": best})
    return None
