"""Sheets of labels: how many, how large, and where each one lies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from core.errors import UserError
from core.trade.tables.registry import Complaint, ident, number, plain, register


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


PAPER_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
"""Width and height, mm. Sources: ISO 216; ANSI/ASME Y14.1 (8.5 x 11 in)."""


@dataclass(eq=False, kw_only=True)
class LabelGridUnknown(UserError):
    """No sheet of labels of that kind; `known` are the grids there are, as typed."""

    grid: str
    paper: str
    known: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """One kind of sheet.

    Attributes:
        cols, rows: labels across and down.
        label_w_mm, label_h_mm: size of a label, mm.
        left_mm, top_mm: of the first label from the sheet's corner, mm.
        step_x_mm, step_y_mm: from one label's edge to the next one's, mm.
        cut: plain paper, with lines to cut along.
        shape: `label`; `stake`, a strip with a pointed end; `card`, one for a whole tray.
        source: key of core/data/sources.toml, or `common practice`.
    """

    id: str = ident()
    paper: Paper
    cols: int = number(lo=1, hi=10)
    rows: int = number(lo=1, hi=40)
    label_w_mm: float = number(lo=20, hi=220)
    label_h_mm: float = number(lo=8, hi=300)
    left_mm: float = number(lo=0, hi=50)
    top_mm: float = number(lo=0, hi=50)
    step_x_mm: float = number(lo=20, hi=220)
    step_y_mm: float = number(lo=8, hi=300)
    cut: bool = False
    shape: str = plain(default="label")
    source: str = plain()
    note: str = plain(default="")

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.cols * self.rows

    @property
    def typed(self) -> str:
        """The grid as people write it, columns first: `3x7`."""
        return f"{self.cols}x{self.rows}"

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Return the top left corner of the place-th label of a sheet, mm; from 0, row by row."""
        row, col = divmod(place, self.cols)
        return self.left_mm + col * self.step_x_mm, self.top_mm + row * self.step_y_mm


def _check(grids: tuple[LabelGrid, ...]) -> Iterable[Complaint]:
    """Complain of labels that overlap or leave the sheet."""
    for grid in grids:
        wide, high = PAPER_MM[grid.paper]
        right = grid.left_mm + (grid.cols - 1) * grid.step_x_mm + grid.label_w_mm
        bottom = grid.top_mm + (grid.rows - 1) * grid.step_y_mm + grid.label_h_mm
        if right > wide + 0.05 or bottom > high + 0.05:
            yield Complaint(row=grid.id, field="paper", values={"right": right, "bottom": bottom})
        if grid.cols > 1 and grid.step_x_mm < grid.label_w_mm:
            yield Complaint(row=grid.id, field="step_x_mm")
        if grid.rows > 1 and grid.step_y_mm < grid.label_h_mm:
            yield Complaint(row=grid.id, field="step_y_mm")


GRIDS = register("label_grid", LabelGrid, file="label_grids.toml", check=_check)


STICKY = {Paper.A4: "3x7", Paper.LETTER: "2x5"}
"""Sheets of labels taken when none is named: the largest letters of the common ones."""


def grid_for(
    paper: Paper | None, typed: str | None, usual: Paper, shape: str | None = None
) -> LabelGrid:
    """Return the sheet asked for; plain paper with cut lines when no grid or shape is named.

    `shape` is `stake`, `card`, or `sheet` for a sheet of labels of a published size. A grid named
    without its paper is taken on the usual paper if it exists there, else on the other.
    Raises LabelGridUnknown. Checked by: tests/core/group/test_labels.py.
    """
    if shape in ("stake", "card"):
        return next(g for g in GRIDS.rows() if g.shape == shape and g.paper is (paper or usual))
    if shape == "sheet" and typed is None:
        paper = paper or usual
        typed = STICKY[paper]
    rows = [grid for grid in GRIDS.rows() if grid.shape == "label"]
    papers = [paper] if paper else [usual, *(p for p in Paper if p is not usual)]
    for sheet in papers:
        for grid in rows:
            if grid.paper is sheet and (grid.cut if typed is None else grid.typed == typed):
                if not (typed and grid.cut):
                    return grid
    known = tuple(dict.fromkeys(g.typed for g in rows if not g.cut and g.paper in papers))
    raise LabelGridUnknown(grid=typed or "", paper=(paper or usual).value, known=known)
