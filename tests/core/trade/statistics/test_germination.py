"""Laws of the germination statistics and of the comparison with a minimum."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.statistics.germination import (
    GerminationCounts,
    germination_statistics,
    time_to_half,
)
from core.trade.statistics.germination_standard import Verdict, compare_with_standard
from core.trade.statistics.survival import kaplan_meier, turnbull_curve


@st.composite
def counts(draw, least=0):
    new = draw(
        st.lists(st.integers(0, 9), min_size=1, max_size=15).filter(lambda n: sum(n) >= least)
    )
    gaps = draw(st.lists(st.integers(1, 4), min_size=len(new), max_size=len(new)))
    days, day = [], 0
    for gap in gaps:
        day += gap
        days.append(float(day))
    spare = draw(st.integers(0, 20))
    return GerminationCounts(sown=max(1, sum(new) + spare), days=tuple(days), new=tuple(new))


@given(counts())
def test_no_counts_make_it_fail_and_intervals_hold_the_share(sample):
    final = germination_statistics(sample).final
    for interval in (final.wilson, final.jeffreys, final.exact):
        assert 0 <= interval.low <= final.percent / 100 <= interval.high <= 1


@given(counts(least=1))
def test_times_lie_between_the_first_and_the_last_day(sample):
    got = germination_statistics(sample)
    assert got.first_day - 1e-9 <= got.mean_days <= got.last_day + 1e-9
    for half in (got.t50_coolbear, got.t50_farooq):
        if half is not None:
            assert sample.days[0] <= half <= got.last_day
    assert (
        got.t50_coolbear is None or got.t50_farooq is None or (got.t50_farooq <= got.t50_coolbear)
    )


@given(counts(least=2))
def test_shares_of_shares_stay_in_range(sample):
    got = germination_statistics(sample)
    assert 0 <= got.synchrony <= 1
    assert got.uncertainty_bits >= 0
    assert got.rate_index * got.last_day >= sample.emerged - 1e-9
    assert got.velocity == pytest.approx(100 * got.mean_rate)


@given(counts(least=1), st.integers(1, 9))
def test_sowing_later_by_some_days_shifts_the_times_by_as_many(sample, later):
    moved = GerminationCounts(
        sown=sample.sown, days=tuple(d + later for d in sample.days), new=sample.new
    )
    before, after = germination_statistics(sample), germination_statistics(moved)
    assert after.mean_days == pytest.approx(before.mean_days + later)
    assert after.synchrony == before.synchrony
    if before.t50_farooq is not None:
        assert after.t50_farooq == pytest.approx(before.t50_farooq + later)


@given(counts())
def test_running_totals_round_trip(sample):
    sown_on = date(2031, 1, 1)
    dated = [
        (date.fromordinal(sown_on.toordinal() + int(day)), total)
        for day, total in zip(sample.days, sample.total, strict=True)
    ]
    assert GerminationCounts.from_totals(sown=sample.sown, sown_on=sown_on, totals=dated) == sample


@given(counts())
def test_the_censored_curve_ends_at_the_final_share(sample):
    curve = turnbull_curve(sample.spans())
    assert 1 - curve.never == pytest.approx(sample.emerged / sample.sown)
    points = kaplan_meier(sample.watched())
    if points:
        assert points[-1].share_up == pytest.approx(sample.emerged / sample.sown)
        assert all(a.share_up <= b.share_up for a, b in pairwise(points))


def test_nothing_up_leaves_everything_but_the_share_undefined():
    got = germination_statistics(GerminationCounts(sown=20, days=(3.0, 6.0), new=(0, 0)))
    assert got.final.percent == 0
    measures = [name for name in type(got).__dataclass_fields__ if name != "final"]
    assert all(getattr(got, name) is None for name in measures)
    assert germination_statistics(GerminationCounts(sown=20, days=(), new=())).mean_days is None


def test_one_seed_has_a_time_but_no_spread():
    got = germination_statistics(GerminationCounts(sown=9, days=(4.0, 5.0), new=(0, 1)))
    assert got.mean_days == 5
    spreads = (got.variance_days2, got.se_days, got.cv, got.synchrony, got.uniformity)
    assert spreads == (None,) * 5


def test_all_on_one_day_is_in_perfect_step():
    got = germination_statistics(GerminationCounts(sown=9, days=(3.0, 5.0), new=(0, 8)))
    assert got.synchrony == 1
    assert got.uncertainty_bits == 0
    assert got.uniformity is None


def test_more_than_half_at_the_first_look_leaves_the_half_time_unseen():
    sample = GerminationCounts(sown=20, days=(5.0, 6.0), new=(12, 3))
    assert germination_statistics(sample).t50_farooq is None
    assert time_to_half(sample, half=12) == 5.0
    assert time_to_half(sample, half=99) is None


@pytest.mark.parametrize(
    ("sown", "days", "new"),
    [
        (5, (1.0,), (6,)),
        (5, (0.0,), (1,)),
        (5, (2.0, 2.0), (1, 1)),
        (5, (1.0,), (-1,)),
        (0, (), ()),
        (5, (1.0, 2.0), (1,)),
    ],
)
def test_counts_that_cannot_be_are_refused(sown, days, new):
    with pytest.raises(ValueError, match=r"day|count"):
        GerminationCounts(sown=sown, days=days, new=new)


def test_a_falling_total_is_refused():
    totals = [(date(2031, 1, 5), 4), (date(2031, 1, 7), 3)]
    with pytest.raises(ValueError, match="counts"):
        GerminationCounts.from_totals(sown=9, sown_on=date(2031, 1, 1), totals=totals)


def test_18_of_24_is_no_evidence_of_a_bad_lot():
    for minimum in (0.75, 0.80, 0.85):
        assert compare_with_standard(18, 24, minimum).verdict is Verdict.CANNOT_TELL
    assert compare_with_standard(300, 400, 0.80).verdict is Verdict.BELOW


@given(st.integers(1, 120), st.floats(0.05, 0.95), st.data())
def test_the_stated_bad_count_is_where_the_verdict_turns(sown, minimum, data):
    emerged = data.draw(st.integers(0, sown))
    got = compare_with_standard(emerged, sown, minimum)
    below = got.shown_below_at is not None and emerged <= got.shown_below_at
    assert (got.verdict is Verdict.BELOW) == below
    if got.verdict is Verdict.BELOW:
        assert got.under
    if got.noticeable is not None:
        assert 0 <= got.noticeable <= minimum


def test_too_few_seeds_can_show_nothing_at_all():
    got = compare_with_standard(0, 2, 0.55)
    assert got.verdict is Verdict.CANNOT_TELL
    assert (got.shown_below_at, got.noticeable) == (None, None)
