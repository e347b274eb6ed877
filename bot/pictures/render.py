"""Paint a drawing as a PNG; no display is needed and the same drawing gives the same bytes."""

from __future__ import annotations

import functools
import io
from itertools import pairwise

from PIL import Image, ImageColor, ImageDraw

from bot.pictures import fonts
from bot.pictures.model import Box, Drawing, Mark, Path, Text
from bot.pictures.style import PAPER

SCALE = 3
"""Pixels to a point: sharp on a phone whose screen is 1170 wide."""

STEPS = 15
"""Steps from the ground to the ink at the edge of a letter; more are not seen."""

SIGNS = (
    "disc", "ring", "square", "diamond", "triangle", "cross", "seedling", "away", "line",
)  # fmt: skip


class Painter:
    """Paper on which each pixel is the number of a colour: no colour is made but those needed."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.image = Image.new("L", size, 0)
        self.draw = ImageDraw.Draw(self.image)
        self._numbers: dict[tuple[int, int, int], int] = {}
        self.colour(PAPER)

    def colour(self, name: str) -> int:
        """Return the number of a colour; the nearest where there are too many."""
        return self._number(ImageColor.getrgb(name)[:3])

    def _number(self, rgb: tuple[int, ...]) -> int:
        red, green, blue = rgb
        known = self._numbers
        if (red, green, blue) not in known and len(known) > MOST_COLOURS:
            red, green, blue = min(
                known, key=lambda k: sum((a - b) ** 2 for a, b in zip(k, rgb, strict=True))
            )
        return known.setdefault((red, green, blue), len(known))

    @functools.cached_property
    def _shades(self) -> dict[tuple[int, int], list[int]]:
        return {}

    def shades(self, ground: int, ink: int) -> list[int]:
        """Return the colour numbers for how much of a pixel a letter covers, 0 to 255."""
        if (ground, ink) not in self._shades:
            colours = list(self._numbers)
            below, above = colours[ground], colours[ink]
            steps = [
                self._number(
                    tuple(round(a + (b - a) * n / STEPS) for a, b in zip(below, above, strict=True))
                )
                for n in range(STEPS + 1)
            ]
            self._shades[ground, ink] = [steps[round(n * STEPS / 255)] for n in range(256)]
        return self._shades[ground, ink]

    def png(self) -> bytes:
        """Return the bytes of a PNG file."""
        self.image.putpalette([part for rgb in self._numbers for part in rgb])
        out = io.BytesIO()
        self.image.save(out, "PNG", compress_level=4)
        return out.getvalue()


MOST_COLOURS = 255  # a palette's last number


MOST_PIXELS = 12_000_000  # of one picture, a byte each while it is painted


def png(drawing: Drawing, scale: int = SCALE) -> bytes:
    """Return a drawing as the bytes of a PNG file; raise ValueError beyond MOST_PIXELS."""
    if drawing.width * drawing.height * scale**2 > MOST_PIXELS:
        raise ValueError("a picture too large")
    paint = Painter((round(drawing.width * scale), round(drawing.height * scale)))
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
    return paint.png()


def _box(paint: Painter, box: Box, scale: int) -> None:
    left, top = round(box.x * scale), round(box.y * scale)
    right, bottom = round((box.x + box.w) * scale) - 1, round((box.y + box.h) * scale) - 1
    if right < left or bottom < top:
        return
    width = max(1, round(box.line * scale)) if box.edge else 0
    paint.draw.rectangle(
        (left, top, right, bottom),
        fill=paint.colour(box.fill) if box.fill else None,
        outline=paint.colour(box.edge) if box.edge else None,
        width=width,
    )


def _text(paint: Painter, text: Text, scale: int) -> None:
    """Write a text in shades between its ink and the ground its first letter stands on."""
    x, y = round(text.x * scale), round((text.y + text.size * fonts.ASCENT) * scale)
    face = fonts.face(round(text.size * scale), text.bold)
    left, top, right, bottom = (round(side) for side in face.getbbox(text.text, anchor="ls"))
    if right <= left or bottom <= top:
        return
    cover = Image.new("L", (right - left, bottom - top), 0)
    ImageDraw.Draw(cover).text((-left, -top), text.text, font=face, fill=255, anchor="ls")
    ink, corner = paint.colour(text.colour), (x + left, y + top)
    wide, high = paint.image.size
    inside = (min(max(corner[0], 0), wide - 1), min(max(corner[1], 0), high - 1))
    ground = paint.image.getpixel(inside)
    assert isinstance(ground, int)
    shaded = cover.point(paint.shades(ground, ink))
    paint.image.paste(shaded, corner, cover.point(SEEN))


SEEN = [0 if n * STEPS < 128 else 255 for n in range(256)]
"""Where a letter leaves the ground as it is: what rounds to no step."""


def _path(paint: Painter, path: Path, scale: int) -> None:
    points = [(x * scale, y * scale) for x, y in path.points]
    width, ink = max(1, round(path.width * scale)), paint.colour(path.colour)
    if path.dash is None:
        paint.draw.line(points, fill=ink, width=width)
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
                paint.draw.line(
                    (
                        x0 + (x1 - x0) * a,
                        y0 + (y1 - y0) * a,
                        x0 + (x1 - x0) * b,
                        y0 + (y1 - y0) * b,
                    ),
                    fill=ink,
                    width=width,
                )
            at += run
            gone += run


def _mark(paint: Painter, mark: Mark, scale: int) -> None:
    x, y, r = mark.x * scale, mark.y * scale, mark.size * scale / 2
    ink, draw = paint.colour(mark.fill), paint.draw
    line = max(1, round(r / 3))
    match mark.shape:
        case "disc":
            draw.ellipse((x - r, y - r, x + r, y + r), fill=ink)
        case "ring":
            draw.ellipse((x - r, y - r, x + r, y + r), outline=ink, width=line)
        case "square":
            r *= 0.9
            draw.rectangle((x - r, y - r, x + r, y + r), fill=ink)
        case "diamond":
            draw.polygon([(x, y - r), (x + r, y), (x, y + r), (x - r, y)], fill=ink)
        case "triangle":
            draw.polygon([(x, y - r), (x + r, y + r), (x - r, y + r)], fill=ink)
        case "cross":
            draw.line((x - r, y - r, x + r, y + r), fill=ink, width=line)
            draw.line((x - r, y + r, x + r, y - r), fill=ink, width=line)
        case "seedling":  # a stem and two seed leaves
            draw.line((x, y + r, x, y - r * 0.1), fill=ink, width=max(1, round(r / 4)))
            draw.ellipse((x - r, y - r * 0.8, x, y + r * 0.05), fill=ink)
            draw.ellipse((x, y - r * 0.8, x + r, y + r * 0.05), fill=ink)
        case "away":  # an arrow out of the tray
            draw.line((x - r, y + r, x + r * 0.6, y - r * 0.6), fill=ink, width=line)
            draw.polygon([(x + r, y - r), (x + r, y + r * 0.2), (x - r * 0.2, y - r)], fill=ink)
        case "line":  # nothing came: a dash
            draw.line((x - r * 0.7, y, x + r * 0.7, y), fill=ink, width=line)
        case _:
            raise ValueError(mark.shape)
