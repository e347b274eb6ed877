"""The tray map: every cell by crop and stage, who is who, and what to do today.

A crop is told by colour, a sowing by its letter, a stage by its pattern; no one of them alone.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from bot.pictures import fonts
from bot.pictures.model import Drawing
from bot.pictures.palette import CROPS, INK, RULE, SHADE, SOFT, STAGES, darker
from bot.pictures.sheet import MARGIN, PLAIN, SMALL, Sheet
from bot.wording.drawn import pictures as words
from bot.wording.pieces.work_lines import work_lines
from bot.wording.voice import Voice
from core.cells import Cell
from core.due.open_work import due_items
from core.group.garden import Garden, TrayOf
from core.group.standing import taken_cells
from core.replies.looks import SowingLine
from core.shown.tray_lines import tray_line

ROW_ROOM = 18.0  # for the row letters
TALLEST = 560.0  # of the cells together
LEAST_HIGH = 15.5  # a cell high enough for a letter
LEAST_WIDE = 13.0
MOST_LEGEND = 12
MOST_WORK = 4
SPARE = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789abcdefghkmnpqrstuvwxyz"


def drawing(garden: Garden, tray: str, voice: Voice) -> Drawing:
    """Return the map of a tray; raise TrayUnknown for one that is not there."""
    from core.group.standing import tray_named

    found = tray_named(garden, tray)
    line = tray_line(garden, found, voice.today)
    items = tuple(i for i in due_items(garden, voice.today) if i.tray == found.code)
    work = work_lines(items, voice)
    below = words.tray_below(found.shelf, found.cells, line.free, voice)
    title = voice.say("Tray {tray}", tray=found.code)

    signs = letters([voice.crop(s.crop) for s in line.sowings])
    crops = list(dict.fromkeys(s.crop for s in line.sowings))
    fills = {crop: CROPS[number % len(CROPS)] for number, crop in enumerate(crops)}

    sheet = Sheet()
    sheet.heading(title, below, voice.day(voice.today))
    _cells(sheet, garden, found, line.sowings, signs, fills)
    _stages(sheet, {s.stage for s in line.sowings}, voice)
    _legend(sheet, line.sowings, signs, fills, voice)
    _work(sheet, work, voice)
    caption = words.tray_caption(found.code, below, line.sowings, work, voice)
    return sheet.done(title, caption)


def letters(names: Sequence[str]) -> list[str]:
    """Return a letter for each name, all different: one of its own letters where one is left.

    After as many names as there are letters and figures the rest get none.
    """
    taken: set[str] = set()
    found: list[str] = []
    for name in names:
        own = unicodedata.normalize("NFKD", name).upper()
        wanted = [c for c in own if "A" <= c <= "Z" and c not in "IO"] + list(SPARE)
        sign = next((c for c in wanted if c not in taken), "")
        taken.add(sign)
        found.append(sign)
    return found


def _cells(
    sheet: Sheet,
    garden: Garden,
    tray: TrayOf,
    sowings: Sequence[SowingLine],
    signs: Sequence[str],
    fills: dict[str, str],
) -> None:
    wide = min(46.0, (sheet.inner - ROW_ROOM) / tray.cols)
    high = max(LEAST_HIGH, min(wide, 46.0, TALLEST / tray.rows))
    left, top = MARGIN + ROW_ROOM, sheet.y + SMALL * fonts.LINE + 2
    sign_of = {s.sowing: sign for s, sign in zip(sowings, signs, strict=True)}
    line_of = {s.sowing: s for s in sowings}
    _numbers(sheet, tray.cols, left, wide)
    taken = taken_cells(garden, tray.code)
    size = min(14.0, max(SMALL, min(wide, high) * 0.5))
    for row in range(tray.rows):
        y = top + row * high
        sheet.put(
            chr(ord("A") + row), MARGIN + ROW_ROOM / 2 - 2, y + (high - SMALL * fonts.LINE) / 2,
            SMALL, align="middle", colour=SOFT, what="row",
        )  # fmt: skip
        before = ""
        for col in range(tray.cols):
            cell = Cell(row, col)
            x = left + col * wide
            owner = taken.get(cell)
            if owner is None or owner.code not in line_of:
                sheet.box(x, y, wide, high, fill="#ffffff", edge=RULE, what=f"free {cell.label}")
                before = ""
                continue
            said = line_of[owner.code]
            fill = fills[said.crop]
            sheet.box(
                x, y, wide, high, fill=fill, edge=INK, pattern=STAGES.get(said.stage),
                ink=darker(fill), what=f"cell {cell.label} {owner.code}",
            )  # fmt: skip
            sign = sign_of[owner.code]
            if sign and (wide >= LEAST_WIDE or before != owner.code):
                _sign(sheet, sign, x, y, wide, high, size, fill, cell)
            before = owner.code
    sheet.y = top + tray.rows * high + 8


def _sign(
    sheet: Sheet,
    sign: str,
    x: float,
    y: float,
    wide: float,
    high: float,
    size: float,
    fill: str,
    cell: Cell,
) -> None:
    """Write a cell's letter; in cells too narrow for it only the first of a run carries one."""
    if fonts.width(sign, size, True) > wide:
        return
    sheet.put(
        sign, x + wide / 2, y + (high - size * fonts.LINE) / 2, size, align="middle", bold=True,
        plate=fill, what=f"sign {cell.label}",
    )  # fmt: skip


def _numbers(sheet: Sheet, cols: int, left: float, wide: float) -> None:
    """Write the column numbers, leaving out what would run together."""
    room = fonts.width(str(cols), SMALL) + 3
    step = 1
    while step * wide < room:
        step += 1
    for col in range(0, cols, step):
        sheet.put(
            str(col + 1), left + (col + 0.5) * wide, sheet.y, SMALL, align="middle", colour=SOFT,
            what="column",
        )  # fmt: skip


def _stages(sheet: Sheet, stages: set[str], voice: Voice) -> None:
    """Draw the key of patterns for the stages present."""
    x = MARGIN
    for stage, pattern in STAGES.items():
        if stage not in stages:
            continue
        name = words.stage_name(stage, voice)
        wide = 20 + fonts.width(fonts.covered(name), SMALL) + 12
        if x > MARGIN and x + wide > MARGIN + sheet.inner:
            x, sheet.y = MARGIN, sheet.y + 18
        sheet.box(
            x, sheet.y, 15, 13, fill=SHADE, edge=INK, pattern=pattern, ink=SOFT, what=f"key {stage}"
        )
        sheet.put(name, x + 20, sheet.y, SMALL, what="key")
        x += wide
    if x > MARGIN:
        sheet.y += 22


def _legend(
    sheet: Sheet,
    sowings: Sequence[SowingLine],
    signs: Sequence[str],
    fills: dict[str, str],
    voice: Voice,
) -> None:
    for said, sign in list(zip(sowings, signs, strict=True))[:MOST_LEGEND]:
        fill = fills[said.crop]
        sheet.box(
            MARGIN, sheet.y + 2, 24, 24, fill=fill, edge=INK, pattern=STAGES.get(said.stage),
            ink=darker(fill), what=f"legend {said.sowing}",
        )  # fmt: skip
        if sign:
            sheet.put(
                sign, MARGIN + 12, sheet.y + 14 - PLAIN * fonts.LINE / 2, PLAIN, align="middle",
                bold=True, plate=fill, what="sign",
            )  # fmt: skip
        sheet.lines(words.legend_name(said, voice), x=MARGIN + 32, bold=True, what="legend")
        sheet.lines(
            words.legend_facts(said, voice), x=MARGIN + 32, size=11.5, most_lines=2, what="legend"
        )
        sheet.y += 4
    more = len(sowings) - MOST_LEGEND
    if more > 0:
        sheet.lines(voice.say_n("and {n} more sowing", "and {n} more sowings", more), colour=SOFT)


def _work(sheet: Sheet, work: Sequence[str], voice: Voice) -> None:
    sheet.path((MARGIN, sheet.y + 2), (MARGIN + sheet.inner, sheet.y + 2), colour=RULE, what="rule")
    sheet.y += 8
    if not work:
        sheet.lines(voice.say("Nothing to do today."), what="work")
        return
    sheet.lines(voice.say("To do today"), bold=True, what="work")
    for line in work[:MOST_WORK]:
        sheet.mark(MARGIN + 4, sheet.y + PLAIN * fonts.LINE / 2, "disc", INK, 4.5, what="work")
        sheet.lines(line, x=MARGIN + 12, most_lines=3, what="work")
    more = len(work) - MOST_WORK
    if more > 0:
        sheet.lines(voice.say_n("and {n} more: /due", "and {n} more: /due", more), colour=SOFT)
