"""How long seed keeps in ordinary store, and how age slows what still comes up."""

from __future__ import annotations

from core.trade.crops.table import crop_by_id

SLOWING = 0.3
"""Log of the days that one half-life in store adds to those of fresh seed. From memory: old seed
comes up later long before it fails."""

MOST_SLOWING = 0.6
"""Most log of days that age is taken to add. Own choice."""

USUAL_HALF_LIFE = 6.0
"""Years after which half of a good lot is dead where nothing is known of the kind: SEEDLIFE-REV,
abstract, gives 5 to 10 years at room conditions over its kinds; toward the short end, since sheds
and classrooms are warmer and damper than stores."""


def half_life(crop_id: str) -> tuple[float, bool]:
    """Return the years after which half of good seed is dead in ordinary store.

    And whether that is the kind's own figure.
    """
    years = crop_by_id(crop_id).seed_half_life_years
    return (USUAL_HALF_LIFE, False) if years is None else (years, True)


def slowing(crop_id: str, age_years: float) -> float:
    """Return the log of the days that age adds to a crop's emergence, >= 0."""
    return min(MOST_SLOWING, SLOWING * max(0.0, age_years) / half_life(crop_id)[0])
