"""Tags to take home, each with a care card in the family's language."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot.papers import pdf
from bot.papers.codes import code, link
from bot.papers.labels import size_for
from bot.papers.layout import MM, Pages
from bot.papers.page import Page
from bot.pictures import fonts
from bot.pictures.style import INK, STONE
from bot.wording.replies import sheets as words
from bot.wording.voice import Voice
from core.handlers.tags import tags_of
from core.records.database import Database
from core.replies.sheets import Tag
from core.trade.label_grids import PAPER_MM, Paper

COLS, ROWS = 2, 3
SIDE = 9.0 * MM
HOLE = 5.0 * MM
CODE = 18.0 * MM
CARE_PT = (6.5, 16.0)


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the tags for `values` of core/replies/sheets.py as a PDF.

    Raises LookupError for a group that is none. Checked by: tests/pictures/test_sheets.py.
    """
    from bot.papers.read_group import read

    with database.transaction() as session:
        garden, voice = read(session, values, now)
        found = tags_of(session, garden, now, voice.today, values.get("crop"))
    size = PAPER_MM[Paper(str(values["paper"]))]
    return pdf.painted(laid_out(found, size, voice), voice.say("Tags to take home"))


def laid_out(found: Sequence[Tag], size_mm: tuple[float, float], voice: Voice) -> tuple[Page, ...]:
    """Return the tags on as many pages as they take; an empty page without any."""
    pages = Pages(size_mm)
    wide, high = (size_mm[0] * MM - 2 * SIDE) / COLS, (size_mm[1] * MM - 2 * SIDE) / ROWS
    for number, tag in enumerate(found):
        place = number % (COLS * ROWS)
        if number and not place:
            pages.turn()
        if not place:
            _cut_lines(pages, wide, high)
        row, col = divmod(place, COLS)
        own = replace(voice, language=tag.language) if tag.language else voice
        _tag(pages, tag, (SIDE + col * wide, SIDE + row * high, wide, high), own)
    return pages.pages(numbered=False)


def _tag(pages: Pages, tag: Tag, box: tuple[float, float, float, float], voice: Voice) -> None:
    """Draw one tag: a hole to tie it by, the plant's name, whose it is, and how to care for it."""
    left, top, wide, high = box
    pad = 4 * MM
    x, y, room = left + pad, top + pad, wide - 2 * pad
    pages.mark(x + HOLE / 2, y + HOLE / 2 + 2, "ring", STONE, HOLE, what="hole")
    coded = bool(voice.bot_name and tag.tray)
    if coded:
        pages.pieces.append(
            code(link(tag.tray or "", voice.bot_name), left + wide - pad - CODE, top + pad, CODE)
        )
    start, beside = x + HOLE + 6, room - HOLE - 6 - (CODE + 4 if coded else 0)
    name = voice.crop(tag.crop)
    name = name[:1].upper() + name[1:]
    size = min(28.0, size_for(name, beside, bold=True))
    pages.put(name, start, y, size, most=beside, bold=True, what="name")
    y += size * fonts.LINE
    for text in (tag.variety or "", words.tag_for(tag, voice)):
        for line in pdf.wrapped(text, 10.5, beside, 2):
            pages.put(line, start, y, 10.5, most=beside, what="whose")
            y += 10.5 * fonts.LINE
    y = max(y, top + pad + (CODE if coded else 0)) + 4
    pages.path((x, y), (x + room, y), colour=STONE, what="rule")
    y += 4
    _care(pages, words.tag_lines(tag, voice), x, y, room, top + high - pad - y)


def _care(
    pages: Pages, lines: Sequence[str], x: float, top: float, room: float, high: float
) -> None:
    """Write the care card in the largest letters in which all of it fits."""
    size = CARE_PT[1]
    while True:
        rows = [row for line in lines for row in pdf.wrapped(line, size, room, 9)]
        if len(rows) * size * fonts.LINE + 2 * len(lines) <= high or size <= CARE_PT[0]:
            break
        size -= 0.5
    y = top
    for line in lines:
        for row in pdf.wrapped(line, size, room, 9):
            if y + size * fonts.LINE > top + high:
                return
            pages.put(row, x, y, size, most=room, colour=INK, what="care")
            y += size * fonts.LINE
        y += 2


def _cut_lines(pages: Pages, wide: float, high: float) -> None:
    for col in range(COLS + 1):
        x = SIDE + col * wide
        pages.path((x, 0), (x, pages.high), colour=STONE, width=0.4, dash=(3, 3), what="cut")
    for row in range(ROWS + 1):
        y = SIDE + row * high
        pages.path((0, y), (pages.wide, y), colour=STONE, width=0.4, dash=(3, 3), what="cut")
