"""Laws of intervals and beliefs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.statistics.intervals import (
    Beta,
    beta_binomial_at_least,
    beta_binomial_pmf,
    binomial_at_least,
    clopper_pearson_interval,
    jeffreys_interval,
    wilson_interval,
)

counts = st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
methods = st.sampled_from([wilson_interval, clopper_pearson_interval, jeffreys_interval])
weights = st.floats(0.2, 50)


@given(counts, methods, st.floats(0.05, 0.999))
def test_an_interval_stays_in_0_1_and_holds_the_share(count, method, level):
    k, n = count
    got = method(k, n, level=level)
    assert 0 <= got.low <= got.high <= 1
    if level >= 0.5:
        assert got.low <= k / n + 1e-12
        assert k / n - 1e-12 <= got.high


@given(counts, methods)
def test_turning_success_into_failure_mirrors_the_interval(count, method):
    k, n = count
    one, other = method(k, n), method(n - k, n)
    assert one.low == pytest.approx(1 - other.high, abs=1e-9)


@given(counts, methods, st.floats(0.1, 0.9), st.floats(0.01, 0.09))
def test_more_confidence_is_never_narrower(count, method, level, more):
    assert method(*count, level=level).width <= method(*count, level=level + more).width + 1e-12


@given(st.integers(0, 60), st.integers(0, 60), st.floats(0, 1))
def test_one_more_seed_never_lowers_the_chance(need, n, p):
    assert binomial_at_least(need, n, p) <= binomial_at_least(need, n + 1, p) + 1e-12
    assert binomial_at_least(need + 1, n, p) <= binomial_at_least(need, n, p) + 1e-12


@given(st.integers(0, 80), weights, weights)
def test_a_prediction_is_a_distribution_with_the_belief_s_mean(n, a, b):
    belief = Beta(a=a, b=b)
    pmf = beta_binomial_pmf(n, belief)
    assert pmf.sum() == pytest.approx(1, abs=1e-9)
    assert (pmf * range(n + 1)).sum() == pytest.approx(n * belief.mean, abs=1e-6)
    assert beta_binomial_at_least(0, n, belief) == 1
    assert beta_binomial_at_least(n + 1, n, belief) == 0


@given(st.floats(0.05, 0.95), st.floats(1, 100))
def test_a_belief_round_trips_through_mean_and_weight(mean, weight):
    belief = Beta.around(mean, weight)
    assert (belief.mean, belief.weight) == (pytest.approx(mean), pytest.approx(weight))
    assert belief.chance_below(belief.quantile(0.3)) == pytest.approx(0.3, abs=1e-6)


@pytest.mark.parametrize("method", [wilson_interval, clopper_pearson_interval, jeffreys_interval])
@pytest.mark.parametrize(("k", "n"), [(-1, 5), (6, 5), (0, 0)])
def test_counts_that_cannot_be_are_refused(method, k, n):
    with pytest.raises(ValueError, match="successes"):
        method(k, n)


def test_levels_and_weights_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="level"):
        wilson_interval(1, 2, level=1.0)
    with pytest.raises(ValueError, match="Beta"):
        Beta(a=0, b=1)
    with pytest.raises(ValueError, match="count"):
        Beta(a=1, b=1).after(3, 2)
    with pytest.raises(ValueError, match="binomial"):
        binomial_at_least(1, 2, 1.5)
