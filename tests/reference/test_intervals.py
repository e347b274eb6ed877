"""Intervals against published figures and scipy.stats."""

from __future__ import annotations

import pytest
from scipy import stats

from core.trade.statistics.intervals import (
    Beta,
    clopper_pearson_interval,
    jeffreys_interval,
    normal_quantile,
    wilson_interval,
)

# Newcombe 1998, Stat. Med. 17: 857-872, worked cases, methods 3 (Wilson) and 5
# (Clopper-Pearson). The paper's table was not opened: digits from memory.
NEWCOMBE = [
    (81, 263, "wilson", "0.2553", "0.3662"),
    (81, 263, "exact", "0.2527", "0.3676"),
    (15, 148, "wilson", "0.0624", "0.1605"),
    (15, 148, "exact", "0.0578", "0.1617"),
    (0, 20, "wilson", "0.0000", "0.1611"),
    (0, 20, "exact", "0.0000", "0.1684"),
    (1, 29, "wilson", "0.0061", "0.1718"),
    (1, 29, "exact", "0.0009", "0.1776"),
]
METHODS = {"wilson": wilson_interval, "exact": clopper_pearson_interval}
GRID = [(k, n) for n in (1, 2, 5, 10, 24, 72, 400) for k in range(0, n + 1, max(1, n // 12))]


@pytest.mark.parametrize(("k", "n", "method", "low", "high"), NEWCOMBE)
def test_published_limits_are_met_to_their_digits(k, n, method, low, high):
    got = METHODS[method](k, n)
    assert (f"{got.low:.4f}", f"{got.high:.4f}") == (low, high)


@pytest.mark.parametrize("level", [0.80, 0.95, 0.99])
@pytest.mark.parametrize(("k", "n"), GRID)
def test_wilson_and_exact_limits_are_those_of_scipy_stats(k, n, level):
    result = stats.binomtest(k, n)
    for method, name in ((wilson_interval, "wilson"), (clopper_pearson_interval, "exact")):
        ours = method(k, n, level=level)
        theirs = result.proportion_ci(confidence_level=level, method=name)
        assert ours.low == pytest.approx(theirs.low, abs=1e-9)
        assert ours.high == pytest.approx(theirs.high, abs=1e-9)


@pytest.mark.parametrize(("k", "n"), GRID)
def test_jeffreys_limits_are_quantiles_of_scipy_stats_beta(k, n):
    ours = jeffreys_interval(k, n)
    belief = stats.beta(k + 0.5, n - k + 0.5)
    assert ours.low == pytest.approx(0 if k == 0 else belief.ppf(0.025), abs=1e-9)
    assert ours.high == pytest.approx(1 if k == n else belief.ppf(0.975), abs=1e-9)


@pytest.mark.parametrize(
    ("prior", "k", "n", "mean", "low", "high"),
    [  # worked apart with scipy.stats.beta
        ((8, 2), 7, 10, 0.750000, 0.5443, 0.9085),
        ((7.5, 2.5), 3, 12, 0.477273, 0.2773, 0.6812),
        ((15, 5), 12, 24, 0.613636, 0.4673, 0.7502),
        ((16, 4), 0, 10, 0.533333, 0.3569, 0.7055),
    ],
)
def test_a_belief_after_a_test_has_the_worked_mean_and_interval(prior, k, n, mean, low, high):
    belief = Beta(a=prior[0], b=prior[1]).after(k, n)
    interval = belief.interval()
    assert belief.mean == pytest.approx(mean, abs=5e-7)
    assert interval.low == pytest.approx(low, abs=5e-5)
    assert interval.high == pytest.approx(high, abs=5e-5)


def test_the_normal_quantile_is_the_textbook_one():
    assert f"{normal_quantile(0.95):.6f}" == "1.959964"
