"""What every PDF here shares: the letters, lengths, and bytes that repeat."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from bot.pictures import fonts

REGULAR, BOLD = "Traywarden", "Traywarden-Bold"


@functools.cache
def _faces() -> None:
    pdfmetrics.registerFont(TTFont(REGULAR, str(fonts.path())))
    pdfmetrics.registerFont(TTFont(BOLD, str(fonts.path(True))))


def width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a text in PDF points."""
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
