"""Laws of comparing two ways, and their cautions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.statistics.compare import (
    Caution,
    FinalResult,
    SpeedResult,
    compare_sowings,
    difference_interval,
    fisher_exact,
    noticeable_difference,
)
from core.trade.statistics.germination import GerminationCounts

pairs = st.tuples(st.integers(1, 80), st.integers(1, 80)).flatmap(
    lambda n: st.tuples(st.integers(0, n[0]), st.just(n[0]), st.integers(0, n[1]), st.just(n[1]))
)


def sowing(sown: int, *new: int, first_day: float = 4.0) -> GerminationCounts:
    return GerminationCounts(sown=sown, days=tuple(first_day + i for i in range(len(new))), new=new)


sowings = st.builds(
    lambda new, spare, day: sowing(sum(new) + spare, *new, first_day=day),
    st.lists(st.integers(0, 6), min_size=1, max_size=6),
    st.integers(1, 10),
    st.integers(2, 9),
)


@given(pairs)
def test_the_difference_lies_in_its_interval(table):
    got = difference_interval(*table)
    difference = table[0] / table[1] - table[2] / table[3]
    assert -1 <= got.low <= difference + 1e-12
    assert difference - 1e-12 <= got.high <= 1


@given(pairs)
def test_swapping_the_sides_turns_the_figures_round(table):
    swapped = (*table[2:], *table[:2])
    assert fisher_exact(*table) == pytest.approx(fisher_exact(*swapped))
    assert difference_interval(*table).low == pytest.approx(-difference_interval(*swapped).high)


@given(st.lists(sowings, min_size=1, max_size=3), st.lists(sowings, min_size=1, max_size=3))
def test_a_comparison_never_fails_and_mirrors(first, second):
    one, other = compare_sowings(first, second), compare_sowings(second, first)
    mirror = {
        FinalResult.FIRST_MORE: FinalResult.SECOND_MORE,
        FinalResult.SECOND_MORE: FinalResult.FIRST_MORE,
        FinalResult.NOT_SHOWN: FinalResult.NOT_SHOWN,
    }
    assert other.final is mirror[one.final]
    assert other.difference == pytest.approx(-one.difference)
    assert other.cautions == one.cautions
    assert 0 <= one.p_final <= 1


@given(st.integers(2, 200), st.integers(2, 200), st.floats(0.02, 0.98))
def test_more_seeds_notice_a_smaller_difference(n_1, n_2, share):
    few, many = noticeable_difference(n_1, n_2, share), noticeable_difference(n_1 + 5, n_2, share)
    if few is not None:
        assert many is not None
        assert many <= few + 1e-9
        assert 0 < few <= 1


def test_a_plain_difference_is_shown_with_its_direction():
    warm = [sowing(36, 0, 10, 15, 7), sowing(36, 2, 12, 15, 5)]
    cold = [sowing(36, 0, 0, 2, 8, 6, 2), sowing(36, 0, 0, 1, 9, 6, 1)]
    got = compare_sowings(warm, cold)
    assert got.final is FinalResult.FIRST_MORE
    assert got.speed is SpeedResult.FIRST_SOONER
    assert got.median_days == (6.0, 7.0)
    assert got.interval.low > 0
    assert not got.too_small
    assert Caution.ONE_SOWING_EACH not in got.cautions


def test_five_against_four_of_six_is_too_small_to_tell():
    got = compare_sowings([sowing(6, 2, 3)], [sowing(6, 2, 2)])
    assert got.final is FinalResult.NOT_SHOWN
    assert got.too_small
    assert got.cautions >= {Caution.WIDE_INTERVAL, Caution.FEW_SEEDLINGS, Caution.ONE_SOWING_EACH}


def test_three_seeds_a_side_cannot_show_anything():
    got = compare_sowings([sowing(3, 3)], [sowing(3, 0)])
    assert got.final is FinalResult.NOT_SHOWN
    assert Caution.CANNOT_SHOW in got.cautions
    assert got.noticeable is None
    assert got.speed is SpeedResult.UNKNOWN


def test_a_side_looked_at_less_long_is_pointed_out():
    got = compare_sowings([sowing(20, 5, 5)], [sowing(20, 2, 3, 4, 4)])
    assert Caution.STILL_COMING in got.cautions
    same = compare_sowings([sowing(20, 5, 5, 0, 0)], [sowing(20, 2, 3, 4, 4)])
    assert Caution.STILL_COMING not in same.cautions


def test_low_share_alone_is_not_slowness():
    """Same days, half the seed dead: the share differs, the speed of what came does not."""
    good, poor = [sowing(40, 10, 20, 10)] * 2, [sowing(80, 10, 20, 10)] * 2
    got = compare_sowings(good, poor)
    assert got.final is FinalResult.FIRST_MORE
    assert got.speed is SpeedResult.NOT_SHOWN
    assert got.all_seeds_test is not None
    assert got.all_seeds_test.p_value < 0.05


def test_a_side_without_sowings_and_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="side"):
        compare_sowings([], [sowing(3, 1)])
    with pytest.raises(ValueError, match="counts"):
        fisher_exact(4, 3, 0, 3)
    with pytest.raises(ValueError, match="counts"):
        difference_interval(0, 0, 1, 3)
