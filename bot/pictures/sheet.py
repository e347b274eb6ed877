"""A picture being laid out from the top down."""

from __future__ import annotations

from bot.pictures import fonts
from bot.pictures.model import WIDTH, Box, Drawing, Mark, Path, Piece, Text
from bot.pictures.palette import INK, SOFT

MARGIN = 12.0
SMALL = 11.0  # the least size of any word
PLAIN = 12.5
HEAD = 18.0
LEAST_HEAD = 13.0  # a longer title is cut


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
        plate: str | None = None,
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
            plate=plate,
            what=what,
        )
        self.pieces.append(piece)
        return piece

    def heading(self, title: str, below: str, right: str = "") -> None:
        """Write the title, the date at the right, and a line below."""
        room = self.inner
        if right:
            day = fonts.cut(right, PLAIN, self.inner / 2)
            room -= fonts.width(day, PLAIN) + 10
        shrunk = HEAD * room / max(room, fonts.width(fonts.covered(title), HEAD, True) + 0.5)
        size = max(LEAST_HEAD, shrunk)
        at = self.y + (HEAD - size) * fonts.ASCENT
        self.put(title, MARGIN, at, size, most=room, bold=True, what="title")
        if right:
            drop = HEAD * fonts.ASCENT - PLAIN * fonts.ASCENT
            self.put(
                day, WIDTH - MARGIN, self.y + drop, PLAIN, most=self.inner / 2, align="right",
                colour=SOFT, what="date",
            )  # fmt: skip
        self.y += HEAD * fonts.LINE + 2
        if below:
            self.lines(below, colour=SOFT, most_lines=2)
        self.y += 6

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

    def box(self, x: float, y: float, w: float, h: float, **how: str | None) -> None:
        """Draw a box."""
        self.pieces.append(Box(x=x, y=y, w=w, h=h, **how))  # type: ignore[arg-type]

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

    def done(self, title: str, caption: str) -> Drawing:
        """Return the picture, as tall as what was laid out."""
        return Drawing(
            width=WIDTH,
            height=self.y + MARGIN,
            title=title,
            caption=caption,
            pieces=tuple(self.pieces),
        )
