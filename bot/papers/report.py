"""The season on one page, for the school or the committee. No member is named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from bot.papers import pdf
from bot.pictures.fonts import wrapped
from bot.wording.drawn import report as words
from bot.wording.replies import results as said
from bot.wording.voice import Voice
from core.group.garden import Garden
from core.group.growing import follow
from core.records import snapshot
from core.records.database import Database
from core.results.season_results import LotResult, SeasonResults, season_results
from core.trade.label_grids import PAPER_MM, Paper

EDGE: float = 16 * mm
LOTS, PLACES, METHODS, SPEEDS, LOSSES = 8, 5, 3, 5, 5  # rows, so that one page holds them
SMALL, PLAIN, HEAD, TITLE = 8.5, 9.5, 11.0, 17.0
BAR_WIDE: float = 46 * mm
BAR_HIGH = 7.0
FOOT: float = EDGE + 46  # below it only what the figures rest on


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the page for `values` of `group_id` as a PDF; LookupError for no such group.

    Checked by: tests/pictures/test_report.py.
    """
    from bot.papers.read_group import read

    with database.transaction() as session:
        garden, voice = read(session, values, now)
        every = snapshot.all_sowings(session, garden.site.group_id)
    return page(garden, season_results(garden, every, voice.today), voice)


def page(garden: Garden, found: SeasonResults, voice: Voice) -> bytes:
    """Return the page of a season's results."""
    size = PAPER_MM[Paper.LETTER if garden.site.inches else Paper.A4]
    title = words.title(garden.site.name, voice)

    def draw(canvas: Canvas) -> None:
        _Page(canvas, size, voice).write(garden, found, title)
        canvas.showPage()

    return pdf.document(size, title, draw)


class _Page:
    """One page being written from the top down; `y` counts from the bottom edge."""

    def __init__(self, canvas: Canvas, size_mm: tuple[float, float], voice: Voice) -> None:
        self.canvas, self.voice = canvas, voice
        self.wide: float = size_mm[0] * mm
        self.y: float = size_mm[1] * mm - EDGE

    @property
    def room(self) -> float:
        return self.wide - 2 * EDGE

    def write(self, garden: Garden, found: SeasonResults, title: str) -> None:
        voice = self.voice
        self._line(title, TITLE, bold=True, most=2)
        self._line(words.below(found, len(garden.members), voice), PLAIN, grey=True)
        if garden.site.demo:
            self._line(voice.say("Invented data of a demonstration."), PLAIN, bold=True)
        self.y -= 8
        alive = sum(follow(sowing).alive for sowing in garden.sowings)
        self._figures(words.figures(found, alive, voice))
        self._line(words.left_out(found, voice), SMALL, grey=True)
        if found.lots:
            self._head(voice.say("What came up, by lot"))
            for lot in found.lots[:LOTS]:
                self._lot(lot)
            self._more(len(found.lots) - LOTS)
        places = [*found.places[:PLACES], *found.methods[:METHODS]]
        self._table(
            voice.say("By place"),
            [(words.place_name(p, voice), words.counted(p.tally, voice)) for p in places],
            PLACES + METHODS,
        )
        self._table(
            voice.say("Days to come up"),
            [(voice.crop(s.crop), words.speed(s, voice)) for s in found.speeds],
            SPEEDS,
        )
        self._table(
            voice.say("Losses"),
            [
                (
                    loss.cause or voice.say("cause unknown"),
                    words.loss(loss.plants, loss.sowings, voice),
                )
                for loss in found.losses
            ],
            LOSSES,
        )
        if found.total is not None:
            self.y -= 6
            self._line(words.basis(found, voice), SMALL, grey=True, most=3)

    def _line(
        self, text: str, size: float, *, bold: bool = False, grey: bool = False, most: int = 1
    ) -> None:
        if not text:
            return
        self.canvas.setFillGray(0.35 if grey else 0.1)
        self.canvas.setFont(pdf.BOLD if bold else pdf.REGULAR, size)
        for line in wrapped(text, size, self.room, most, bold):
            self.y -= size * 1.1
            self.canvas.drawString(EDGE, self.y, line)
            self.y -= size * 0.25

    def _head(self, text: str) -> None:
        self.y -= 12
        self._line(text, HEAD, bold=True)
        self.canvas.setStrokeGray(0.75)
        self.canvas.setLineWidth(0.5)
        self.y -= 2
        self.canvas.line(EDGE, self.y, self.wide - EDGE, self.y)
        self.y -= 3

    def _more(self, rest: int) -> None:
        if rest > 0:
            self._line(self.voice.say_n("and {n} more", "and {n} more", rest), SMALL, grey=True)

    def _figures(self, figures: Sequence[tuple[str, str]]) -> None:
        """Write the large figures side by side, each over what it is of."""
        wide = self.room / len(figures)
        lines = 1
        for number, (figure, of) in enumerate(figures):
            x = EDGE + number * wide
            self.canvas.setFillGray(0.1)
            self.canvas.setFont(pdf.BOLD, 20)
            self.canvas.drawString(x, self.y - 20, pdf.cut(figure, 20, wide - 8, bold=True))
            self.canvas.setFont(pdf.REGULAR, SMALL)
            self.canvas.setFillGray(0.35)
            under = wrapped(of, SMALL, wide - 10, 2)
            lines = max(lines, len(under))
            for row, line in enumerate(under):
                self.canvas.drawString(x, self.y - 33 - row * 11, line)
        self.y -= 33 + lines * 11

    def _lot(self, lot: LotResult) -> None:
        """Write a lot: name, count, bar with its interval, and what it says of the seed."""
        canvas, voice = self.canvas, self.voice
        self.y -= PLAIN * 1.5
        bar = self.wide - EDGE - BAR_WIDE
        canvas.setFillGray(0.1)
        canvas.setFont(pdf.BOLD, PLAIN)
        name_room = self.room * 0.42
        canvas.drawString(
            EDGE, self.y, pdf.cut(words.lot_name(lot, voice), PLAIN, name_room, bold=True)
        )
        canvas.setFont(pdf.REGULAR, PLAIN)
        room = bar - EDGE - name_room - 14
        canvas.drawString(
            EDGE + name_room + 8, self.y, pdf.cut(words.counted(lot.tally, voice), PLAIN, room)
        )
        base = self.y + 0.5
        canvas.setFillGray(0.92)
        canvas.rect(bar, base, BAR_WIDE, BAR_HIGH, stroke=0, fill=1)
        canvas.setFillColorRGB(0.69, 0.69, 0.95)  # pale enough for the line over it
        canvas.rect(bar, base, BAR_WIDE * lot.tally.share, BAR_HIGH, stroke=0, fill=1)
        canvas.setStrokeGray(0.1)
        canvas.setLineWidth(1)
        middle = base + BAR_HIGH / 2
        low, high = lot.tally.interval.low, lot.tally.interval.high
        canvas.line(bar + BAR_WIDE * low, middle, bar + BAR_WIDE * high, middle)
        if lot.least is not None:
            x = bar + BAR_WIDE * lot.least
            canvas.setLineWidth(1.6)
            canvas.line(x, base - 2, x, base + BAR_HIGH + 2)
        verdict = said.verdict(lot, voice)
        if verdict:
            self.y -= 2.5
            self._line(verdict, SMALL, grey=True)
        self.y -= 2

    def _table(self, head: str, rows: Sequence[tuple[str, str]], most: int) -> None:
        """Write at most `most` rows under a heading, and none where the foot needs the room."""
        line = PLAIN * 1.35
        fit = min(most + 1, int((self.y - FOOT - 30) // line))
        if not rows or fit < 2:
            return
        self._head(head)
        shown = rows if len(rows) <= fit else rows[: fit - 1]
        for name, value in shown:
            self.y -= line
            self.canvas.setFillGray(0.1)
            self.canvas.setFont(pdf.REGULAR, PLAIN)
            half = self.room / 2 - 6
            self.canvas.drawString(EDGE, self.y, pdf.cut(name, PLAIN, half))
            self.canvas.drawString(EDGE + half + 12, self.y, pdf.cut(value, PLAIN, half))
        self._more(len(rows) - len(shown))
