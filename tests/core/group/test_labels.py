"""Which labels a tray and its sowings want, and on which sheet."""

from __future__ import annotations

from itertools import combinations

import pytest

from core.cells import Cell
from core.group.labels import labels
from core.trade.label_grids import GRIDS, PAPER_MM, LabelGridUnknown, Paper, grid_for
from tests.pictures.gardens import block, garden, sample, sowing


def test_a_tray_is_followed_by_its_sowings_from_the_first_cell_on() -> None:
    made = labels(sample(), ("T1",), ())
    assert [(label.tray, label.cells) for label in made] == [
        ("T1", None), ("T1", "A1-B6"), ("T1", "C1-C12"), ("T1", "D1-D8"),
        ("T1", "E1-E4"), ("T1", "F1-F3"),
    ]  # fmt: skip


def test_a_label_carries_what_was_sown_by_whom() -> None:
    label = labels(sample(), (), ("S1",))[0]
    assert (label.crops, label.lot, label.sowing, label.member) == (
        (("tomato", "Amber Pip"),), "L1", "S1", 2,
    )  # fmt: skip


def test_cells_apart_share_one_label() -> None:
    of = garden((sowing(1, "basil", (Cell(0, 0), Cell(0, 1), Cell(0, 5))),))
    assert [label.cells for label in labels(of, (), ("S1",))] == ["A1-A2 A6"]


def test_a_tray_gone_since_and_a_finished_sowing_get_no_label() -> None:
    assert labels(sample(), ("T9",), ("S99",)) == ()


def test_an_empty_tray_still_gets_its_own() -> None:
    (label,) = labels(garden(), ("T1",), ())
    assert label.size == (6, 12)
    assert label.crops == ()


def test_a_block_of_several_rows_gets_one() -> None:
    of = garden((sowing(1, "basil", block(1, 0, 3, 4)),))
    assert [label.cells for label in labels(of, (), ("S1",))] == ["B1-E4"]


@pytest.mark.parametrize("grid", GRIDS.rows(), ids=lambda grid: grid.id)
def test_labels_of_a_sheet_lie_within_it_and_apart(grid) -> None:  # type: ignore[no-untyped-def]
    corners = [grid.corner_mm(n) for n in range(grid.count)]
    wide, high = PAPER_MM[grid.paper]
    assert all(x >= 0 and x + grid.label_w_mm <= wide + 0.05 for x, _ in corners)
    assert all(y >= 0 and y + grid.label_h_mm <= high + 0.05 for _, y in corners)
    for (x0, y0), (x1, y1) in combinations(corners, 2):
        apart = abs(x0 - x1) >= grid.label_w_mm - 0.01 or abs(y0 - y1) >= grid.label_h_mm - 0.01
        assert apart


def test_plain_paper_is_taken_unless_a_grid_is_named() -> None:
    assert grid_for(None, None, Paper.A4).id == "a4-cut"
    assert grid_for(None, None, Paper.LETTER).id == "letter-cut"
    assert grid_for(Paper.LETTER, None, Paper.A4).id == "letter-cut"


def test_a_grid_found_on_one_paper_only_needs_no_paper_said() -> None:
    assert grid_for(None, "3x10", Paper.A4).id == "letter-3x10"
    assert grid_for(None, "2x7", Paper.A4).id == "a4-2x7"
    assert grid_for(None, "2x7", Paper.LETTER).id == "letter-2x7"


def test_an_unknown_grid_names_those_there_are() -> None:
    with pytest.raises(LabelGridUnknown) as told:
        grid_for(Paper.A4, "9x9", Paper.A4)
    assert "3x7" in told.value.known
    assert "3x10" not in told.value.known
    with pytest.raises(LabelGridUnknown):
        grid_for(Paper.A4, "3x10", Paper.A4)  # that sheet is on letter paper
    with pytest.raises(LabelGridUnknown):
        grid_for(Paper.A4, "2x8", Paper.A4)  # plain paper is no label sheet
