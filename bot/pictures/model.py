"""What a picture shows and where, before anything is painted.

Positions and sizes are in points of a picture 390 wide, the width of a phone held upright; the
renderer paints several pixels to a point. x runs right, y runs down, from the top left corner.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

from bot.pictures.style import FINE, INK

WIDTH = 390.0
"""Width of every picture, points."""

MOST_HIGH = 2800.0
"""Height no picture exceeds, points: at three pixels a point it is 8400 pixels high, 9.9 million
pixels in all. A messenger takes a picture whose width and height are 10 000 together.
Source: Telegram Bot API, sendPhoto."""

QUIET = 4
"""Modules left white round a code: ISO/IEC 18004."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle; colours as `#rrggbb`, None = not painted.

    Attributes:
        line: weight of the edge, points.
        what: what it stands for, such as `cell B4`.
    """

    x: float
    y: float
    w: float
    h: float
    fill: str | None = None
    edge: str | None = None
    line: float = FINE
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """Words on one line; `w` and `h` are measured."""

    x: float
    y: float
    w: float
    h: float
    text: str
    size: float
    bold: bool = False
    colour: str = INK
    what: str = ""

    def overlaps(self, other: Text, slack: float = 0.5) -> bool:
        """Whether two texts cover each other by more than `slack` points both ways."""
        across = min(self.x + self.w, other.x + other.w) - max(self.x, other.x)
        down = min(self.y + self.h, other.y + other.h) - max(self.y, other.y)
        return across > slack and down > slack


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A line through points, or along `dash` lengths (on, off)."""

    points: tuple[tuple[float, float], ...]
    colour: str
    width: float = 1.0
    dash: tuple[float, float] | None = None
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A small sign centred on a point: one of render.SIGNS."""

    x: float
    y: float
    shape: str
    size: float
    fill: str
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A square code that a phone's camera opens, its white edge within `side`; on paper only.

    Attributes:
        text: the address it holds.
        rows: its modules row by row, 1 = dark.
    """

    x: float
    y: float
    side: float
    text: str
    rows: tuple[bytes, ...]
    what: str = "code"

    def runs(self) -> Iterator[tuple[float, float, float, float]]:
        """Yield (x, y, width, height) of each run of dark modules of a row."""
        module = self.side / (len(self.rows) + 2 * QUIET)
        for number, modules in enumerate(self.rows):
            y = self.y + (QUIET + number) * module
            edges = [n for n, (a, b) in enumerate(pairwise((0, *modules, 0))) if bool(a) != bool(b)]
            for start, stop in zip(edges[::2], edges[1::2], strict=True):
                yield self.x + (QUIET + start) * module, y, (stop - start) * module, module


Piece = Box | Text | Path | Mark | Code


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A whole picture, its pieces in the order they are painted.

    Attributes:
        title: what it is of.
        caption: the same in words, for whoever cannot see it.
    """

    width: float
    height: float
    title: str
    caption: str
    pieces: tuple[Piece, ...]

    def texts(self) -> Iterator[Text]:
        """Yield the words in painting order, which is reading order."""
        return (piece for piece in self.pieces if isinstance(piece, Text))

    def boxes(self, what: str) -> list[Box]:
        """Return the boxes whose meaning starts with `what`."""
        return [p for p in self.pieces if isinstance(p, Box) and p.what.startswith(what)]

    def values(self) -> dict[str, Any]:
        """Return the drawing as JSON values, positions to a tenth of a point, defaults left out."""
        return {
            "width": round(self.width, 1),
            "height": round(self.height, 1),
            "title": self.title,
            "caption": self.caption,
            "pieces": [_values(piece) for piece in self.pieces],
        }


def _values(piece: Piece) -> dict[str, Any]:
    values: dict[str, Any] = {"kind": type(piece).__name__.lower()}
    for name, value in asdict(piece).items():
        if value in (None, "", False):
            continue
        if isinstance(value, float):
            value = round(value, 1)
        elif name == "points":
            value = [[round(x, 1), round(y, 1)] for x, y in value]
        values[name] = list(value) if isinstance(value, tuple) else value
    return values
