"""Laws of censored curves and of the log-rank test."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.statistics.survival import Span, Watched, kaplan_meier, log_rank, turnbull_curve

spans = st.lists(
    st.builds(
        lambda low, gap, n: Span(after_day=low, by_day=low + gap, seeds=n),
        st.integers(0, 12),
        st.one_of(st.integers(1, 5), st.just(math.inf)),
        st.integers(1, 6),
    ),
    min_size=1,
    max_size=8,
)
seeds = st.lists(
    st.builds(Watched, day=st.integers(1, 15), up=st.booleans(), seeds=st.integers(1, 5)),
    max_size=8,
)


@given(spans)
def test_a_curve_is_a_distribution_that_only_rises(given_spans):
    curve = turnbull_curve(given_spans)
    assert sum(step.share for step in curve.steps) + curve.never == pytest.approx(1)
    for before, after in zip(range(20), range(1, 21), strict=True):
        early, late = curve.share_up_by(before), curve.share_up_by(after)
        assert early.low <= late.low + 1e-12
        assert early.high <= late.high + 1e-12
        assert 0 <= early.low <= early.high <= 1


def test_overlapping_spans_share_their_mass_where_they_agree():
    # One seed in (0,2], one in (1,3]: both can lie in (1,2], so all mass does.
    curve = turnbull_curve([Span(after_day=0, by_day=2), Span(after_day=1, by_day=3)])
    assert [(s.after_day, s.by_day) for s in curve.steps] == [(1, 2)]
    assert curve.steps[0].share == pytest.approx(1)


def test_a_known_day_is_not_inside_a_span_that_opens_on_it():
    curve = turnbull_curve([Span(after_day=3, by_day=3), Span(after_day=3, by_day=5)])
    assert curve.share_up_by(3).high == pytest.approx(0.5)
    assert curve.days_to_share(0.5) == (3, 3)
    assert curve.days_to_share(1.0) == (3, 5)


def test_seeds_never_seen_stay_out_of_the_share():
    curve = turnbull_curve(
        [Span(after_day=2, by_day=4, seeds=3), Span(after_day=4, by_day=math.inf)]
    )
    assert curve.never == pytest.approx(0.25)
    assert curve.days_to_share(0.9) is None


@given(seeds, seeds)
def test_swapping_the_sets_changes_nothing(first, second):
    one, other = log_rank(first, second), log_rank(second, first)
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert one.p_value == pytest.approx(other.p_value)
        assert 0 <= one.p_value <= 1


@given(seeds)
def test_a_set_against_itself_shows_nothing(first):
    got = log_rank(first, first)
    if got is not None:
        assert got.statistic == pytest.approx(0, abs=1e-18)
        assert got.p_value == pytest.approx(1)


@given(seeds)
def test_the_product_limit_stays_inside_its_interval(watched):
    for point in kaplan_meier(watched):
        assert 0 < point.share_up <= 1
        if point.interval is not None:
            assert 0 <= point.interval.low <= point.share_up <= point.interval.high <= 1


def test_an_empty_set_has_no_test_and_no_curve():
    assert log_rank([], [Watched(day=3, up=True)]) is None
    assert kaplan_meier([]) == ()
    with pytest.raises(ValueError, match="no seeds"):
        turnbull_curve([])
    with pytest.raises(ValueError, match="span"):
        Span(after_day=3, by_day=2)
    with pytest.raises(ValueError, match="watched"):
        Watched(day=0, up=True)
