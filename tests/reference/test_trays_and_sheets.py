"""Geometry that trays and sheets of labels cannot escape, whatever a maker prints.

Label sheets are cut in the middle of the paper (ISO 216; ANSI/ASME Y14.1); a flat called 10 x 20
measures about 11 x 21.5 in outside, an insert for it 10 x 20 in; a tapered cell holds less than the
box round it and more than the pyramid in it.
"""

from __future__ import annotations

import re

import pytest

from core.group.pots import FLAT_MM
from core.trade.crops.trays import TRAYS
from core.trade.label_grids import GRIDS, PAPER_MM, Paper

FLAT_IN, INSERT_IN = (11.0, 21.3), (10.0, 20.0)


def test_paper_is_the_standard_s():
    assert PAPER_MM[Paper.A4] == (210, 297)
    assert pytest.approx((8.5 * 25.4, 11 * 25.4)) == PAPER_MM[Paper.LETTER]


@pytest.mark.parametrize("grid", GRIDS.rows(), ids=lambda grid: grid.id)
def test_a_sheet_of_labels_lies_in_the_middle_of_its_paper(grid):
    wide, high = PAPER_MM[grid.paper]
    right = wide - grid.left_mm - (grid.cols - 1) * grid.step_x_mm - grid.label_w_mm
    below = high - grid.top_mm - (grid.rows - 1) * grid.step_y_mm - grid.label_h_mm
    assert right == pytest.approx(grid.left_mm, abs=0.5)
    assert below == pytest.approx(grid.top_mm, abs=0.5)
    assert grid.step_x_mm >= grid.label_w_mm or grid.cols == 1
    assert grid.step_y_mm >= grid.label_h_mm or grid.rows == 1


def test_the_inside_of_a_flat_is_the_published_one():
    """TRAY-GEOM: 10.5 x 20.5 in."""
    assert pytest.approx((10.5 * 25.4, 20.5 * 25.4)) == FLAT_MM


@pytest.mark.parametrize("tray", TRAYS.rows(), ids=lambda tray: tray.id)
def test_a_tray_holds_the_cells_it_is_named_for(tray):
    assert tray.cells == tray.rows * tray.cols
    if (named := re.match(r"\d+", tray.id)) is not None:
        assert tray.cells == int(named[0])


@pytest.mark.parametrize("tray", TRAYS.rows(), ids=lambda tray: tray.id)
def test_cells_fit_the_flat_and_hold_what_a_tapered_cell_can(tray):
    if tray.outer_mm is not None:
        size = FLAT_IN if max(tray.outer_mm) > 520 else INSERT_IN
        assert tuple(sorted(tray.outer_mm)) == pytest.approx([25.4 * i for i in size], abs=6)
        if tray.cell_top_mm is not None:
            assert tray.rows * tray.cell_top_mm <= min(tray.outer_mm)
            assert tray.cols * tray.cell_top_mm <= max(tray.outer_mm)
            assert tray.cols * tray.cell_top_mm >= 0.75 * max(tray.outer_mm)
    if tray.ml_per_cell is not None and tray.cell_top_mm and tray.cell_depth_mm:
        box_ml = tray.cell_top_mm**2 * tray.cell_depth_mm / 1000
        assert box_ml / 3 < tray.ml_per_cell < box_ml
