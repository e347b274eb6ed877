"""Sheets of labels as a PDF, each with a code that opens the bot at its tray."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any
from urllib.parse import quote

import segno
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from bot.papers import pdf
from bot.pictures import fonts
from bot.wording.replies import labels as words
from bot.wording.voice import Voice
from core.group.labels import Label, labels
from core.records.database import Database
from core.trade.label_grids import GRIDS, PAPER_MM, LabelGrid

PAD_MM = 2.0
CODE_MM = (12.0, 26.0)  # least and greatest side of a code, its quiet zone with it
LEAST_PT, MOST_PT = 6.0, 14.0  # size of the lines; the name is larger
QUIET = 4  # modules left white round a code, ISO/IEC 18004


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the sheets for `values` of core/replies/labels.py as a PDF.

    Raises LookupError for a group that is none, KeyError for a grid that is none.
    Checked by: tests/pictures/test_labels.py.
    """
    from bot.papers.read_group import read

    with database.transaction() as session:
        garden, voice = read(session, values, now)
    made = labels(garden, tuple(values.get("trays", ())), tuple(values.get("sowings", ())))
    return sheets(made, GRIDS.by_id()[str(values["grid"])], voice)


def sheets(made: Sequence[Label], grid: LabelGrid, voice: Voice) -> bytes:
    """Return labels on as many pages as they take; an empty page without any."""

    def draw(canvas: Canvas) -> None:
        for number, label in enumerate(made):
            if number and number % grid.count == 0:
                canvas.showPage()
            if number % grid.count == 0 and grid.cut:
                _cut_lines(canvas, grid)
            x_mm, y_mm = grid.corner_mm(number % grid.count)
            _label(canvas, label, grid, x_mm * mm, y_mm * mm, voice)
        canvas.showPage()

    return pdf.document(PAPER_MM[grid.paper], voice.say("Tray and row labels"), draw)


def link(tray: str, bot_name: str) -> str:
    """Return the address that opens a chat with the bot at a tray."""
    return f"https://t.me/{quote(bot_name)}?start=tray-{quote(tray)}"


def _label(
    canvas: Canvas, label: Label, grid: LabelGrid, left: float, top: float, voice: Voice
) -> None:
    """Draw one label; `top` counts down from the page's upper edge."""
    page_h = PAPER_MM[grid.paper][1] * mm
    wide, high, pad = grid.label_w_mm * mm, grid.label_h_mm * mm, PAD_MM * mm
    room = wide - 2 * pad
    side = min(high - pad, max(wide * 0.34, CODE_MM[0] * mm), CODE_MM[1] * mm)
    if label.tray and voice.bot_name and side >= CODE_MM[0] * mm:
        code_top = top + (high - side) / 2
        _code(
            canvas, link(label.tray, voice.bot_name), left + wide - side - pad / 2,
            page_h - code_top - side, side,
        )  # fmt: skip
        room = wide - side - 2 * pad
    head = words.head(label, voice)
    size, lines = fitted(words.facts(label, voice), high - pad, room)
    head_size = min(size * 1.45, 20.0, max(8.0, size_for(head, room, bold=True)))
    block = head_size + len(lines) * size * 1.28
    y = top + max(pad / 2, (high - block) / 2) + head_size * 0.9
    x = left + pad
    canvas.setFont(pdf.BOLD, head_size)
    canvas.drawString(x, page_h - y, pdf.cut(head, head_size, room, bold=True))
    canvas.setFont(pdf.REGULAR, size)
    for line in lines:
        y += size * 1.28
        canvas.drawString(x, page_h - y, pdf.cut(line, size, room))


def fitted(lines: Sequence[str], high: float, room: float) -> tuple[float, list[str]]:
    """Return a letter size and the lines to write under a name in `high` by `room` points.

    Where letters would grow too small, neighbours are joined, those first that make the
    shortest line; what is still too wide is cut when it is written.
    """
    kept = [fonts.covered(line) for line in lines]
    while len(kept) > 1 and high / (1.45 + 1.28 * len(kept)) < LEAST_PT:
        joined = [f"{a}, {b}" for a, b in pairwise(kept)]
        at = min(range(len(joined)), key=lambda n: pdf.width(joined[n], LEAST_PT))
        kept[at : at + 2] = [joined[at]]
    by_height = high / (1.45 + 1.28 * len(kept))
    by_width = min((size_for(line, room) for line in kept), default=MOST_PT)
    return max(LEAST_PT, min(MOST_PT, by_height, by_width)), kept


def size_for(text: str, room: float, bold: bool = False) -> float:
    """Return the letter size at which a text just fits `room` points."""
    return room / max(0.01, pdf.width(fonts.covered(text), 1.0, bold))


def _code(canvas: Canvas, text: str, left: float, bottom: float, side: float) -> None:
    """Draw a QR code within a square, its white edge with it."""
    code = segno.make(text, error="m", micro=False)
    matrix = [bytes(row) for row in code.matrix]
    module = side / (len(matrix) + 2 * QUIET)
    canvas.setFillGray(0)
    path = canvas.beginPath()
    for row, modules in enumerate(matrix):
        y = bottom + side - (QUIET + row + 1) * module
        for start, stop in _runs(modules):
            path.rect(left + (QUIET + start) * module, y, (stop - start) * module, module)
    canvas.drawPath(path, stroke=0, fill=1)


def _runs(modules: bytes) -> list[tuple[int, int]]:
    """Return the (first, after last) of each run of dark modules."""
    edges = [n for n, (a, b) in enumerate(pairwise((0, *modules, 0))) if bool(a) != bool(b)]
    return list(zip(edges[::2], edges[1::2], strict=True))


def _cut_lines(canvas: Canvas, grid: LabelGrid) -> None:
    page_w, page_h = (side * mm for side in PAPER_MM[grid.paper])
    canvas.saveState()
    canvas.setStrokeGray(0.6)
    canvas.setLineWidth(0.4)
    canvas.setDash(3, 3)
    for col in range(grid.cols + 1):
        x = (grid.left_mm + col * grid.step_x_mm) * mm
        canvas.line(x, 0, x, page_h)
    for row in range(grid.rows + 1):
        y = page_h - (grid.top_mm + row * grid.step_y_mm) * mm
        canvas.line(0, y, page_w, y)
    canvas.restoreState()
