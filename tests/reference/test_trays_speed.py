"""Speed by trays: against lifelines, and against simulated trays of no difference."""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest

from core.trade.statistics.survival import Watched, log_rank
from core.trade.statistics.trays_speed import Side, tray_log_rank

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pandas as pd
    from lifelines import CoxPHFitter

LAST_LOOK = 21


def drawn(
    rng: np.random.Generator, trays: int, seeds: int, spread: float, *, slower: float = 1.0
) -> Side:
    """Return trays whose seeds come up on log-normal days; `spread` is the trays' own, in logs."""
    side = []
    for _ in range(trays):
        middle = math.log(8 * slower) + spread * rng.standard_normal()
        days = np.exp(middle + 0.25 * rng.standard_normal(seeds))
        up = rng.random(seeds) < 0.8
        seen = np.ceil(days)
        side.append(
            [
                Watched(day=float(day), up=True)
                if came and day <= LAST_LOOK
                else Watched(day=float(LAST_LOOK), up=False)
                for day, came in zip(seen, up, strict=True)
            ]
        )
    return side


def flat(side: Side) -> list[Watched]:
    return [seed for tray in side for seed in tray]


def test_the_numerator_is_that_of_the_log_rank_test() -> None:
    rng = np.random.default_rng(3)
    first, second = drawn(rng, 3, 24, 0.2), drawn(rng, 4, 24, 0.2)
    got, plain = tray_log_rank(first, second), log_rank(flat(first), flat(second))
    assert got is not None
    assert plain is not None
    assert got.observed_first == plain.observed_first
    assert got.expected_first == pytest.approx(plain.expected_first, rel=1e-12)


def test_many_trays_give_the_clustered_test_of_lifelines() -> None:
    """The robust Wald test of a Cox model by clusters; the two agree where trays are many."""
    rng = np.random.default_rng(5)
    first, second = drawn(rng, 60, 12, 0.15), drawn(rng, 60, 12, 0.15, slower=1.05)
    rows = [
        {"day": seed.day, "up": seed.up, "first": float(side == 0), "tray": 1000 * side + number}
        for side, trays in enumerate((first, second))
        for number, tray in enumerate(trays)
        for seed in tray
    ]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitted = CoxPHFitter().fit(pd.DataFrame(rows), "day", "up", cluster_col="tray", robust=True)
    got = tray_log_rank(first, second)
    assert got is not None
    wald = float(fitted.summary.loc["first", "z"])
    assert math.sqrt(got.statistic) == pytest.approx(abs(wald), rel=0.08)
    assert (got.observed_first > got.expected_first) == (wald > 0)


def test_a_way_that_is_slower_in_every_tray_is_found() -> None:
    rng = np.random.default_rng(9)
    got = tray_log_rank(drawn(rng, 5, 36, 0.1), drawn(rng, 5, 36, 0.1, slower=1.6))
    assert got is not None
    assert got.p_value < 0.01
    assert got.observed_first > got.expected_first


def test_two_trays_a_side_are_the_least() -> None:
    rng = np.random.default_rng(1)
    with pytest.raises(ValueError, match="two a side"):
        tray_log_rank(drawn(rng, 1, 12, 0.1), drawn(rng, 3, 12, 0.1))


def false_faster(trays: int, seeds: int, spread: float, runs: int) -> tuple[float, float]:
    """Return the shares called different: by trays, and with seeds taken as independent."""
    rng = np.random.default_rng(11)
    by_trays = by_seeds = 0
    for _ in range(runs):
        first, second = (drawn(rng, trays, seeds, spread) for _ in range(2))
        got, plain = tray_log_rank(first, second), log_rank(flat(first), flat(second))
        by_trays += got is not None and got.p_value <= 0.05
        by_seeds += plain is not None and plain.p_value <= 0.05
    return by_trays / runs, by_seeds / runs


CASES = [(2, 36, 0.2), (3, 24, 0.2), (4, 24, 0.1), (6, 24, 0.2), (6, 24, 0.0)]


@pytest.mark.parametrize(("trays", "seeds", "spread"), CASES)
def test_like_trays_are_seldom_called_faster(trays: int, seeds: int, spread: float) -> None:
    runs = 120
    by_trays, by_seeds = false_faster(trays, seeds, spread, runs)
    assert by_trays <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / runs)
    if spread >= 0.2:
        assert by_seeds > 0.08  # what taking seeds as independent says


@pytest.mark.bench
@pytest.mark.parametrize(("trays", "seeds", "spread"), CASES)
def test_like_trays_are_seldom_called_faster_in_many(trays: int, seeds: int, spread: float) -> None:
    runs = 2000
    rate, plain = false_faster(trays, seeds, spread, runs)
    print(f"{trays} trays of {seeds}, spread {spread}: {rate:.3f}, by seeds {plain:.3f}")  # noqa: T201
    assert rate <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / runs)
