"""Labels as a PDF, each with a code that opens the bot at its tray.

Three shapes: strips with a pointed end to stick into the mix, cards for whole trays, and labels
of plain or adhesive sheets.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any

from bot.papers import pdf
from bot.papers.codes import LEAST_MM, code, link
from bot.papers.layout import MM, Pages
from bot.papers.page import Page
from bot.pictures import fonts
from bot.pictures.style import INK, STONE
from bot.wording.replies import labels as words
from bot.wording.voice import Voice
from core.group.labels import Label, labels
from core.records.database import Database
from core.trade.label_grids import GRIDS, PAPER_MM, LabelGrid

PAD = 2.0 * MM
CODE_MM = (LEAST_MM, 26.0)  # least and greatest side of a code
LEAST_PT, WRAP_PT, WHOLE_PT, MOST_PT = 6.0, 7.0, 9.5, 14.0  # size of the lines; the name is larger
POINT = 34.0 * MM  # of a stake: the end that goes into the mix
ROWS_OF_CARD = 4


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the sheets for `values` of core/replies/labels.py as a PDF.

    Raises LookupError for a group that is none, KeyError for a grid that is none.
    Checked by: tests/pictures/test_labels.py.
    """
    from bot.papers.read_group import read

    with database.transaction() as session:
        garden, voice = read(session, values, now)
    trays, sowings = tuple(values.get("trays", ())), tuple(values.get("sowings", ()))
    made = labels(garden, trays, sowings, voice.today)
    return sheets(made, GRIDS.by_id()[str(values["grid"])], voice)


def sheets(made: Sequence[Label], grid: LabelGrid, voice: Voice) -> bytes:
    """Return labels on as many pages as they take; an empty page without any."""
    return pdf.painted(laid_out(made, grid, voice), voice.say("Tray and row labels"))


def laid_out(made: Sequence[Label], grid: LabelGrid, voice: Voice) -> tuple[Page, ...]:
    """Return the pages of labels before they are painted."""
    pages = Pages(PAPER_MM[grid.paper])
    blocks = on_paper(made, grid.shape)
    for number, block in enumerate(blocks or [()]):
        place = number % grid.count
        if number and not place:
            pages.turn()
        if not place and grid.cut:
            _cut_lines(pages, grid)
        if not block:
            continue
        x_mm, y_mm = grid.corner_mm(place)
        box = (x_mm * MM, y_mm * MM, grid.label_w_mm * MM, grid.label_h_mm * MM)
        match grid.shape:
            case "stake":
                _stake(pages, block[0], box, voice)
            case "card":
                _card(pages, block, box, voice)
            case _:
                _label(pages, block[0], box, voice)
    return pages.pages(numbered=False)


def on_paper(made: Sequence[Label], shape: str) -> list[tuple[Label, ...]]:
    """Return what stands together: each label alone; a stake for no whole tray; on a card a tray
    with its varieties, as many cards as these take."""
    if shape == "stake":
        return [(label,) for label in made if label.size is None]
    if shape != "card":
        return [(label,) for label in made]
    blocks: list[tuple[Label, ...]] = []
    for tray in dict.fromkeys(label.tray for label in made):
        whole = [label for label in made if label.tray == tray and label.size is not None]
        rows = [label for label in made if label.tray == tray and label.size is None]
        for start in range(0, max(1, len(rows)), ROWS_OF_CARD):
            part = rows[start : start + ROWS_OF_CARD]
            head = whole[0] if whole else Label(tray=tray, cells=None, crops=())
            blocks.append((head, *part))
    return blocks


Box = tuple[float, float, float, float]


def _code_of(pages: Pages, label: Label, box: Box, voice: Voice, side: float) -> bool:
    """Draw the code of a label's tray in the right of a box, if there is a bot to open."""
    left, top, wide, high = box
    if not label.tray or not voice.bot_name or side < CODE_MM[0] * MM:
        return False
    pages.pieces.append(
        code(
            link(label.tray, voice.bot_name),
            left + wide - side - PAD / 2,
            top + (high - side) / 2,
            side,
        )
    )
    return True


def _label(pages: Pages, label: Label, box: Box, voice: Voice) -> None:
    left, top, wide, high = box
    room = wide - 2 * PAD
    side = min(high - PAD, max(wide * 0.34, CODE_MM[0] * MM), CODE_MM[1] * MM)
    if _code_of(pages, label, box, voice, side):
        room = wide - side - 2 * PAD
    head = words.head(label, voice)
    size, lines = fitted(words.facts(label, voice), high - PAD, room)
    columns = [lines]
    if label.size is None:
        beside = words.facts_beside(label, voice)
        wider = _beside_size(beside, high - PAD, room)
        if wider > size:
            size, columns = wider, beside
    head_size = min(size * 1.45, 20.0, max(8.0, size_for(head, room, bold=True)))
    block = head_size * 1.245 + max(len(lines) for lines in columns) * size * 1.28
    base = top + max(PAD / 2, (high - block) / 2) + head_size * 0.9
    _at(pages, head, left + PAD, base, head_size, room, bold=True)
    below = base + head_size * 0.245 - size * 0.245  # clear of what hangs below the name
    step = (room + PAD) / len(columns)
    for number, lines in enumerate(columns):
        base = below
        for line in lines:
            base += size * 1.28
            _at(pages, line, left + PAD + number * step, base, size, step - PAD)


def _beside_size(columns: Sequence[Sequence[str]], high: float, room: float) -> float:
    """Return the letter size at which lines fit under a name in columns; 0 for a column less."""
    if not all(columns):
        return 0.0
    step = (room + PAD) / len(columns) - PAD
    by_height = high / (1.55 + 1.28 * max(len(lines) for lines in columns))
    return min(MOST_PT, by_height, *(size_for(line, step) for lines in columns for line in lines))


def _at(
    pages: Pages, text: str, x: float, base: float, size: float, most: float, bold: bool = False
) -> None:
    """Write a text whose letters stand on `base`; its box is as high as its letters alone."""
    piece = pages.put(text, x, base - size * fonts.ASCENT, size, most=most, bold=bold)
    assert piece.y + size * fonts.ASCENT > 0


def _stake(pages: Pages, label: Label, box: Box, voice: Voice) -> None:
    """Draw a strip: its code, name and days in large letters, and an end to cut to a point."""
    left, top, wide, high = box
    tip, shoulder = left + wide, left + wide - POINT
    pages.path(
        (shoulder, top), (tip, top + high / 2), (shoulder, top + high), colour=STONE,
        dash=(3, 3), what="point",
    )  # fmt: skip
    pages.put(
        voice.say("into the mix"), shoulder + 4, top + high / 2 - 6, 9.0, most=POINT * 0.66,
        what="point said",
    )  # fmt: skip
    side = high - PAD
    start = left + PAD
    if _code_of(pages, label, (left, top, side + PAD / 2, high), voice, side):
        start = left + side + PAD
    part = (shoulder - start - 6) / 2
    name, variety = words.head(label, voice), label.crops[0][1] or ""
    size = max(12.0, min(22.0, size_for(name, part - 8, bold=True)))
    y = top + 5
    pages.put(name, start, y, size, most=part - 8, bold=True)
    y += size * fonts.LINE
    under = [*([variety] if variety else []), words.place(label, voice)]
    small, rows = fitted(under, (top + high - 3 - y) / 1.28 + 12, part - 8)
    small = min(small, 12.0, (top + high - 3 - y) / len(rows) / fonts.LINE)
    for line in rows:
        pages.put(line, start, y, small, most=part - 8)
        y += small * fonts.LINE
    _lines(pages, words.days(label, voice), start + part, top, part, high)


def _lines(
    pages: Pages, lines: Sequence[str], x: float, top: float, wide: float, high: float
) -> None:
    """Write lines in the largest letters that fit, in the middle of a height."""
    size = min(
        14.5,
        (high - 6) / max(1, len(lines)) / fonts.LINE,
        *(size_for(line, wide) for line in lines),
    )
    size = max(9.0, size)
    y = top + max(1.0, (high - len(lines) * size * fonts.LINE) / 2)
    for line in lines:
        pages.put(line, x, y, size, most=wide)
        y += size * fonts.LINE


def _card(pages: Pages, block: Sequence[Label], box: Box, voice: Voice) -> None:
    """Draw a tray's card: its name as large as it goes, then each variety with its days."""
    left, top, wide, high = box
    label, rows = block[0], block[1:]
    x, y, room = left + 2 * PAD, top + PAD, wide - 4 * PAD
    side = 26.0 * MM
    drawn = _code_of(pages, label, (left, top + PAD / 2, wide - PAD, side), voice, side)
    beside = room - side if drawn else room
    name = words.head(label, voice)
    size = min(34.0, size_for(name, beside, bold=True))
    pages.put(name, x, y, size, most=beside, bold=True)
    y += size * fonts.LINE
    for line in words.facts(label, voice)[-1:] if label.size else ():
        pages.put(line, x, y, 11.0, most=beside)
    y = top + PAD / 2 + side + 2
    pages.path((x, y), (x + room, y), colour=STONE, what="rule")
    step = (top + high - PAD - y) / max(1, len(rows))
    sizes = [_row_size(words.card_row(row, voice), step, room) for row in rows]
    size = min(sizes, default=0.0)  # one size on a card, so that no variety looks lesser
    for row in rows:
        _card_row(pages, words.card_row(row, voice), (x, y, room, step), size)
        y += step


CARD_PT = (9.0, 17.0)  # of the days on a card; the name is larger by NAME_ABOVE
NAME_ABOVE = 1.3


def _row_size(said: tuple[str, list[str]], step: float, room: float) -> float:
    """Return the letter size at which a name and a line for each fact fit a card's row.

    The least size where they do not fit so; the facts then run on.
    """
    name, lines = said
    by_height = (step - 4) / fonts.LINE / (NAME_ABOVE + len(lines))
    by_width = min(size_for(line, room) for line in lines)
    by_name = size_for(name, room, bold=True) / NAME_ABOVE
    return max(CARD_PT[0], min(CARD_PT[1], by_height, by_width, by_name))


def _card_row(pages: Pages, said: tuple[str, list[str]], box: Box, size: float) -> None:
    """Write a variety with its cells and days, a line each where there is room for it."""
    name, lines = said
    x, y, room, step = box
    head = min(size * NAME_ABOVE, size_for(name, room, bold=True))
    pages.put(name, x, y + 2, head, most=room, bold=True, colour=INK, what="variety")
    at = y + 2 + head * fonts.LINE
    left = y + step - at
    if len(lines) * size * fonts.LINE > left + 0.1:
        size, lines = _run_on(", ".join(lines), size, left, room)
    for line in lines:
        pages.put(line, x, at, size, most=room, what="variety days")
        at += size * fonts.LINE


def _run_on(text: str, size: float, high: float, room: float) -> tuple[float, list[str]]:
    """Return the largest letter size, from `size` down, at which a text wraps into a height."""
    while True:
        most = max(1, int(high / size / fonts.LINE))
        rows = pdf.wrapped(text, size, room, most + 1)
        if len(rows) <= most or size <= LEAST_PT:
            return size, rows[:most]
        size -= 0.25


def fitted(lines: Sequence[str], high: float, room: float) -> tuple[float, list[str]]:
    """Return a letter size and the lines to write under a name in `high` by `room` points.

    The largest letters in which all fit: each line whole if these are large enough to read
    with wet eyes, else on three at most. Where these would grow too
    small, neighbours are joined, those first that make the shortest line; what is still too wide
    is cut when it is written.
    """
    kept = [fonts.covered(line) for line in lines]
    for least, split in ((WHOLE_PT, False), (WRAP_PT, True)):
        size = MOST_PT
        while size >= least:
            rows = [
                row for line in kept for row in (_wrapped(line, size, room) if split else [line])
            ]
            if size * (1.55 + 1.28 * len(rows)) <= high and all(
                pdf.width(row, size) <= room for row in rows
            ):
                return size, rows
            size -= 0.5
    while len(kept) > 1 and high / (1.55 + 1.28 * len(kept)) < LEAST_PT:
        joined = [f"{a}, {b}" for a, b in pairwise(kept)]
        at = min(range(len(joined)), key=lambda n: pdf.width(joined[n], LEAST_PT))
        kept[at : at + 2] = [joined[at]]
    by_height = high / (1.55 + 1.28 * len(kept))
    by_width = min((size_for(line, room) for line in kept), default=MOST_PT)
    return max(LEAST_PT, min(MOST_PT, by_height, by_width)), kept


MOST_ROWS_OF_LINE = 3


def _wrapped(line: str, size: float, room: float) -> list[str]:
    """Return a line on as few rows as it takes; one row still too wide where three are too few."""
    rows: list[str] = []
    parts = line.split()
    while parts:
        count = len(parts)
        while count > 1 and pdf.width(" ".join(parts[:count]), size) > room:
            count -= 1
        rows.append(" ".join(parts[:count]))
        parts = parts[count:]
    return rows if len(rows) <= MOST_ROWS_OF_LINE else [line]


def size_for(text: str, room: float, bold: bool = False) -> float:
    """Return the letter size at which a text just fits `room` points."""
    return room / max(0.01, pdf.width(fonts.covered(text), 1.0, bold))


def _cut_lines(pages: Pages, grid: LabelGrid) -> None:
    """Draw where to cut: round each label, right across the paper."""
    for col in range(grid.cols + 1):
        x = min(pages.wide, (grid.left_mm + col * grid.step_x_mm) * MM)
        pages.path((x, 0), (x, pages.high), colour=STONE, width=0.4, dash=(3, 3), what="cut")
    for row in range(grid.rows + 1):
        y = min(pages.high, (grid.top_mm + row * grid.step_y_mm) * MM)
        pages.path((0, y), (pages.wide, y), colour=STONE, width=0.4, dash=(3, 3), what="cut")
