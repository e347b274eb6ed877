"""Exact tests of shares against scipy.stats and published intervals."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from core.trade.statistics.compare import difference_interval, fisher_exact, noticeable_difference
from core.trade.statistics.germination_standard import compare_with_standard

TABLES = [
    (up_1, n_1, up_2, n_2)
    for n_1, n_2 in ((1, 1), (5, 5), (10, 12), (24, 24), (72, 50))
    for up_1 in range(0, n_1 + 1, max(1, n_1 // 6))
    for up_2 in range(0, n_2 + 1, max(1, n_2 // 6))
]

# Newcombe 1998, Stat. Med. 17: 873-890, table II, method 10. Digits from memory.
NEWCOMBE = [
    ((56, 70, 48, 80), "0.0524", "0.3339"),
    ((9, 10, 3, 10), "0.1705", "0.8090"),
    ((6, 7, 2, 7), "0.0582", "0.8062"),
    ((5, 56, 0, 29), "-0.0381", "0.1926"),
    ((0, 10, 0, 20), "-0.1611", "0.2775"),
    ((0, 10, 0, 10), "-0.2775", "0.2775"),
    ((10, 10, 0, 20), "0.6791", "1.0000"),
    ((10, 10, 0, 10), "0.6075", "1.0000"),
]


@pytest.mark.parametrize("table", TABLES)
def test_fisher_s_p_value_is_that_of_scipy_stats(table):
    up_1, n_1, up_2, n_2 = table
    theirs = stats.fisher_exact([[up_1, n_1 - up_1], [up_2, n_2 - up_2]])
    assert fisher_exact(*table) == pytest.approx(theirs.pvalue, rel=1e-9)


@pytest.mark.parametrize(("table", "low", "high"), NEWCOMBE)
def test_the_interval_of_a_difference_is_the_published_one(table, low, high):
    got = difference_interval(*table)
    assert (f"{got.low:.4f}", f"{got.high:.4f}") == (low, high)


@pytest.mark.parametrize("n", [1, 10, 24, 50, 400])
@pytest.mark.parametrize("minimum", [0.5, 0.55, 0.75, 0.85])
def test_the_standard_is_held_to_by_scipy_s_binomial_test(n, minimum):
    for up in range(0, n + 1, max(1, n // 8)):
        got = compare_with_standard(up, n, minimum)
        less = stats.binomtest(up, n, minimum, alternative="less").pvalue
        more = stats.binomtest(up, n, minimum, alternative="greater").pvalue
        assert got.p_below == pytest.approx(less, rel=1e-9)
        assert got.p_above == pytest.approx(more, rel=1e-9)


@pytest.mark.parametrize(("n", "minimum"), [(24, 0.75), (50, 0.55), (400, 0.80)])
def test_a_lot_at_the_noticeable_share_is_shown_four_times_in_five(n, minimum):
    got = compare_with_standard(n, n, minimum)
    power = stats.binom.cdf(got.shown_below_at, n, got.noticeable)
    assert power == pytest.approx(0.80, abs=1e-6)
    assert stats.binom.cdf(got.shown_below_at, n, minimum) <= 0.05
    assert stats.binom.cdf(got.shown_below_at + 1, n, minimum) > 0.05


def exact_power(n_1: int, n_2: int, p: float, q: float) -> float:
    first = stats.binom.pmf(np.arange(n_1 + 1), n_1, p)
    second = stats.binom.pmf(np.arange(n_2 + 1), n_2, q)
    return sum(
        first[a] * second[b]
        for a in range(n_1 + 1)
        for b in range(n_2 + 1)
        if first[a] * second[b] > 1e-9 and fisher_exact(a, n_1, b, n_2) <= 0.05
    )


@pytest.mark.parametrize(("n_1", "n_2"), [(12, 12), (24, 24), (24, 48), (50, 50)])
@pytest.mark.parametrize("share", [0.3, 0.5, 0.75])
def test_the_noticeable_difference_is_shown_about_four_times_in_five(n_1, n_2, share):
    """Exact power by enumeration; the stated figure rests on an approximation."""
    difference = noticeable_difference(n_1, n_2, share)
    assert difference is not None
    angle = 2 * np.arcsin(np.sqrt(share))

    def pair(reach):
        low = min(max(angle - reach / 2, 0), np.pi - reach)
        return np.sin(low / 2) ** 2, np.sin((low + reach) / 2) ** 2

    reaches = np.linspace(0.01, np.pi, 4000)
    low, high = min((pair(r) for r in reaches), key=lambda p: abs(p[1] - p[0] - difference))
    assert 0.74 <= exact_power(n_1, n_2, low, high) <= 0.88
