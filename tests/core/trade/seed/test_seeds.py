"""Laws of seeds per cell and cells needed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.trade.seed.amounts import (
    TOLERANCE,
    SizeReason,
    cell_occupied,
    cells_needed,
    chance_of_plants,
    seeds_per_cell,
    sowing_size,
)
from core.trade.statistics.intervals import Beta

chances = st.floats(0.05, 1)
beliefs = st.builds(Beta, a=st.floats(0.5, 40), b=st.floats(0.5, 40))
either = st.one_of(chances, beliefs)


@given(either, st.integers(1, 12))
def test_more_seeds_never_fill_fewer_cells(emergence, count):
    assert cell_occupied(emergence, count) <= cell_occupied(emergence, count + 1) + 1e-12


@given(either, st.integers(1, 60), st.integers(1, 90), st.integers(1, 5), st.floats(0.2, 1))
def test_more_seeds_or_cells_never_give_fewer_plants(emergence, plants, cells, per_cell, survival):
    def chance(cells, per_cell):
        return chance_of_plants(plants, cells, emergence, per_cell=per_cell, survival=survival)

    base = chance(cells, per_cell)
    assert 0 <= base <= 1
    assert base <= chance(cells + 1, per_cell) + 1e-9
    assert base <= chance(cells, per_cell + 1) + 1e-9


@given(chances, st.floats(0.05, 0.999))
def test_seeds_per_cell_reach_the_assurance_and_one_less_does_not(g, assurance):
    count = seeds_per_cell(g, assurance)
    assert cell_occupied(g, count) >= assurance - 1e-7
    assert count == 1 or cell_occupied(g, count - 1) < assurance


@settings(deadline=None)
@given(either, st.integers(1, 60), st.floats(0.3, 1), st.floats(0.5, 0.95))
def test_the_size_is_the_fewest_cells_for_every_option(emergence, plants, survival, assurance):
    try:
        size = sowing_size(plants, emergence, survival=survival, assurance=assurance)
    except ValueError:
        # A belief that seed may be dead leaves some assurances out of reach.
        assert isinstance(emergence, Beta)
        assert emergence.a < 2
        return
    assert size.chosen in size.alternatives
    for option in size.alternatives:
        assert option.cells >= plants
        assert option.seeds == option.cells * option.seeds_per_cell
        assert option.chance >= assurance - TOLERANCE
        assert option.chance_one_cell_less < assurance - TOLERANCE
        assert option.expected_plants >= 0
    cells = [option.cells for option in size.alternatives]
    assert cells == sorted(cells, reverse=True)


def test_a_belief_needs_at_least_as_many_cells_as_its_mean():
    belief = Beta(a=15, b=5)
    assert cells_needed(24, belief) > cells_needed(24, belief.mean)


def test_the_reason_says_why_that_many_seeds_a_cell():
    assert sowing_size(24, 0.75).reason is SizeReason.CELL_ASSURED
    assert sowing_size(24, 0.75).chosen.seeds_per_cell == 2
    assert sowing_size(24, 0.30).reason is SizeReason.CAPPED
    assert sowing_size(24, 0.30).chosen.seeds_per_cell == 3
    asked = sowing_size(24, 0.75, per_cell=5)
    assert (asked.reason, asked.chosen.seeds_per_cell) == (SizeReason.ASKED, 5)
    assert len(asked.alternatives) == 5


def test_five_seeds_in_each_of_24_cells_do_not_assure_24_plants():
    # Losses after thinning are the cells', not the seeds': 0.9 ** 24 = 0.0798 at best.
    rule = sowing_size(24, 0.75).rule
    assert rule.seeds == 120
    assert rule.chance_one_cell_each < 0.9**24
    assert rule.chance_spread > 0.999
    assert rule.spare_seeds == 120 - sowing_size(24, 0.75).chosen.seeds


@pytest.mark.parametrize(
    "call",
    [
        lambda: seeds_per_cell(0.0),
        lambda: seeds_per_cell(1.2),
        lambda: seeds_per_cell(0.5, 1.0),
        lambda: cells_needed(0, 0.5),
        lambda: cells_needed(5, 0.0),
        lambda: chance_of_plants(1, -1, 0.5),
        lambda: chance_of_plants(1, 1, 0.5, survival=1.1),
        lambda: cell_occupied(0.5, -1),
        lambda: sowing_size(5, 0.5, per_cell=0),
    ],
)
def test_sizes_that_cannot_be_are_refused(call):
    with pytest.raises(ValueError, match=r"chance|assurance|plants|cell|need"):
        call()
