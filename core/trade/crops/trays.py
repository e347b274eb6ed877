"""Kinds of seedling tray: rows, columns and the volume of a cell.

No standard for trays exists; makers differ by a few millimetres and the same count of cells
comes in several volumes, so a volume is never inferred from the count.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from core.cells import MAX_COLS, MAX_ROWS
from core.trade.tables.registry import Complaint, ident, number, plain, register, text


class VolumeBasis(StrEnum):
    """How the volume of a cell is known."""

    MEASURED = "measured"  # published by a maker
    ESTIMATE = "estimate"  # a range worked out from the outside size; not a measurement


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayKind:
    """One kind of tray as sold.

    Attributes:
        id: key of the row.
        cells: number of cells; rows x cols.
        rows, cols: layout, short side first.
        usual: the kind meant when only the count of cells is given.
        basis: how the volume is known.
        ml_per_cell: volume of a level cell, ml; only when measured.
        ml_per_cell_lo, ml_per_cell_hi: range of the volume, ml; only when an estimate.
        cell_top_mm: width of a cell at the rim, mm.
        cell_depth_mm: depth of a cell, mm.
        outer_mm: outside length and width, mm; None for inserts of a flat of about 279 x 539.
        source: keys of sources.toml.
        note: what to know.
    """

    id: str = ident()
    name: str = text(pattern=r"\S.*")
    cells: int = number(lo=1, hi=1000)
    rows: int = number(lo=1, hi=MAX_ROWS)
    cols: int = number(lo=1, hi=MAX_COLS)
    usual: bool = False
    basis: VolumeBasis
    ml_per_cell: float | None = number(lo=1, hi=5000, default=None)
    ml_per_cell_lo: float | None = number(lo=1, hi=5000, default=None)
    ml_per_cell_hi: float | None = number(lo=1, hi=5000, default=None)
    cell_top_mm: float | None = number(lo=5, hi=300, default=None)
    cell_depth_mm: float | None = number(lo=5, hi=300, default=None)
    outer_mm: tuple[float, float] | None = number(lo=50, hi=1500, default=None)
    source: str = plain()
    note: str = plain(default="")

    def cell_ml(self) -> tuple[float, float]:
        """Return the least and greatest volume of a cell, ml; equal when measured."""
        lo, hi = self.ml_per_cell_lo, self.ml_per_cell_hi
        if self.ml_per_cell is not None:
            return self.ml_per_cell, self.ml_per_cell
        if lo is None or hi is None:
            raise ValueError(self.id)
        return lo, hi


def _check(kinds: tuple[TrayKind, ...]) -> Iterable[Complaint]:
    """Complain of counts, volumes and defaults that do not agree."""
    usual: dict[int, str] = {}
    for kind in kinds:
        if kind.rows * kind.cols != kind.cells:
            counts = {"rows": kind.rows, "cols": kind.cols, "cells": kind.cells}
            yield Complaint(row=kind.id, field="cells", values=counts)
        measured = kind.ml_per_cell is not None
        ranged = kind.ml_per_cell_lo is not None and kind.ml_per_cell_hi is not None
        if measured == ranged or measured != (kind.basis is VolumeBasis.MEASURED):
            values = {"basis": str(kind.basis), "measured": measured, "ranged": ranged}
            yield Complaint(row=kind.id, field="basis", values=values)
        if kind.usual and kind.cells in usual:
            yield Complaint(row=kind.id, field="usual", values={"also": usual[kind.cells]})
        if kind.usual:
            usual[kind.cells] = kind.id


TRAYS = register("tray", TrayKind, check=_check)


def kinds_with(cells: int) -> tuple[TrayKind, ...]:
    """Return the kinds with that many cells, the usual one first; empty when none is known."""
    found = [kind for kind in TRAYS.rows() if kind.cells == cells]
    return tuple(sorted(found, key=lambda kind: not kind.usual))
