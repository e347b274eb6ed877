"""Finding two sets of sowings, and how many seeds a trial takes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.results.trial import MOST_SEEDS, seeds_to_show
from core.trade.statistics.compare import noticeable_difference


@given(st.floats(0.05, 0.95), st.floats(0.1, 0.6))
def test_the_seeds_named_are_the_fewest_that_show_the_difference(share, difference):
    seeds = seeds_to_show(share, difference)
    assert seeds is not None
    least = noticeable_difference(seeds, seeds, share)
    assert least is not None
    assert least <= difference
    fewer = noticeable_difference(seeds - 1, seeds - 1, share) if seeds > 1 else None
    assert fewer is None or fewer > difference


def test_a_difference_too_small_for_any_trial_here_has_no_number():
    assert seeds_to_show(0.5, 0.005) is None


def test_a_fifth_more_takes_about_a_hundred_seeds_a_side():
    # 60 % against 80 %: 91 a side with the continuity correction at 5 % and 80 % power
    # (Fleiss 1981, tables of sample size for two proportions; from memory)
    seeds = seeds_to_show(0.7, 0.2)
    assert seeds == pytest.approx(91, abs=6)
    assert seeds < MOST_SEEDS
