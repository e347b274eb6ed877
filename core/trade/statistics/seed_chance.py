"""The chance that cells of seed give a number of plants, and the fewest that do.

Seeds are taken to be independent given the chance of one seed; that chance is a figure,
or a belief (Beta) when it rests on a small test.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from core.trade.statistics.intervals import Beta, beta_binomial_at_least, binomial_at_least

ASSURANCE = 0.90
"""Chance of reaching the number wanted; the default, chosen for a class (convention)."""

USUAL_SURVIVAL = 0.90
"""Seedlings that live from thinning to planting out: one lost in ten. From memory; no
published figure for mixed hands was found. A group's own record replaces it."""

TOLERANCE = 1e-9
"""A chance this close under the assurance counts as reaching it: 0.9 is reached by
1 - 0.1 although floating point may say less."""

MAX_CELLS = 100_000
_NODES = 64
_NUDGE = 1e-9


def cell_occupied(emergence: float | Beta, seeds_per_cell: int) -> float:
    """Return the chance that a cell of `seeds_per_cell` (>= 0) seeds shows a seedling.

    1 - (1 - g)^n, or under a belief 1 - B(a, b + n) / B(a, b).
    Raises ValueError when a figure lies outside 0..1. Source: elementary probability.
    Checked by: tests/reference/test_seed_sizes.py.
    """
    if seeds_per_cell < 0:
        raise ValueError(f"seeds per cell must be >= 0, got {seeds_per_cell}")
    if isinstance(emergence, Beta):
        a, b = emergence.a, emergence.b
        empty = math.exp(special.betaln(a, b + seeds_per_cell) - special.betaln(a, b))
        return 1.0 - empty
    _check_chance(emergence)
    return 1.0 - float((1.0 - emergence) ** seeds_per_cell)


def seeds_per_cell(emergence: float | Beta, assurance: float = ASSURANCE) -> int:
    """Return the fewest seeds for at least one seedling in a cell.

    Closed form for a figure: ceil(ln(1 - A) / ln(1 - g)), with a tolerance at exact
    boundaries; for a belief the first n that reaches it.

    Args:
        emergence: chance of one seed, 0 < g <= 1, or a belief about it.
        assurance: 0 < A < 1.
    Raises ValueError outside these ranges, or when no number up to `MAX_CELLS` does it.
    Checked by: tests/reference/test_seed_sizes.py.
    """
    _check_assurance(assurance)
    if isinstance(emergence, Beta):
        for count in range(1, MAX_CELLS):
            if cell_occupied(emergence, count) >= assurance - TOLERANCE:
                return count
        raise ValueError("no number of seeds fills a cell with that assurance")
    _check_chance(emergence)
    if emergence == 0:
        raise ValueError("seeds that never come up fill no cell")
    if emergence == 1:
        return 1
    exact = math.log1p(-assurance) / math.log1p(-emergence)
    return max(1, math.ceil(exact - TOLERANCE))


def chance_of_plants(
    plants: int,
    cells: int,
    emergence: float | Beta,
    *,
    per_cell: int = 1,
    survival: float = USUAL_SURVIVAL,
) -> float:
    """Return the chance that `cells` cells give at least `plants` plants to set out.

    For a figure each cell yields with s (1 - (1 - g)^n), binomial. For a belief that is
    averaged over the belief: exactly (beta-binomial) for one seed a cell without loss,
    else by Gauss-Jacobi quadrature at 64 nodes.

    Args:
        plants: wanted; count. cells: count, >= 0.
        emergence: chance of one seed, 0..1, or a belief about it.
        per_cell: seeds in each cell; count, >= 1.
        survival: chance from seedling to planting out; 0..1.
    Raises ValueError outside these ranges.
    Checked by: tests/reference/test_seed_sizes.py.
    """
    _check_chance(survival)
    if per_cell < 1 or cells < 0:
        raise ValueError(f"need per_cell >= 1 and cells >= 0, got {per_cell}, {cells}")
    if not isinstance(emergence, Beta):
        return binomial_at_least(plants, cells, survival * cell_occupied(emergence, per_cell))
    if per_cell == 1 and survival == 1:
        return beta_binomial_at_least(plants, cells, emergence)
    if plants <= 0:
        return 1.0
    if plants > cells:
        return 0.0
    chances, weights = _nodes(emergence)
    yields = survival * (1.0 - (1.0 - chances) ** per_cell)
    reached = special.betainc(plants, cells - plants + 1, yields)
    return float(min(1.0, weights @ reached))


def cells_needed(
    plants: int,
    emergence: float | Beta,
    *,
    per_cell: int = 1,
    survival: float = USUAL_SURVIVAL,
    assurance: float = ASSURANCE,
) -> int:
    """Return the fewest cells that give `plants` plants with the assurance.

    Args as `chance_of_plants`; plants >= 1, assurance 0 < A < 1.
    Raises ValueError outside these ranges, or when `MAX_CELLS` cells would not do.
    Source: binomial distribution, searched by doubling and halving (the chance rises
        with every cell). Checked by: tests/reference/test_seed_sizes.py.
    """
    _check_assurance(assurance)
    if plants < 1:
        raise ValueError(f"plants must be >= 1, got {plants}")

    def enough(cells: int) -> bool:
        chance = chance_of_plants(plants, cells, emergence, per_cell=per_cell, survival=survival)
        return chance >= assurance - TOLERANCE

    high = plants
    while not enough(high):
        high *= 2
        if high > MAX_CELLS:
            raise ValueError("no number of cells gives that many plants with that assurance")
    low = plants
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


@lru_cache(maxsize=64)
def _nodes(belief: Beta) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return chances and weights (summing to 1) that average over a belief."""
    a, b = belief.a, belief.b
    if abs(a + b - 1) < _NUDGE:
        b += _NUDGE  # the library's recurrence divides by a + b - 1
    places, weights = special.roots_jacobi(_NODES, b - 1, a - 1)
    return (places + 1) / 2, weights / weights.sum()


def _check_chance(chance: float) -> None:
    if not 0 <= chance <= 1:
        raise ValueError(f"a chance lies in 0..1, got {chance}")


def _check_assurance(assurance: float) -> None:
    if not 0 < assurance < 1:
        raise ValueError(f"assurance must lie between 0 and 1, got {assurance}")
