"""What every PDF here shares: the letters, lengths, and bytes that repeat."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from bot.pictures import fonts
from bot.pictures.model import Box, Code, Mark, Path, Piece, Text

if TYPE_CHECKING:
    from bot.papers.page import Page

REGULAR, BOLD = "Traywarden", "Traywarden-Bold"


@functools.cache
def _faces() -> None:
    pdfmetrics.registerFont(TTFont(REGULAR, str(fonts.path())))
    pdfmetrics.registerFont(TTFont(BOLD, str(fonts.path(True))))


def width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a text in PDF points."""
    _faces()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else REGULAR, size))


def cut(text: str, size: float, most: float, bold: bool = False) -> str:
    """Return a text no wider than `most` points, shortened with `…` where it must be."""
    text = fonts.covered(text)
    if width(text, size, bold) <= most + 0.01:
        return text
    while text and width(text.rstrip() + fonts.CUT, size, bold) > most:
        text = text[:-1]
    return text.rstrip() + fonts.CUT


def document(size_mm: tuple[float, float], title: str, draw: Callable[[Canvas], None]) -> bytes:
    """Return a PDF of pages of one size; the same drawing gives the same bytes."""
    _faces()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(size_mm[0] * mm, size_mm[1] * mm), invariant=1)
    canvas.setTitle(title)
    canvas.setAuthor("Traywarden")
    draw(canvas)
    canvas.save()
    return out.getvalue()


def wrapped(text: str, size: float, most: float, lines: int, bold: bool = False) -> list[str]:
    """Return a text on at most `lines` lines no wider than `most`; the last is cut if it must.

    A word wider than a line goes on in the next one.
    """
    words = [
        part for word in fonts.covered(text).split() for part in _broken(word, size, most, bold)
    ]
    found: list[str] = []
    while words and len(found) < lines - 1:
        count = 1
        while count < len(words) and width(" ".join(words[: count + 1]), size, bold) <= most:
            count += 1
        found.append(cut(" ".join(words[:count]), size, most, bold))
        words = words[count:]
    if words:
        found.append(cut(" ".join(words), size, most, bold))
    return found


def _broken(word: str, size: float, most: float, bold: bool) -> list[str]:
    """Return a word, in pieces where it is wider than a line."""
    pieces: list[str] = []
    while word:
        end = len(word)
        while end > 1 and width(word[:end], size, bold) > most:
            end -= 1
        pieces.append(word[:end])
        word = word[end:]
    return pieces


def painted(pages: Sequence[Page], title: str) -> bytes:
    """Return laid-out pages as a PDF; the same pages give the same bytes."""
    size = (pages[0].width / mm, pages[0].height / mm)

    def draw(canvas: Canvas) -> None:
        for page in pages:
            for piece in page.pieces:
                _paint(canvas, piece, page.height)
            canvas.showPage()

    return document(size, title, draw)


def _paint(canvas: Canvas, piece: Piece, high: float) -> None:
    match piece:
        case Text():
            canvas.setFillColor(HexColor(piece.colour))
            canvas.setFont(BOLD if piece.bold else REGULAR, piece.size)
            canvas.drawString(piece.x, high - piece.y - piece.size * fonts.ASCENT, piece.text)
        case Box():
            if piece.fill:
                canvas.setFillColor(HexColor(piece.fill))
            if piece.edge:
                canvas.setStrokeColor(HexColor(piece.edge))
                canvas.setLineWidth(piece.line)
            canvas.rect(
                piece.x, high - piece.y - piece.h, piece.w, piece.h,
                stroke=int(bool(piece.edge)), fill=int(bool(piece.fill)),
            )  # fmt: skip
        case Path():
            canvas.setStrokeColor(HexColor(piece.colour))
            canvas.setLineWidth(piece.width)
            canvas.setDash(*(piece.dash or ()))
            line = canvas.beginPath()
            for number, (x, y) in enumerate(piece.points):
                (line.lineTo if number else line.moveTo)(x, high - y)
            canvas.drawPath(line, stroke=1, fill=0)
            canvas.setDash()
        case Mark():
            _sign(canvas, piece, high - piece.y)
        case Code():
            canvas.setFillGray(0)
            path = canvas.beginPath()
            for x, y, w, h in piece.runs():
                path.rect(x, high - y - h, w, h)
            canvas.drawPath(path, stroke=0, fill=1)


def _sign(canvas: Canvas, mark: Mark, y: float) -> None:
    ink, r = HexColor(mark.fill), mark.size / 2
    canvas.setFillColor(ink)
    canvas.setStrokeColor(ink)
    canvas.setLineWidth(max(0.7, r / 3))
    match mark.shape:
        case "disc":
            canvas.circle(mark.x, y, r, stroke=0, fill=1)
        case "ring":
            canvas.circle(mark.x, y, r, stroke=1, fill=0)
        case "cross":
            canvas.line(mark.x - r, y - r, mark.x + r, y + r)
            canvas.line(mark.x - r, y + r, mark.x + r, y - r)
        case _:
            raise ValueError(mark.shape)
