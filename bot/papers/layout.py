"""Pages being laid out from the top down, before anything is painted.

Places are points of 1/72 inch; x runs right, y runs down, from a page's top left corner. The
pieces are those of the pictures, so that the same tests hold for both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from bot.papers import pdf
from bot.papers.page import Page
from bot.pictures import fonts
from bot.pictures.model import Box, Mark, Path, Piece, Text
from bot.pictures.style import FINE, INK, STONE

MM = 72 / 25.4
"""Points of a millimetre."""

EDGE = 16 * MM
SMALL, PLAIN, HEAD, TITLE = 9.0, 10.5, 13.0, 20.0
"""Sizes of letters on paper, points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table: where it starts, how wide it is, how its words stand."""

    x: float
    wide: float
    align: str = "left"


@dataclass(slots=True)
class Pages:
    """Collects the pieces of pages of one size; `y` is where the next line goes."""

    size_mm: tuple[float, float]
    edge: float = EDGE
    y: float = 0.0
    pieces: list[Piece] = field(default_factory=list)
    done: list[list[Piece]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.y = self.edge

    @property
    def wide(self) -> float:
        return self.size_mm[0] * MM

    @property
    def high(self) -> float:
        return self.size_mm[1] * MM

    @property
    def inner(self) -> float:
        """Width between the margins."""
        return self.wide - 2 * self.edge

    @property
    def left(self) -> float:
        """Height left on this page above the foot."""
        return self.high - self.edge - SMALL * fonts.LINE - 6 - self.y

    def room(self, high: float) -> bool:
        """Turn to a new page when less than `high` is left; say whether it turned."""
        if high <= self.left or not self.pieces:
            return False
        self.turn()
        return True

    def turn(self) -> None:
        """End this page."""
        self.done.append(self.pieces)
        self.pieces = []
        self.y = self.edge

    def put(
        self,
        text: str,
        x: float,
        y: float,
        size: float = PLAIN,
        *,
        most: float,
        align: str = "left",
        bold: bool = False,
        colour: str = INK,
        what: str = "",
    ) -> Text:
        """Write a text at `x` (its left end, middle or right end), cut to `most` points."""
        shown = pdf.cut(text, size, most, bold)
        wide = pdf.width(shown, size, bold)
        left = {"left": x, "middle": x - wide / 2, "right": x - wide}[align]
        piece = Text(
            x=left, y=y, w=wide, h=size * fonts.LINE, text=shown, size=size, bold=bold,
            colour=colour, what=what,
        )  # fmt: skip
        self.pieces.append(piece)
        return piece

    def line(
        self,
        text: str,
        size: float = PLAIN,
        *,
        bold: bool = False,
        colour: str = INK,
        most_lines: int = 6,
        gap: float = 1.5,
        what: str = "",
    ) -> None:
        """Write a text from the cursor down, wrapped to the margins."""
        for row in pdf.wrapped(text, size, self.inner, most_lines, bold):
            self.room(size * fonts.LINE)
            self.put(
                row, self.edge, self.y, size, most=self.inner, bold=bold, colour=colour, what=what
            )
            self.y += size * fonts.LINE + gap

    def head(self, text: str, keep: float = 40.0) -> None:
        """Write a section's heading over a rule, together with `keep` points of what follows."""
        self.room(HEAD * fonts.LINE + 12 + keep)
        if self.y > self.edge:
            self.y += 10
        self.put(text, self.edge, self.y, HEAD, most=self.inner, bold=True, what="head")
        self.y += HEAD * fonts.LINE + 2
        self.rule()

    def rule(self, gap: float = 5.0) -> None:
        """Draw a fine line across."""
        self.path((self.edge, self.y), (self.wide - self.edge, self.y), what="rule")
        self.y += gap

    def row(
        self,
        cells: Sequence[str],
        columns: Sequence[Column],
        size: float = PLAIN,
        *,
        bold: bool = False,
        lines: int = 1,
        what: str = "row",
    ) -> float:
        """Write the cells of one row, each wrapped to `lines`; return where the row began."""
        shown = [
            pdf.wrapped(text, size, column.wide, lines, bold)
            for text, column in zip(cells, columns, strict=True)
        ]
        step = size * fonts.LINE
        self.room(step * max((1, *(len(rows) for rows in shown))))
        top = self.y
        for rows, column in zip(shown, columns, strict=True):
            at = {"left": column.x, "right": column.x + column.wide}.get(
                column.align, column.x + column.wide / 2
            )
            for number, text in enumerate(rows):
                self.put(
                    text, at, top + number * step, size, most=column.wide, align=column.align,
                    bold=bold, what=what,
                )  # fmt: skip
        self.y = top + step * max((1, *(len(rows) for rows in shown))) + 2.5
        return top

    def box(
        self, x: float, y: float, w: float, h: float, *, fill: str | None = None,
        edge: str | None = None, line: float = FINE, what: str = "",
    ) -> None:  # fmt: skip
        """Draw a box."""
        self.pieces.append(Box(x=x, y=y, w=w, h=h, fill=fill, edge=edge, line=line, what=what))

    def path(
        self, *points: tuple[float, float], colour: str = STONE, width: float = FINE,
        dash: tuple[float, float] | None = None, what: str = "",
    ) -> None:  # fmt: skip
        """Draw a line."""
        self.pieces.append(Path(points=points, colour=colour, width=width, dash=dash, what=what))

    def mark(
        self, x: float, y: float, shape: str, fill: str, size: float = 6.0, what: str = ""
    ) -> None:
        """Draw a sign."""
        self.pieces.append(Mark(x=x, y=y, shape=shape, size=size, fill=fill, what=what))

    def ruled(self, step: float = 24.0) -> None:
        """Fill what is left of the page with lines to write on."""
        while self.left >= step:
            self.y += step
            self.path(
                (self.edge, self.y), (self.wide - self.edge, self.y), dash=(1, 2), what="write"
            )

    def pages(
        self, foot: str = "", of: str = "{page}/{pages}", *, numbered: bool = True
    ) -> tuple[Page, ...]:
        """Return the pages, each with `foot` and, of several, its number at the lower edge."""
        every = [*self.done, self.pieces] if self.pieces or not self.done else self.done
        made = []
        for number, pieces in enumerate(every, start=1):
            self.pieces = list(pieces)
            y = self.high - self.edge - SMALL * fonts.LINE
            room = self.inner - 60
            if foot:
                self.put(foot, self.edge, y, SMALL, most=room, what="foot")
            if numbered and len(every) > 1:
                self.put(
                    of.format(page=number, pages=len(every)), self.wide - self.edge, y, SMALL,
                    most=50, align="right", what="foot",
                )  # fmt: skip
            made.append(Page(width=self.wide, height=self.high, pieces=tuple(self.pieces)))
        return tuple(made)
