"""Read a plain table of sowings and counts, as a spreadsheet saves it as CSV.

Pure; nothing is guessed: a row that is not clear is told and left out.
"""

from __future__ import annotations

import contextlib
import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from core.folding import fold
from core.group.records_file import RecordsUnreadable
from core.trade.crops.table import find_crop

MOST_ROWS = 300  # own choice
MOST_CELL = 80  # letters; own choice
HEADS = {
    "crop": ("crop", "plant", "cultivo", "planta"),
    "variety": ("variety", "variedad"),
    "tray": ("tray", "bandeja"),
    "cells": ("cells", "celdas"),
    "seeds": ("seeds per cell", "seeds a cell", "semillas por celda"),
    "sown": ("sown", "sown on", "date", "sembrado", "sembrado el", "fecha"),
    "up": ("up", "came up", "count", "nacidas", "nacieron", "recuento"),
    "counted": ("counted", "counted on", "contado", "contado el"),
}
NEEDED = ("crop", "tray", "cells", "sown")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row as read.

    Attributes:
        row: its number in the file, the heading being 1.
        cells, seeds_per_cell, up: counts; up None where nobody counted.
        sown_on, counted_on: dates; counted_on as late as `up` was counted.
    """

    row: int
    crop: str
    variety: str | None
    tray: str
    cells: int
    seeds_per_cell: int
    sown_on: date
    up: int | None = None
    counted_on: date | None = None

    def values(self) -> dict[str, Any]:
        """Return the row as JSON values."""
        return {
            "row": self.row, "crop": self.crop, "variety": self.variety, "tray": self.tray,
            "cells": self.cells, "seeds_per_cell": self.seeds_per_cell,
            "sown_on": self.sown_on.isoformat(), "up": self.up,
            "counted_on": self.counted_on.isoformat() if self.counted_on else None,
        }  # fmt: skip

    @classmethod
    def of(cls, values: Mapping[str, Any]) -> SheetRow:
        """Return the row of JSON values."""
        counted = values["counted_on"]
        return cls(
            **{
                **values,
                "sown_on": date.fromisoformat(values["sown_on"]),
                "counted_on": date.fromisoformat(counted) if counted else None,
            }
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRead:
    """The rows read, and (row, column, what stood there) of those left out."""

    rows: tuple[SheetRow, ...]
    unclear: tuple[tuple[int, str, str], ...]


class _Unclear(Exception):
    """A cell that is not clear: its column and what stands there."""


def read_sheet(text: str, name: str, today: date, trays: frozenset[str]) -> SheetRead:
    """Return the sowings and counts of a table; raise RecordsUnreadable without its headings.

    Args:
        today: no day after it can have been.
        trays: codes of the trays there are.

    Checked by: tests/core/group/test_spreadsheet.py.
    """
    dialect: type[csv.Dialect] | csv.Dialect = csv.excel
    with contextlib.suppress(csv.Error):
        dialect = csv.Sniffer().sniff(text[:2000], delimiters=",;\t")
    try:
        lines = [
            [cell.strip()[:MOST_CELL] for cell in row[:40]]
            for row in csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""), dialect)
        ]
    except csv.Error:
        raise RecordsUnreadable(name=name, reason="format") from None
    lines = [line for line in lines if any(line)]
    if len(lines) > MOST_ROWS + 1:
        raise RecordsUnreadable(name=name, reason="size")
    at = _columns(lines[0]) if lines else {}
    if any(column not in at for column in NEEDED):
        raise RecordsUnreadable(name=name, reason="heads")
    rows: list[SheetRow] = []
    unclear: list[tuple[int, str, str]] = []
    for number, line in enumerate(lines[1:], 2):
        said = {key: line[place] if place < len(line) else "" for key, place in at.items()}
        try:
            rows.append(_row(number, said, today, trays))
        except _Unclear as error:
            unclear.append((number, str(error.args[0]), str(error.args[1])))
    return SheetRead(rows=tuple(rows), unclear=tuple(unclear))


def _columns(heads: list[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for place, head in enumerate(heads):
        plain = fold(head.replace("_", " "))
        for key, names in HEADS.items():
            if plain in (fold(name) for name in names):
                found.setdefault(key, place)
    return found


def _row(number: int, said: Mapping[str, str], today: date, trays: frozenset[str]) -> SheetRow:
    match = find_crop(said["crop"])
    if match.crop is None:
        raise _Unclear("crop", said["crop"])
    tray = said["tray"].upper()
    if tray not in trays:
        raise _Unclear("tray", said["tray"])
    cells = _count("cells", said["cells"], 1, 2000)
    seeds = _count("seeds", said.get("seeds") or "1", 1, 50)
    sown_on = _day("sown", said["sown"], today)
    up = said.get("up") or ""
    count = _count("up", up, 0, cells * seeds) if up else None
    counted = said.get("counted") or ""
    counted_on = _day("counted", counted, today) if counted else today
    if count is not None and counted_on < sown_on + timedelta(days=1):
        raise _Unclear("counted", counted or today.isoformat())
    return SheetRow(
        row=number,
        crop=match.crop.id,
        variety=said.get("variety") or None,
        tray=tray,
        cells=cells,
        seeds_per_cell=seeds,
        sown_on=sown_on,
        up=count,
        counted_on=counted_on if count is not None else None,
    )


def _count(column: str, text: str, low: int, high: int) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) <= 6 and low <= int(text) <= high):
        raise _Unclear(column, text)
    return int(text)


def _day(column: str, text: str, today: date) -> date:
    """Return an ISO date; `3/4/27` may be two days and is not taken."""
    try:
        day = date.fromisoformat(text.replace("/", "-"))
    except ValueError:
        raise _Unclear(column, text) from None
    if day > today:
        raise _Unclear(column, text)
    return day
