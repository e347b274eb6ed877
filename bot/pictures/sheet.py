"""A picture being laid out from the top down."""

from __future__ import annotations

from bot.pictures import fonts
from bot.pictures.model import MOST_HIGH, WIDTH, Box, Drawing, Mark, Path, Piece, Text
from bot.pictures.style import FINE, HEAD, INK, MARGIN, PLAIN, SMALL, STONE

MOST_HEAD = 3  # lines of the opening sentence


class Sheet:
    """Collects pieces; `y` is where the next line goes."""

    def __init__(self) -> None:
        self.pieces: list[Piece] = []
        self.y = MARGIN

    @property
    def inner(self) -> float:
        """Width between the margins."""
        return WIDTH - 2 * MARGIN

    def put(
        self,
        text: str,
        x: float,
        y: float,
        size: float = PLAIN,
        *,
        most: float | None = None,
        align: str = "left",
        bold: bool = False,
        colour: str = INK,
        what: str = "",
    ) -> Text:
        """Write a text at `x` (its left end, middle or right end), cut to `most` points."""
        room = most
        if room is None:
            sides = {"left": WIDTH - MARGIN - x, "right": x - MARGIN}
            room = sides.get(align, 2 * (min(x, WIDTH - x) - 2))
        shown = fonts.cut(text, size, room, bold)
        wide = fonts.width(shown, size, bold)
        left = {"left": x, "middle": x - wide / 2, "right": x - wide}[align]
        piece = Text(
            x=left,
            y=y,
            w=wide,
            h=size * fonts.LINE,
            text=shown,
            size=size,
            bold=bold,
            colour=colour,
            what=what,
        )
        self.pieces.append(piece)
        return piece

    def heading(self, sentence: str, below: str = "", right: str = "") -> None:
        """Write the one sentence the picture says, then what it is of and the day, and a rule."""
        self.lines(sentence, size=HEAD, bold=True, most_lines=MOST_HEAD, what="title")
        self.y += 1
        day = fonts.cut(right, SMALL, self.inner / 2)
        room = self.inner - (fonts.width(day, SMALL) + 12 if day else 0)
        self.put(below, MARGIN, self.y, SMALL, most=room, what="below")
        if day:
            self.put(
                day, WIDTH - MARGIN, self.y, SMALL, most=self.inner / 2, align="right", what="date"
            )
        self.y += SMALL * fonts.LINE + 3
        self.rule()

    def rule(self) -> None:
        """Draw a fine line across and leave a little room under it."""
        self.path((MARGIN, self.y), (WIDTH - MARGIN, self.y), colour=STONE, width=FINE, what="rule")
        self.y += 8

    def lines(
        self,
        text: str,
        *,
        x: float = MARGIN,
        size: float = PLAIN,
        most_lines: int = 1,
        bold: bool = False,
        colour: str = INK,
        what: str = "",
    ) -> None:
        """Write a text from the cursor down, wrapped to the right margin."""
        for line in fonts.wrapped(text, size, WIDTH - MARGIN - x, most_lines, bold):
            self.put(line, x, self.y, size, bold=bold, colour=colour, what=what)
            self.y += size * fonts.LINE + 1.5

    def box(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        *,
        fill: str | None = None,
        edge: str | None = None,
        line: float = FINE,
        what: str = "",
    ) -> None:
        """Draw a box."""
        self.pieces.append(Box(x=x, y=y, w=w, h=h, fill=fill, edge=edge, line=line, what=what))

    def path(
        self,
        *points: tuple[float, float],
        colour: str,
        width: float = 1.0,
        dash: tuple[float, float] | None = None,
        what: str = "",
    ) -> None:
        """Draw a line."""
        self.pieces.append(Path(points=points, colour=colour, width=width, dash=dash, what=what))

    def mark(
        self, x: float, y: float, shape: str, fill: str, size: float = 7.0, what: str = ""
    ) -> None:
        """Draw a sign."""
        self.pieces.append(Mark(x=x, y=y, shape=shape, size=size, fill=fill, what=what))

    @property
    def full(self) -> bool:
        """Whether what is laid out from here on is cut off."""
        return self.y > MOST_HIGH

    def done(self, title: str, caption: str) -> Drawing:
        """Return the picture, as tall as what was laid out; what has no room gives way to dots."""
        height = self.y + MARGIN
        if height > MOST_HIGH:
            height = MOST_HIGH
            base = height - MARGIN - PLAIN * fonts.LINE
            self.pieces = [piece for piece in self.pieces if _end(piece) <= base]
            self.put("…", MARGIN, base, bold=True, what="cut")
        return Drawing(
            width=WIDTH,
            height=height,
            title=title,
            caption=caption,
            pieces=tuple(self.pieces),
        )


def _end(piece: Piece) -> float:
    """Return where a piece ends, points from the top."""
    match piece:
        case Box() | Text():
            return piece.y + piece.h
        case Path():
            return max(y for _, y in piece.points)
        case Mark():
            return piece.y + piece.size / 2
        case _:
            return piece.y + piece.side
