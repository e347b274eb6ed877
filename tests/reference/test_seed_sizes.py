"""Seeds per cell and cells needed against scipy.stats."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from core.trade.seed.amounts import cell_occupied, cells_needed, chance_of_plants, seeds_per_cell
from core.trade.statistics.intervals import Beta, beta_binomial_pmf, binomial_at_least

# ceil(ln(1 - A) / ln(1 - g)) worked by hand; several are exact boundaries
# (0.8 at 0.80, 0.9 at 0.90 and 0.99, 0.95 at 0.95).
PER_CELL = {
    0.55: (3, 3, 4, 6),
    0.60: (2, 3, 4, 6),
    0.70: (2, 2, 3, 4),
    0.75: (2, 2, 3, 4),
    0.80: (1, 2, 2, 3),
    0.90: (1, 1, 2, 2),
    0.95: (1, 1, 1, 2),
}
# (plants, chance of a cell, assurance, cells, chance there, chance one cell less),
# worked apart with scipy.stats.binom.
WORKED = [
    (10, 0.80, 0.90, 15, 0.938949, 0.870160),
    (10, 0.80, 0.95, 16, 0.973343, 0.938949),
    (20, 0.80, 0.95, 29, 0.950736, 0.909965),
    (24, 0.85, 0.95, 32, 0.958702, 0.917796),
    (50, 0.75, 0.90, 73, 0.919274, 0.887935),
    (50, 0.75, 0.95, 75, 0.960739, 0.943104),
    (72, 0.90, 0.95, 85, 0.957690, 0.925928),
    (1, 0.50, 0.95, 5, 0.968750, 0.937500),
    (6, 0.55, 0.90, 15, 0.923071, 0.881139),
    (12, 0.55, 0.95, 29, 0.951378, 0.930442),
]


@pytest.mark.parametrize(("g", "counts"), PER_CELL.items())
def test_seeds_per_cell_are_the_worked_ones_also_at_exact_boundaries(g, counts):
    assert tuple(seeds_per_cell(g, a) for a in (0.80, 0.90, 0.95, 0.99)) == counts


@pytest.mark.parametrize("g", [0.05, 0.2, 1 / 3, 0.5, 0.55, 0.68, 0.75, 0.9, 0.99])
@pytest.mark.parametrize("assurance", [0.5, 0.8, 0.9, 0.95, 0.99, 0.999])
def test_seeds_per_cell_are_the_first_to_reach_it_by_scipy_stats(g, assurance):
    reach = next(n for n in range(1, 400) if stats.binom.sf(0, n, g) >= assurance - 1e-9)
    assert seeds_per_cell(g, assurance) == reach


@pytest.mark.parametrize(("plants", "p", "assurance", "cells", "there", "less"), WORKED)
def test_cells_are_the_worked_ones(plants, p, assurance, cells, there, less):
    assert cells_needed(plants, p, survival=1, assurance=assurance) == cells
    assert chance_of_plants(plants, cells, p, survival=1) == pytest.approx(there, abs=5e-7)
    assert chance_of_plants(plants, cells - 1, p, survival=1) == pytest.approx(less, abs=5e-7)


@pytest.mark.parametrize("plants", [1, 2, 5, 12, 24, 40, 72, 150])
@pytest.mark.parametrize("p", [0.1, 0.3, 0.55, 0.75, 0.9, 0.97, 1.0])
@pytest.mark.parametrize("assurance", [0.5, 0.8, 0.9, 0.95, 0.99])
def test_cells_are_the_first_to_reach_it_by_scipy_stats(plants, p, assurance):
    n = np.arange(plants, 40 * plants + 200)
    first = int(n[np.argmax(stats.binom.sf(plants - 1, n, p) >= assurance - 1e-9)])
    assert cells_needed(plants, p, survival=1, assurance=assurance) == first


@pytest.mark.parametrize("n", [0, 1, 7, 24, 200])
@pytest.mark.parametrize("p", [0.0, 0.03, 0.5, 0.92, 1.0])
def test_binomial_tails_are_those_of_scipy_stats(n, p):
    for need in range(n + 2):
        assert binomial_at_least(need, n, p) == pytest.approx(
            stats.binom.sf(need - 1, n, p), abs=1e-12
        )


@pytest.mark.parametrize(
    ("g", "n", "cells"), [(0.75, 1, 32), (0.75, 2, 24), (0.75, 3, 21), (0.55, 2, 30), (0.55, 3, 25)]
)
def test_cells_for_20_occupied_at_95_percent(g, n, cells):
    """Worked apart with scipy.stats.binom."""
    assert cells_needed(20, g, per_cell=n, survival=1, assurance=0.95) == cells


def test_two_seeds_at_three_quarters_with_one_loss_in_ten_need_27_cells_for_20():
    """p = 0.9 x 0.9375 = 0.84375; worked apart with scipy.stats.binom."""
    assert cells_needed(20, 0.75, per_cell=2, survival=0.9, assurance=0.95) == 27


@pytest.mark.parametrize(("a", "b"), [(15, 5), (7.5, 2.5), (0.5, 0.5), (2, 9)])
@pytest.mark.parametrize("n", [1, 10, 60])
def test_predictions_are_those_of_scipy_stats_betabinom(a, b, n):
    ours = beta_binomial_pmf(n, Beta(a=a, b=b))
    assert ours == pytest.approx(stats.betabinom.pmf(range(n + 1), n, a, b), abs=1e-10)


@pytest.mark.parametrize(
    ("cells", "chance"),
    [
        (12, 0.43483),
        (13, 0.58684),
        (14, 0.70660),
        (15, 0.79537),
        (16, 0.85877),
        (17, 0.90305),
        (18, 0.93357),
        (20, 0.96869),
    ],
)
def test_ten_plants_under_a_belief_have_the_worked_chance(cells, chance):
    """Beta(15, 5), worked apart with scipy.stats.betabinom; 17 cells at 90 %, 19 at 95 %."""
    belief = Beta(a=15, b=5)
    assert chance_of_plants(10, cells, belief, survival=1) == pytest.approx(chance, abs=5e-6)
    assert cells_needed(10, belief, survival=1, assurance=0.90) == 17
    assert cells_needed(10, belief, survival=1, assurance=0.95) == 19


@pytest.mark.parametrize(("a", "b"), [(15, 5), (7.5, 2.5), (3, 7), (1, 1), (0.3, 0.7)])
@pytest.mark.parametrize(("per_cell", "survival"), [(1, 0.9), (2, 0.9), (3, 1.0), (5, 0.8)])
@pytest.mark.parametrize(("plants", "cells"), [(1, 1), (10, 14), (24, 31), (60, 80)])
def test_averaging_over_a_belief_is_the_integral_scipy_finds(
    a, b, per_cell, survival, plants, cells
):
    def integrand(g):
        p = survival * (1 - (1 - g) ** per_cell)
        return stats.binom.sf(plants - 1, cells, p) * stats.beta.pdf(g, a, b)

    whole, _ = integrate.quad(integrand, 0, 1, limit=200)
    got = chance_of_plants(plants, cells, Beta(a=a, b=b), per_cell=per_cell, survival=survival)
    assert got == pytest.approx(whole, abs=1e-6)


@pytest.mark.parametrize(("a", "b"), [(15, 5), (1, 1), (0.5, 2)])
@pytest.mark.parametrize("n", [0, 1, 2, 5])
def test_an_occupied_cell_under_a_belief_is_not_an_empty_one(a, b, n):
    expected = stats.betabinom.sf(0, n, a, b) if n else 0
    assert cell_occupied(Beta(a=a, b=b), n) == pytest.approx(expected, abs=1e-10)
