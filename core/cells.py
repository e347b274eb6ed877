"""Cells of a tray: `B4` is row B, column 4; a range is the rectangle between its corners."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from core.errors import CellOutside

MAX_ROWS = 26  # one letter a row
MAX_COLS = 40


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """One cell: `row` and `col` count from 0."""

    row: int
    col: int

    @property
    def label(self) -> str:
        return f"{chr(ord('A') + self.row)}{self.col + 1}"

    @classmethod
    def of(cls, label: str) -> Cell:
        """Return the cell of a label like `B4`; raise ValueError for anything else."""
        letter, number = label[:1].upper(), label[1:]
        if not ("A" <= letter <= "Z" and number.isascii() and number.isdigit()):
            raise ValueError(label)
        col = int(number)
        if not 1 <= col <= MAX_COLS:
            raise ValueError(label)
        return cls(ord(letter) - ord("A"), col - 1)


class Part(StrEnum):
    """How a piece of a tray was named."""

    RANGE = "range"
    ROW = "row"
    COLUMN = "column"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class CellPart:
    """One piece: a rectangle (`first`..`last`), a row, a column, or the whole tray.

    For a row or column part, `first.row` or `first.col` is the one meant.
    """

    part: Part
    first: Cell = Cell(0, 0)
    last: Cell = Cell(0, 0)

    @property
    def text(self) -> str:
        match self.part:
            case Part.ALL:
                return "all"
            case Part.ROW:
                return f"row {chr(ord('A') + self.first.row)}"
            case Part.COLUMN:
                return f"column {self.first.col + 1}"
            case Part.RANGE:
                if self.first == self.last:
                    return self.first.label
                return f"{self.first.label}-{self.last.label}"


@dataclass(frozen=True, slots=True)
class CellSpec:
    """Cells as a member names them, not yet held against a tray."""

    parts: tuple[CellPart, ...]

    @property
    def text(self) -> str:
        return " ".join(part.text for part in self.parts)

    def within(self, tray: str, rows: int, cols: int) -> tuple[Cell, ...]:
        """Return the cells meant, in reading order, each once.

        Raises CellOutside for a cell the tray does not have.
        """
        found: set[Cell] = set()
        for part in self.parts:
            first, last = part.first, part.last
            if part.part is Part.ALL:
                first, last = Cell(0, 0), Cell(rows - 1, cols - 1)
            elif part.part is Part.ROW:
                first, last = Cell(first.row, 0), Cell(first.row, cols - 1)
            elif part.part is Part.COLUMN:
                first, last = Cell(0, first.col), Cell(rows - 1, first.col)
            lo = Cell(min(first.row, last.row), min(first.col, last.col))
            hi = Cell(max(first.row, last.row), max(first.col, last.col))
            if hi.row >= rows or hi.col >= cols:
                raise CellOutside(tray=tray, cell=hi.label, rows=rows, cols=cols)
            found |= {
                Cell(r, c) for r in range(lo.row, hi.row + 1) for c in range(lo.col, hi.col + 1)
            }
        return tuple(sorted(found))


ALL_CELLS = CellSpec((CellPart(Part.ALL),))


def cells_text(cells: Iterable[Cell]) -> str:
    """Return the shortest plain naming of a set of cells: `A1-A6 B1-B3 C4`.

    Rectangles of full equal rows are joined: two rows of six are `A1-B6`.
    """
    by_row: dict[int, list[int]] = {}
    for cell in sorted(set(cells)):
        by_row.setdefault(cell.row, []).append(cell.col)
    runs: list[tuple[int, int, int, int]] = []  # first row, last row, first col, last col
    for row, cols in by_row.items():
        start = previous = cols[0]
        spans: list[tuple[int, int]] = []
        for col in cols[1:]:
            if col != previous + 1:
                spans.append((start, previous))
                start = col
            previous = col
        spans.append((start, previous))
        for lo, hi in spans:
            for index, (first, last, run_lo, run_hi) in enumerate(runs):
                if last == row - 1 and (run_lo, run_hi) == (lo, hi):
                    runs[index] = (first, row, lo, hi)
                    break
            else:
                runs.append((row, row, lo, hi))
    words = []
    for first, last, lo, hi in sorted(runs):
        a, b = Cell(first, lo).label, Cell(last, hi).label
        words.append(a if a == b else f"{a}-{b}")
    return " ".join(words)
