"""No garden makes a picture beyond a stated size, however much stands in it."""

from __future__ import annotations

import io
from datetime import timedelta
from typing import Any

import pytest
from PIL import Image

from bot.pictures import space, tray
from bot.pictures.model import MOST_HIGH, WIDTH, Drawing
from bot.pictures.render import MOST_PIXELS, SCALE, png
from bot.pictures.sheet import Sheet
from core.cells import MAX_COLS, MAX_ROWS, Cell
from tests.pictures import gardens

PLATFORM_SIDES = 10_000  # width and height of a picture together; Telegram Bot API, sendPhoto


def huge_space(shelves: int, weeks: int) -> dict[str, Any]:
    days = [(gardens.TODAY + timedelta(days=7 * n)).isoformat() for n in range(weeks)]
    row = {"places": 999, "used": [n * 10 for n in range(weeks)]}
    return {"weeks": days, "shelves": {f"S{n}": row for n in range(shelves)}}


def held(drawing: Drawing) -> None:
    """Assert that a drawing keeps within the bounds, and so does what is painted of it."""
    assert drawing.height <= MOST_HIGH
    image = Image.open(io.BytesIO(png(drawing)))
    assert image.width * image.height <= MOST_PIXELS
    assert image.width + image.height <= PLATFORM_SIDES


def test_the_tallest_picture_is_within_what_a_messenger_takes() -> None:
    assert SCALE * (WIDTH + MOST_HIGH) <= PLATFORM_SIDES
    assert SCALE**2 * WIDTH * MOST_HIGH <= MOST_PIXELS


@pytest.mark.parametrize("language", ["en", "es"])
def test_very_many_shelves_are_cut_with_dots(language: str) -> None:
    made = space.drawing(huge_space(2000, 60), gardens.voice(language))
    held(made)
    assert made.height == MOST_HIGH
    assert [text.text for text in made.texts()][-1] == "…"
    assert len(made.pieces) < 20_000
    assert all(text.y + text.h <= MOST_HIGH for text in made.texts())


def test_the_largest_tray_with_a_sowing_in_each_cell_is_within_bounds() -> None:
    sowings = tuple(
        gardens.sowing(
            n + 1, gardens.CROPS[n % 8], (Cell(n // MAX_COLS, n % MAX_COLS),), stage="up"
        )
        for n in range(MAX_ROWS * MAX_COLS)
    )
    garden = gardens.garden(sowings, rows=MAX_ROWS, cols=MAX_COLS)
    held(tray.drawing(garden, "T1", gardens.voice()))


def test_few_shelves_are_not_cut() -> None:
    made = space.drawing(huge_space(3, 20), gardens.voice())
    held(made)
    assert "…" not in [text.text for text in made.texts()]


def test_lines_without_end_are_cut() -> None:
    sheet = Sheet()
    for n in range(10_000):
        sheet.lines(f"line {n}")
    held(sheet.done("x", "x"))


def test_what_is_too_large_is_not_painted() -> None:
    with pytest.raises(ValueError, match="too large"):
        png(Drawing(width=WIDTH, height=1e6, title="x", caption="x", pieces=()))
