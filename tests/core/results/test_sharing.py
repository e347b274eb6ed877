"""Laws of sharing plants out, and how many are sure enough to live."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from core.results.sharing import Wanted, share_out, sure_to_live

wishes = st.lists(
    st.tuples(st.integers(0, 30), st.integers(0, 12)), min_size=0, max_size=12
).map(
    lambda pairs: [
        Wanted(key=f"k{n}", wished=wished, taken=taken, order=n)
        for n, (wished, taken) in enumerate(pairs)
    ]
)  # fmt: skip
untaken = wishes.map(
    lambda every: [Wanted(key=w.key, wished=w.wished, order=w.order) for w in every]
)


@given(st.integers(0, 200), wishes)
def test_never_more_than_there_is_and_nothing_vanishes(available, wanted):
    got = share_out(available, wanted)
    assert sum(part.now for part in got.parts) + got.surplus == available
    assert got.surplus >= 0
    assert all(part.now >= 0 for part in got.parts)


@given(st.integers(0, 200), wishes)
def test_nobody_gets_more_than_wished(available, wanted):
    by_key = {one.key: one for one in wanted}
    for part in share_out(available, wanted).parts:
        one = by_key[part.key]
        assert part.in_all == one.taken + part.now
        assert part.now == 0 or part.in_all <= one.wished


@given(st.integers(0, 200), wishes)
def test_plants_are_over_only_when_every_wish_is_met(available, wanted):
    got = share_out(available, wanted)
    if got.surplus:
        by_key = {one.key: one for one in wanted}
        assert all(part.in_all >= by_key[part.key].wished for part in got.parts)


@given(st.integers(0, 200), wishes, st.randoms(use_true_random=False))
def test_the_order_in_which_members_are_named_does_not_matter(available, wanted, rng):
    mixed = list(wanted)
    rng.shuffle(mixed)
    assert share_out(available, mixed) == share_out(available, wanted)


@given(st.integers(0, 200), untaken)
def test_who_wished_more_never_gets_less_and_equals_differ_by_one_at_most(available, wanted):
    got = {part.key: part.in_all for part in share_out(available, wanted).parts}
    for one in wanted:
        for other in wanted:
            if one.wished > other.wished:
                assert got[one.key] >= got[other.key]
            elif one.wished == other.wished:
                assert abs(got[one.key] - got[other.key]) <= 1


@given(st.integers(0, 200), untaken)
def test_everybody_has_the_equal_share_or_the_wish(available, wanted):
    if wanted:
        equal = available // len(wanted)
        by_key = {one.key: one for one in wanted}
        for part in share_out(available, wanted).parts:
            assert part.now >= min(equal, by_key[part.key].wished)


@given(st.integers(0, 60), untaken, st.integers(0, 11))
def test_taking_ones_part_changes_nobody_elses(available, wanted, which):
    got = share_out(available, wanted)
    if not got.parts:
        return
    taker = got.parts[which % len(got.parts)]
    after = [
        Wanted(
            key=w.key, wished=w.wished, taken=taker.now if w.key == taker.key else 0, order=w.order
        )
        for w in wanted
    ]
    again = share_out(available - taker.now, after)
    assert {p.key: p.in_all for p in again.parts} == {p.key: p.in_all for p in got.parts}
    assert again.surplus == got.surplus


def test_equal_first_then_by_wish_then_the_beds():
    wanted = [
        Wanted(key="ana", wished=12, order=0),
        Wanted(key="ben", wished=6, order=1),
        Wanted(key="cai", wished=3, order=2),
    ]
    got = {part.key: part.now for part in share_out(15, wanted).parts}
    # equal: 5, 5, 3; two are left, 7 and 1 still wished: 1.75 and 0.25
    assert got == {"ana": 7, "ben": 5, "cai": 3}
    assert share_out(30, wanted).surplus == 9


def test_an_equal_remainder_goes_to_the_earlier_wish():
    wanted = [Wanted(key="z", wished=3, order=0), Wanted(key="a", wished=3, order=1)]
    assert [part.now for part in share_out(3, wanted).parts] == [2, 1]


def test_who_took_more_than_a_share_leaves_the_rest_to_the_others():
    wanted = [Wanted(key="a", wished=12, taken=8), Wanted(key="b", wished=6, order=1)]
    got = {part.key: part.now for part in share_out(4, wanted).parts}
    assert got == {"a": 0, "b": 4}


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="once"):
        share_out(3, [Wanted(key="a", wished=1), Wanted(key="a", wished=2)])
    with pytest.raises(ValueError, match="plants"):
        share_out(-1, [])
    with pytest.raises(ValueError, match="plants"):
        Wanted(key="a", wished=-1)


@pytest.mark.parametrize("survival", [0.0, 0.5, 0.83, 0.9, 0.99, 1.0])
def test_the_number_sure_to_live_is_the_binomial_quantile(survival):
    rng = random.Random(7)
    for alive in (0, 1, 2, 5, 18, 24, rng.randrange(25, 400)):
        got = sure_to_live(alive, survival, 0.9)
        assert stats.binom.sf(got - 1, alive, survival) >= 0.9 - 1e-6
        if got < alive:
            assert stats.binom.sf(got, alive, survival) < 0.9
