"""Are the intervals as sure as they say? Run with --bench. Windows: test_window_worlds.py."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from core.trade.statistics.intervals import (
    Beta,
    clopper_pearson_interval,
    jeffreys_interval,
    wilson_interval,
)

pytestmark = pytest.mark.bench

SOWINGS = 10_000

CHANCES = np.linspace(0.02, 0.98, 193)


def coverage(method, n):
    """Exact coverage over the grid of chances, by enumeration."""
    limits = [method(k, n) for k in range(n + 1)]
    low, high = (np.array([getattr(i, end) for i in limits]) for end in ("low", "high"))
    pmf = stats.binom.pmf(np.arange(n + 1)[:, None], n, CHANCES[None, :])
    inside = (low[:, None] <= CHANCES) & (high[:, None] >= CHANCES)
    return (pmf * inside).sum(axis=0)


@pytest.mark.parametrize("n", [10, 20, 24, 50, 72, 100, 400])
def test_the_intervals_cover_as_they_state(n):
    """Clopper-Pearson never under 95 %; Wilson and Jeffreys about 95 % on the average."""
    exact, wilson, jeffreys = (
        coverage(m, n) for m in (clopper_pearson_interval, wilson_interval, jeffreys_interval)
    )
    print(
        f"\nn {n}: exact mean {exact.mean():.4f} least {exact.min():.4f}; "
        f"Wilson mean {wilson.mean():.4f} least {wilson.min():.4f}; "
        f"Jeffreys mean {jeffreys.mean():.4f} least {jeffreys.min():.4f}"
    )
    assert exact.min() >= 0.95
    assert wilson.mean() == pytest.approx(0.95, abs=0.01)
    assert jeffreys.mean() == pytest.approx(0.95, abs=0.01)
    assert wilson.min() > 0.83
    assert jeffreys.min() > 0.83


@pytest.mark.parametrize(("a", "b"), [(7.5, 2.5), (15, 5), (2, 2)])
def test_a_belief_s_interval_covers_as_stated_when_lots_are_drawn_from_it(a, b):
    rng = np.random.default_rng(11)
    prior, inside = Beta(a=a, b=b), 0
    for _ in range(SOWINGS):
        chance, n = rng.beta(a, b), int(rng.integers(5, 40))
        interval = prior.after(int(rng.binomial(n, chance)), n).interval()
        inside += interval.low <= chance <= interval.high
    print(f"\nprior {a}, {b}: {100 * inside / SOWINGS:.2f} % inside")
    assert inside / SOWINGS == pytest.approx(0.95, abs=0.01)
