"""How much water a cell takes when its mix is due for it."""

from __future__ import annotations

DOSE_SHARE = 0.3
"""Share of a cell's volume poured on at a watering. A mix holds 60 to 70 % of its volume when it
has drained (GG-KIM) and is due at about half of that; estimated."""


def dose_ml(cell_ml: float) -> float:
    """Return the water for one cell, ml; raise ValueError unless `cell_ml` > 0.

    Checked by: tests/core/trouble/test_own_figures.py.
    """
    if cell_ml <= 0:
        raise ValueError(f"a cell of {cell_ml} ml")
    return DOSE_SHARE * cell_ml
