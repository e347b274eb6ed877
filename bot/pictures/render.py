"""Paint a drawing as a PNG; no display is needed and the same drawing gives the same bytes."""

from __future__ import annotations

import io
from itertools import pairwise

from PIL import Image, ImageDraw

from bot.pictures import fonts
from bot.pictures.model import Box, Drawing, Mark, Path, Text
from bot.pictures.style import PAPER

SCALE = 3
"""Pixels to a point: sharp on a phone whose screen is 1170 wide."""

COLOURS = 160
"""Colours kept: a third of the bytes and faster than all of them, and nobody sees it."""

SIGNS = (
    "disc", "ring", "square", "diamond", "triangle", "cross", "seedling", "away", "line",
)  # fmt: skip

Painter = ImageDraw.ImageDraw


def png(drawing: Drawing, scale: int = SCALE) -> bytes:
    """Return a drawing as the bytes of a PNG file."""
    size = (round(drawing.width * scale), round(drawing.height * scale))
    image = Image.new("RGB", size, PAPER)
    paint = ImageDraw.Draw(image)
    for piece in drawing.pieces:
        match piece:
            case Box():
                _box(paint, piece, scale)
            case Text():
                _text(paint, piece, scale)
            case Path():
                _path(paint, piece, scale)
            case Mark():
                _mark(paint, piece, scale)
    few = image.quantize(COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    out = io.BytesIO()
    few.save(out, "PNG", compress_level=4)
    return out.getvalue()


def _box(paint: Painter, box: Box, scale: int) -> None:
    left, top = round(box.x * scale), round(box.y * scale)
    right, bottom = round((box.x + box.w) * scale) - 1, round((box.y + box.h) * scale) - 1
    if right < left or bottom < top:
        return
    width = max(1, round(box.line * scale)) if box.edge else 0
    paint.rectangle(
        (left, top, right, bottom), fill=box.fill, outline=box.edge or None, width=width
    )


def _text(paint: Painter, text: Text, scale: int) -> None:
    base = (round(text.x * scale), round((text.y + text.size * fonts.ASCENT) * scale))
    face = fonts.face(round(text.size * scale), text.bold)
    paint.text(base, text.text, font=face, fill=text.colour, anchor="ls")


def _path(paint: Painter, path: Path, scale: int) -> None:
    points = [(x * scale, y * scale) for x, y in path.points]
    width = max(1, round(path.width * scale))
    if path.dash is None:
        paint.line(points, fill=path.colour, width=width)
        return
    on, off = path.dash[0] * scale, path.dash[1] * scale
    gone = 0.0  # along the whole line, so that dashes run round corners
    for (x0, y0), (x1, y1) in pairwise(points):
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        at = 0.0
        while at < length:
            within = gone % (on + off)
            run = (on - within) if within < on else (on + off - within)
            run = min(max(run, 0.01), length - at)
            if within < on:
                a, b = at / length, (at + run) / length
                paint.line(
                    (
                        x0 + (x1 - x0) * a,
                        y0 + (y1 - y0) * a,
                        x0 + (x1 - x0) * b,
                        y0 + (y1 - y0) * b,
                    ),
                    fill=path.colour,
                    width=width,
                )
            at += run
            gone += run


def _mark(paint: Painter, mark: Mark, scale: int) -> None:
    x, y, r, ink = mark.x * scale, mark.y * scale, mark.size * scale / 2, mark.fill
    line = max(1, round(r / 3))
    match mark.shape:
        case "disc":
            paint.ellipse((x - r, y - r, x + r, y + r), fill=ink)
        case "ring":
            paint.ellipse((x - r, y - r, x + r, y + r), outline=ink, width=line)
        case "square":
            r *= 0.9
            paint.rectangle((x - r, y - r, x + r, y + r), fill=ink)
        case "diamond":
            paint.polygon([(x, y - r), (x + r, y), (x, y + r), (x - r, y)], fill=ink)
        case "triangle":
            paint.polygon([(x, y - r), (x + r, y + r), (x - r, y + r)], fill=ink)
        case "cross":
            paint.line((x - r, y - r, x + r, y + r), fill=ink, width=line)
            paint.line((x - r, y + r, x + r, y - r), fill=ink, width=line)
        case "seedling":  # a stem and two seed leaves
            paint.line((x, y + r, x, y - r * 0.1), fill=ink, width=max(1, round(r / 4)))
            paint.ellipse((x - r, y - r * 0.8, x, y + r * 0.05), fill=ink)
            paint.ellipse((x, y - r * 0.8, x + r, y + r * 0.05), fill=ink)
        case "away":  # an arrow out of the tray
            paint.line((x - r, y + r, x + r * 0.6, y - r * 0.6), fill=ink, width=line)
            paint.polygon([(x + r, y - r), (x + r, y + r * 0.2), (x - r * 0.2, y - r)], fill=ink)
        case "line":  # nothing came: a dash
            paint.line((x - r * 0.7, y, x + r * 0.7, y), fill=ink, width=line)
        case _:
            raise ValueError(mark.shape)
