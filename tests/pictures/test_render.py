"""Painting: the colours, patterns and letters of the model are what comes out."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from bot.pictures import style
from bot.pictures.model import Box, Drawing, Mark, Path, Piece, Text
from bot.pictures.render import SCALE, SIGNS, png
from tests.pictures.drawings import CASES


def painted(*pieces: Piece, width: float = 60, height: float = 60) -> np.ndarray:
    drawing = Drawing(width=width, height=height, title="t", caption="c", pieces=pieces)
    return np.asarray(Image.open(io.BytesIO(png(drawing))).convert("RGB")).astype(int)


def rgb(colour: str) -> np.ndarray:
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])


def test_fills_keep_their_colour_to_a_shade_nobody_sees() -> None:
    boxes = [
        Box(x=8.0 * n, y=0, w=8, h=60, fill=colour) for n, colour in enumerate(style.INKS.values())
    ]
    image = painted(*boxes, width=64)
    for n, colour in enumerate(style.INKS.values()):
        shown = image[30 * SCALE, (8 * n + 4) * SCALE]
        assert np.abs(shown - rgb(colour)).max() <= 6, colour


def test_fills_keep_their_colour_in_a_whole_picture() -> None:
    drawing = CASES["space"]()
    image = np.asarray(Image.open(io.BytesIO(png(drawing))).convert("RGB")).astype(int)
    taken = [b for b in drawing.boxes("taken ") if b.fill]
    assert taken
    for box in taken:
        assert box.fill is not None
        shown = image[round((box.y + 3) * SCALE), round((box.x + 3) * SCALE)]
        assert np.abs(shown - rgb(box.fill)).max() <= 8


def test_words_lie_within_the_box_the_model_gives_them() -> None:
    from bot.pictures import fonts

    text, size = "Ñandú jgpqy Å", 20.0
    wide, high = fonts.width(text, size, True), size * fonts.LINE
    image = painted(
        Text(x=10, y=10, w=wide, h=high, text=text, size=size, bold=True),
        width=wide + 20, height=high + 20,
    )  # fmt: skip
    rows, cols = np.where(image.min(axis=2) < 200)
    assert rows.min() >= 9 * SCALE
    assert rows.max() <= (10 + high + 1) * SCALE
    assert cols.min() >= 9 * SCALE
    assert cols.max() <= (10 + wide + 1) * SCALE


def test_dashes_leave_gaps_and_plain_lines_none() -> None:
    ends = ((0.0, 30.0), (60.0, 30.0))
    plain = painted(Path(points=ends, colour="#000000", width=2))[30 * SCALE]
    dashed = painted(Path(points=ends, colour="#000000", width=2, dash=(6, 3)))[30 * SCALE]
    assert (plain.max(axis=1) < 50).all()
    assert (dashed.max(axis=1) < 50).mean() == pytest.approx(2 / 3, abs=0.08)


def test_every_sign_is_painted_and_differs_and_an_unknown_one_is_refused() -> None:
    images = {}
    for shape in SIGNS:
        image = painted(Mark(x=30, y=30, shape=shape, size=20, fill="#1d5a4f"))
        assert (image[:, :, 0] < 128).sum() > 200, shape
        images[shape] = image[:, :, 0] < 128
    for one, other in combinations(SIGNS, 2):
        assert (images[one] != images[other]).sum() > 100, (one, other)
    with pytest.raises(ValueError, match="star"):
        painted(Mark(x=30, y=30, shape="star", size=9, fill="#000000"))
