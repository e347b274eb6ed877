"""Sheets of labels: what stands on them, where, and whether the codes lead home."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageDraw
from pypdf import PdfReader
from pypdf.generic import ContentStream

from bot.papers import codes as links
from bot.papers import labels as papers
from core.group.labels import Label, labels
from core.trade.label_grids import GRIDS, PAPER_MM, LabelGrid, Paper
from tests.pictures.gardens import LONG, TODAY, block, garden, sample, sowing, voice
from tests.pictures.laid_out import cut, faults

POINTS = 72 / 25.4
GRID_IDS = [grid.id for grid in GRIDS.rows()]


def sheet(grid: str, made: Sequence[Label] | None = None, bot_name: str = "bench_bot") -> bytes:
    if made is None:
        made = labels(sample(), ("T1",), ())
    return papers.sheets(made, GRIDS.by_id()[grid], voice(bot_name=bot_name))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("grid", GRID_IDS)
def test_nothing_overlaps_or_leaves_the_paper_and_a_name_of_forty_letters_is_whole(
    grid: str, language: str
) -> None:
    name = "Corazón de la Abuela Larga y Ácida 2027"
    assert len(name) in (39, 40)
    row = GRIDS.by_id()[grid]
    of = garden(
        tuple(
            sowing(n, crop, block(n - 1, 0, 11), variety=name if n % 2 else None, lot=f"L{n}")
            for n, crop in enumerate(("pepper", "tomato", "lettuce", "basil", "onion", "zinnia"), 1)
        )
    )
    made = labels(of, ("T1",), (), TODAY)
    out = papers.laid_out(made, row, voice(language, bot_name="bench_bot"))
    for page in out:
        assert faults(page) == []
    if row.label_w_mm >= 60 and row.label_h_mm >= 35:
        assert [text for page in out for text in cut(page)] == []


def test_a_stake_says_when_it_was_sown_is_up_and_goes_out() -> None:
    text = pages(sheet("a4-stake", labels(sample(), ("T1",), (), TODAY))).pages[0].extract_text()
    assert "Tray T1" not in text
    for said in ("Basil", "sown 31 Mar 2027", "up by 16 Apr", "plant out 18 May", "into the mix"):
        assert said in text, said


def test_a_card_holds_a_tray_and_its_varieties_however_many() -> None:
    text = pages(sheet("letter-card", labels(sample(), ("T1",), (), TODAY))).pages[0].extract_text()
    assert text.count("Tray T1") == 2
    for said in ("tomato (Amber Pip)", "lettuce", "basil", "E1-E4"):
        assert said in text, said


def pages(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def blacks(pdf: bytes, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Return the filled rectangles of a page: x, y, width, height in points from below."""
    reader = pages(pdf)
    found = reader.pages[page].get_contents()
    assert found is not None
    stream = ContentStream(found, reader)
    boxes: list[Any] = [
        tuple(float(v) for v in values)
        for values, operator in stream.operations
        if operator == b"re"
    ]
    return boxes


def codes(pdf: bytes, grid: LabelGrid) -> list[str]:
    """Paint the filled rectangles of the first page and read its codes with another program."""
    wide, high = (round(side * POINTS) for side in PAPER_MM[grid.paper])
    scale = 6
    image = Image.new("L", (wide * scale, high * scale), 255)
    paint = ImageDraw.Draw(image)
    for x, y, w, h in blacks(pdf):
        paint.rectangle(
            (
                round(x * scale),
                round((high - y - h) * scale),
                round((x + w) * scale) - 1,
                round((high - y) * scale) - 1,
            ),
            fill=0,
        )
    return [found.text for found in zxingcpp.read_barcodes(np.asarray(image))]


@pytest.mark.parametrize("grid", GRID_IDS)
def test_every_sheet_has_its_paper_and_as_many_pages_as_labels_take(grid: str) -> None:
    row = GRIDS.by_id()[grid]
    made = labels(sample(), ("T1",), ()) * 20
    found = pages(sheet(grid, made))
    count = len(papers.on_paper(made, row.shape))
    assert len(found.pages) == -(-count // row.count)
    box = found.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(
        [side * POINTS for side in PAPER_MM[row.paper]], abs=0.01
    )


def test_a4_and_letter_are_the_standard_sizes() -> None:
    assert PAPER_MM[Paper.A4] == (210.0, 297.0)  # ISO 216
    assert PAPER_MM[Paper.LETTER] == pytest.approx((8.5 * 25.4, 11 * 25.4))  # ANSI/ASME Y14.1


def test_a_label_says_crop_variety_lot_date_member_and_cells() -> None:
    text = pages(sheet("a4-2x4")).pages[0].extract_text()
    for said in (
        "Tray T1",
        "Tomato",
        "Amber Pip",
        "T1 A1-B6, S1",
        "sown 4 Mar 2027",
        "lot L1",
        "Ana",
    ):
        assert said in text, said


def test_codes_read_by_another_program_open_the_bot_at_the_tray() -> None:
    for grid in ("a4-cut", "a4-3x7", "letter-3x10", "a4-5x13"):
        found = codes(sheet(grid), GRIDS.by_id()[grid])
        on_page = min(len(labels(sample(), ("T1",), ())), GRIDS.by_id()[grid].count)
        assert found == ["https://t.me/bench_bot?start=tray-T1"] * on_page, grid


def test_what_the_link_carries_is_allowed_by_the_messenger() -> None:
    import re

    payload = links.link("T12", "bench_bot").partition("start=")[2]
    assert re.fullmatch(r"[A-Za-z0-9_-]{1,64}", payload)


def test_without_a_bot_to_open_no_code_is_printed() -> None:
    assert blacks(sheet("a4-3x7", bot_name="")) == []
    assert blacks(sheet("letter-4x20")) == []  # too low for a code that can be read


@pytest.mark.parametrize("grid", GRID_IDS)
def test_every_code_keeps_within_its_label_and_is_large_enough(grid: str) -> None:
    row = GRIDS.by_id()[grid]
    high = PAPER_MM[row.paper][1]
    for x, y, w, h in blacks(sheet(grid)):
        left, top = x / POINTS, high - (y + h) / POINTS
        col = int((left - row.left_mm) // row.step_x_mm)
        line = int((top - row.top_mm) // row.step_y_mm)
        x0, y0 = row.corner_mm(line * row.cols + col)
        assert x0 <= left
        assert left + w / POINTS <= x0 + row.label_w_mm + 0.01
        assert y0 <= top + 0.01
        assert top + h / POINTS <= y0 + row.label_h_mm + 0.01
        assert h / POINTS >= 0.3  # mm a module


@pytest.mark.parametrize("grid", GRID_IDS)
def test_every_word_keeps_within_its_label(grid: str) -> None:
    row = GRIDS.by_id()[grid]
    made = (
        labels(
            garden((sowing(1, "pepper", block(0, 0, 3), variety=LONG, lot="L123"),)), ("T1",), ()
        )
        * 3
    )
    high = PAPER_MM[row.paper][1] * POINTS
    seen = []

    def visit(text: str, _: Any, matrix: list[float], font: Any, size: float) -> None:
        if text.strip():
            seen.append((text.strip(), matrix[4], high - matrix[5], size))

    pages(sheet(grid, made)).pages[0].extract_text(visitor_text=visit)
    assert seen
    from bot.papers import pdf

    for text, x, y, size in seen:
        place = next(
            (x0, y0)
            for n in range(row.count)
            for x0, y0 in [tuple(side * POINTS for side in row.corner_mm(n))]
            if x0 <= x < x0 + row.label_w_mm * POINTS and y0 <= y < y0 + row.label_h_mm * POINTS
        )
        assert y - size * 0.75 >= place[1] - 0.5
        assert y + size * 0.25 <= place[1] + row.label_h_mm * POINTS + 0.5
        for line in text.splitlines():
            assert x + pdf.width(line, size) <= place[0] + row.label_w_mm * POINTS + 0.5


def test_the_same_labels_give_the_same_bytes() -> None:
    assert sheet("a4-3x7") == sheet("a4-3x7")
