"""Pots: how much one holds, how many stand in a flat, the tray that is made for some."""

from __future__ import annotations

import math

from core.cells import MAX_COLS, MAX_ROWS
from core.group.garden import Garden

USUAL_MM = 76.2
"""Three-inch pots, where nobody said their size; common practice."""

ML_A_SQUARE_INCH = 29.6
"""A four-inch pot holds a pint, 473 ml (common practice); others of their top's area alike."""

FLAT_MM = (266.7, 520.7)
"""Inside of a standard flat, 10.5 x 20.5 in (TRAY-GEOM)."""

LEAST_MM, MOST_MM = 25.0, 400.0
"""Pots that plants are potted up into; from memory."""


def pot_ml(pot_mm: float) -> float:
    """Return what a pot of a width holds, ml."""
    inches = pot_mm / 25.4
    return ML_A_SQUARE_INCH * inches * inches


def pots_a_flat(pot_mm: float) -> int:
    """Return how many pots of a width stand in one tray place, at least one."""
    across, along = (max(1, math.floor(side / pot_mm + 1e-9)) for side in FLAT_MM)
    return across * along


def pots_grid(pots: int, pot_mm: float) -> tuple[int, int]:
    """Return rows and columns for so many pots: as wide as the flat is long, wider for many."""
    cols = min(MAX_COLS, max(1, math.floor(FLAT_MM[1] / pot_mm + 1e-9)))
    if pots > cols * MAX_ROWS:
        cols = min(MAX_COLS, math.ceil(pots / MAX_ROWS))
    return min(MAX_ROWS, math.ceil(pots / cols)), cols


def places_taken(garden: Garden, tray: str) -> int:
    """Return the tray places that a tray takes on its shelf: pots may need several."""
    found = garden.trays[tray]
    if found.pot_mm is None:
        return 1
    return max(1, math.ceil(found.cells / pots_a_flat(found.pot_mm)))
