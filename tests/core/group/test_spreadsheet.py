"""A plain table of sowings and counts, read without guessing."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.group.records_file import RecordsUnreadable
from core.group.spreadsheet import SheetRow, read_sheet

TODAY = date(2027, 4, 3)
TRAYS = frozenset({"T1", "T2"})


def read(text: str) -> tuple[tuple[SheetRow, ...], tuple[tuple[int, str, str], ...]]:
    found = read_sheet(text, "x.csv", TODAY, TRAYS)
    return found.rows, found.unclear


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_columns_are_found_by_their_names_in_any_order(mark: str) -> None:
    text = (
        "Tray,Sown on,Crop,Variety,Cells,Seeds per cell,Up,Counted on\n"
        "t1,2027-03-01,tomatoes,Amber Pip,12,2,20,2027-03-12\n"
    )
    (row,), unclear = read(text.replace(",", mark))
    assert unclear == ()
    assert row == SheetRow(
        row=2, crop="tomato", variety="Amber Pip", tray="T1", cells=12, seeds_per_cell=2,
        sown_on=date(2027, 3, 1), up=20, counted_on=date(2027, 3, 12),
    )  # fmt: skip
    assert SheetRow.of(row.values()) == row


def test_spanish_headings_are_read() -> None:
    (row,), _ = read("cultivo,bandeja,celdas,sembrado el\nlechuga,T2,6,2027-03-20\n")
    assert (row.crop, row.tray, row.cells, row.up) == ("lettuce", "T2", 6, None)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("nonsense,T1,6,2027-03-01,", "crop"),
        ("basil,T9,6,2027-03-01,", "tray"),
        ("basil,T1,six,2027-03-01,", "cells"),
        ("basil,T1,6,3/4/27,", "sown"),
        ("basil,T1,6,2027-05-01,", "sown"),
        ("basil,T1,6,2027-03-01,99", "up"),
        ("basil,T1,6,2027-04-03,2", "counted"),
    ],
)
def test_what_is_not_clear_is_told_and_left_out(line: str, column: str) -> None:
    rows, unclear = read(f"crop,tray,cells,sown,up\n{line}\nbasil,T1,3,2027-03-01,\n")
    assert [found[:2] for found in unclear] == [(2, column)]
    assert len(rows) == 1


def test_a_table_without_its_headings_is_refused() -> None:
    with pytest.raises(RecordsUnreadable) as caught:
        read("a,b\n1,2\n")
    assert caught.value.reason == "heads"
    with pytest.raises(RecordsUnreadable):
        read("crop,tray,cells,sown\n" + "basil,T1,1,2027-03-01\n" * 301)


@given(st.text(max_size=400))
def test_whatever_stands_in_it_is_read_or_refused(text: str) -> None:
    try:
        read_sheet("crop,tray,cells,sown,up\n" + text, "x.csv", TODAY, TRAYS)
    except RecordsUnreadable:
        return
