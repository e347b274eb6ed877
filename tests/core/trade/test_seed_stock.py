"""What is left of a lot, against a plain count in the hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.crops.table import crop_by_id
from core.trade.seed.stock import kept_amount, published_per_gram, stock_of

TOLD = st.tuples(st.just("told"), st.integers(0, 5000))
SOWN = st.tuples(st.just("sown"), st.integers(1, 200))


@given(st.lists(st.one_of(TOLD, SOWN), max_size=30), st.integers(0, 500))
def test_seeds_left_follow_what_was_told_and_sown(acts, first):
    """In the hand: telling sets the count, sowing takes from it; the lot keeps one total."""
    crop = crop_by_id("pepper")
    hand, sown = first, 0
    seeds, grams = kept_amount(crop, seeds=first, grams=None, sown=0)
    for what, n in acts:
        if what == "told":
            hand = n
            seeds, grams = kept_amount(crop, seeds=n, grams=None, sown=sown)
        else:
            hand, sown = hand - n, sown + n
        stock = stock_of(crop, seeds=seeds, grams=grams, sown=sown)
        assert stock is not None
        assert stock.seeds == max(0, hand)
        assert stock.over == max(0, -hand)


@given(st.integers(0, 300), st.integers(0, 300), st.integers(1, 900))
def test_a_weight_is_followed_by_the_published_seeds_a_gram(before, after, tenths):
    crop = crop_by_id("marigold")
    per = published_per_gram(crop)
    assert per is not None
    told = tenths / 10
    seeds, grams = kept_amount(crop, seeds=None, grams=told, sown=before)
    stock = stock_of(crop, seeds=seeds, grams=grams, sown=before + after)
    assert stock is not None
    assert stock.seeds is not None
    assert stock.seeds == pytest.approx(max(0.0, told * per - after), abs=0.51)
    assert stock.grams == pytest.approx(stock.seeds / per)


def test_a_packet_that_says_both_has_its_own_seeds_a_gram():
    crop = crop_by_id("basil")
    seeds, grams = kept_amount(crop, seeds=400, grams=0.5, sown=100)
    stock = stock_of(crop, seeds=seeds, grams=grams, sown=300)
    assert stock is not None
    assert stock.seeds == 200
    assert stock.grams == pytest.approx(0.25)


def test_a_figure_from_memory_turns_no_weight_into_seeds():
    published = crop_by_id("pepper")
    assert published_per_gram(published) == 165
    crop = replace(published, from_memory=("seeds_per_gram_min", "seeds_per_gram_max"))
    assert published_per_gram(crop) is None
    whole = stock_of(crop, seeds=None, grams=5.0, sown=0)
    assert whole is not None
    assert (whole.seeds, whole.grams) == (None, 5.0)
    begun = stock_of(crop, seeds=None, grams=5.0, sown=6)
    assert begun is not None
    assert (begun.seeds, begun.grams) == (None, None)
    ranged = replace(published, seeds_per_gram_min=100.0, seeds_per_gram_max=200.0)
    assert published_per_gram(ranged) == 150


def test_a_lot_without_an_amount_has_no_stock():
    assert stock_of(crop_by_id("pepper"), seeds=None, grams=None, sown=10) is None
