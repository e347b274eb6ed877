"""Laws and boundaries of lot viability."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.seed.lots import (
    AGED_SHARE,
    GerminationBasis,
    HomeTest,
    LotAdvice,
    aged_germination,
    lot_viability,
)

proportions = st.floats(0.05, 0.98)


def lot(*, label=None, standard=0.75, age=1.0, life=4.0, tests=()):
    return lot_viability(
        label=label,
        standard=standard,
        age_years=age,
        storage_years=life,
        tests=tuple(HomeTest(sprouted=k, seeds=n, years_ago=y) for k, n, y in tests),
    )


@given(proportions, st.floats(1, 10))
def test_the_stated_share_is_left_at_the_end_of_the_storage_life(first, life):
    left = aged_germination(first, life, first=first, storage_years=life)
    assert left == pytest.approx(AGED_SHARE * first)


@given(proportions, st.floats(0, 10), st.floats(0, 10), st.floats(1, 8))
def test_ageing_in_two_steps_is_ageing_in_one(first, one, two, life):
    whole = aged_germination(first, one + two, first=first, storage_years=life)
    half = aged_germination(first, one, first=first, storage_years=life)
    if half < 1e-6:
        return
    stepped = aged_germination(half, two, first=first, storage_years=life)
    assert stepped == pytest.approx(whole, abs=1e-9)


@given(proportions, st.floats(0, 15), st.floats(0, 5))
def test_older_is_never_better(first, age, more):
    young, old = lot(label=first, age=age), lot(label=first, age=age + more)
    assert old.belief.mean <= young.belief.mean + 1e-9
    assert old.belief.weight <= young.belief.weight + 1e-9


@given(st.integers(0, 20), st.integers(1, 20), st.floats(0, 6))
def test_one_more_sprout_is_never_worse_news(k, n, age):
    k = min(k, n - 1)
    less, more = lot(age=age, tests=[(k, n, 0)]), lot(age=age, tests=[(k + 1, n, 0)])
    assert more.belief.mean > less.belief.mean
    assert 0 <= less.interval.low <= less.belief.mean <= less.interval.high <= 1


def test_a_test_today_adds_its_seeds_to_the_belief():
    tested, untested = lot(age=0, tests=[(7, 10, 0)]), lot(age=0)
    assert (untested.belief.a, untested.belief.b) == pytest.approx((8.75, 1.25))
    assert (tested.belief.a, tested.belief.b) == pytest.approx((15.75, 4.25))
    assert tested.tested_seeds == 10


def test_a_test_of_last_year_counts_for_less_than_one_of_today():
    assert lot(tests=[(10, 10, 1)]).belief.mean < lot(tests=[(10, 10, 0)]).belief.mean


def test_fresh_seed_at_the_standard_is_sown_as_usual():
    got = lot(age=0)
    assert got.advice is LotAdvice.SOW_NORMAL
    assert got.basis is GerminationBasis.STANDARD
    assert got.seeds_per_cell == got.usual_seeds_per_cell == 2
    assert got.test_seeds is None


def test_old_seed_is_tested_first_and_then_believed():
    assert lot(age=4).advice is not LotAdvice.TEST_FIRST
    old = lot(age=4.5)
    assert (old.advice, old.test_seeds, old.past_storage) == (LotAdvice.TEST_FIRST, 10, True)
    assert lot(age=4.5, tests=[(10, 10, 0)]).advice is LotAdvice.SOW_NORMAL
    assert lot(age=4.5, tests=[(4, 10, 0)]).advice is LotAdvice.SOW_THICKER
    assert lot(age=4.5, tests=[(0, 10, 0)]).advice is LotAdvice.DISCARD


def test_seed_within_its_life_may_be_sown_thicker():
    got = lot(age=3)
    assert got.advice is LotAdvice.SOW_THICKER
    assert got.seeds_per_cell == 3


def test_seed_of_unknown_age_is_tested_first():
    assert lot(age=None).advice is LotAdvice.TEST_FIRST
    assert lot(age=None, tests=[(9, 10, 0)]).advice is LotAdvice.SOW_NORMAL


def test_one_bad_seed_or_two_throw_nothing_away():
    assert lot(age=1, tests=[(0, 2, 0)]).advice is not LotAdvice.DISCARD


def test_the_basis_is_the_best_figure_there_is():
    assert lot(label=0.9).basis is GerminationBasis.LABEL
    none = lot(standard=None, life=None)
    assert (none.basis, none.first) == (GerminationBasis.DEFAULT, 0.75)
    assert none.storage_assumed


@pytest.mark.parametrize(
    "call",
    [
        lambda: lot(label=0.0),
        lambda: lot(age=-1.0),
        lambda: lot(tests=[(11, 10, 0)]),
        lambda: aged_germination(0.5, -1, first=0.8, storage_years=3),
    ],
)
def test_lots_that_cannot_be_are_refused(call):
    with pytest.raises(ValueError, match=r"germination|age|test"):
        call()


def test_a_half_life_from_storage_studies_outranks_the_storage_list():
    """Tomato of 12 years: 24 years to half (from memory of Priestley and others 1985)."""
    left = aged_germination(0.75, 24, first=0.75, storage_years=4, half_life_years=24)
    assert left == pytest.approx(0.375)
    twelve = aged_germination(0.75, 12, first=0.75, storage_years=4, half_life_years=24)
    assert 0.5 < twelve < 0.65
    assert aged_germination(0.75, 12, first=0.75, storage_years=4) < 0.15
