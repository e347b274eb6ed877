"""Paint a drawing as a PNG; no display is needed and the same drawing gives the same bytes."""

from __future__ import annotations

import functools
import io
from itertools import pairwise

from PIL import Image, ImageDraw

from bot.pictures import fonts
from bot.pictures.model import Box, Drawing, Mark, Path, Text
from bot.pictures.palette import PAPER

SCALE = 3
"""Pixels to a point: sharp on a phone whose screen is 1170 wide."""

COLOURS = 160
"""Colours kept: a third of the bytes and faster than all of them, and nobody sees it."""

Painter = ImageDraw.ImageDraw


def png(drawing: Drawing, scale: int = SCALE) -> bytes:
    """Return a drawing as the bytes of a PNG file."""
    size = (round(drawing.width * scale), round(drawing.height * scale))
    image = Image.new("RGB", size, PAPER)
    paint = ImageDraw.Draw(image)
    for piece in drawing.pieces:
        match piece:
            case Box():
                _box(image, paint, piece, scale)
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


def _box(image: Image.Image, paint: Painter, box: Box, scale: int) -> None:
    left, top = round(box.x * scale), round(box.y * scale)
    right, bottom = round((box.x + box.w) * scale) - 1, round((box.y + box.h) * scale) - 1
    if right < left or bottom < top:
        return
    if box.fill:
        paint.rectangle((left, top, right, bottom), fill=box.fill)
    if box.pattern and box.ink:
        mask = _pattern(box.pattern, right - left + 1, bottom - top + 1, scale)
        image.paste(box.ink, (left, top), mask)
    if box.edge:
        paint.rectangle((left, top, right, bottom), outline=box.edge, width=max(1, scale // 2))


@functools.lru_cache(maxsize=128)
def _pattern(name: str, w: int, h: int, scale: int) -> Image.Image:
    """Return a mask of a pattern, `w` by `h` pixels."""
    mask = Image.new("1", (w, h), 0)
    paint = ImageDraw.Draw(mask)
    step, thick = 6 * scale, max(1, round(0.9 * scale))
    match name:
        case "dots":
            radius = 1.1 * scale
            for row, y in enumerate(range(step // 3, h, step * 2 // 3)):
                for x in range(step // 3 + (row % 2) * step // 3, w, step * 2 // 3):
                    paint.ellipse((x - radius, y - radius, x + radius, y + radius), fill=1)
        case "slant":
            for x in range(-h, w + h, step):
                paint.line((x, h, x + h, 0), fill=1, width=thick)
        case "cross":
            for x in range(-h, w + h, step):
                paint.line((x, h, x + h, 0), fill=1, width=thick)
                paint.line((x, 0, x + h, h), fill=1, width=thick)
        case "rows":
            for y in range(step // 3, h, step * 2 // 3):
                paint.line((0, y, w, y), fill=1, width=thick)
        case "bars":
            for x in range(step // 3, w, step * 2 // 3):
                paint.line((x, 0, x, h), fill=1, width=thick)
        case _:
            raise ValueError(name)
    return mask


def _text(paint: Painter, text: Text, scale: int) -> None:
    if text.plate:
        paint.rectangle(
            (
                round((text.x - 1) * scale),
                round(text.y * scale),
                round((text.x + text.w + 1) * scale) - 1,
                round((text.y + text.h) * scale) - 1,
            ),
            fill=text.plate,
        )
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
    x, y, r = mark.x * scale, mark.y * scale, mark.size * scale / 2
    line = max(1, scale // 2)
    match mark.shape:
        case "disc":
            paint.ellipse(
                (x - r, y - r, x + r, y + r), fill=mark.fill, outline=mark.edge, width=line
            )
        case "ring":
            paint.ellipse(
                (x - r, y - r, x + r, y + r), fill=PAPER, outline=mark.fill, width=2 * line + 1
            )
        case "square":
            r *= 0.9
            paint.rectangle(
                (x - r, y - r, x + r, y + r), fill=mark.fill, outline=mark.edge, width=line
            )
        case "diamond":
            points = [(x, y - r * 1.2), (x + r * 1.2, y), (x, y + r * 1.2), (x - r * 1.2, y)]
            paint.polygon(points, fill=mark.fill, outline=mark.edge)
        case "triangle":
            points = [(x, y - r * 1.1), (x + r * 1.1, y + r), (x - r * 1.1, y + r)]
            paint.polygon(points, fill=mark.fill, outline=mark.edge)
        case _:
            raise ValueError(mark.shape)
