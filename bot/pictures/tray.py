"""The tray as it stands: a sign in every cell, a name in words over every block, the day's work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.pictures import fonts
from bot.pictures.cell_signs import SIGNS, Tally
from bot.pictures.model import WIDTH, Drawing
from bot.pictures.sheet import Sheet
from bot.pictures.style import (
    ACCENT,
    FINE,
    INK,
    MARGIN,
    MOSS,
    PLAIN,
    PLAIN_LINE,
    SMALL,
    STONE,
    WARN,
)
from bot.wording.drawn import pictures as words
from bot.wording.pieces.work_lines import work_lines
from bot.wording.voice import Voice
from core.cells import Cell
from core.due.open_work import due_items
from core.group.garden import Garden, TrayOf
from core.group.standing import standing, taken_cells, tray_named
from core.replies.looks import SowingLine
from core.shown.tray_lines import tray_line

ROW_ROOM = 16.0  # for the row letters
TALLEST = 520.0  # of the cells together
LEAST_HIGH = 14.5
MOST_CELL = 30.0
LANE = SMALL * fonts.LINE + 1.0  # of one line of names between two rows
MOST_LEGEND = 18
MOST_WORK = 4
COLOURS = {"up": ACCENT, "moved": STONE, "lost": WARN, "wait": INK, "none": STONE}
SIZES = {"up": 0.62, "moved": 0.36, "lost": 0.4, "wait": 0.2, "none": 0.4}


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One sowing in a tray: what is said of it, its cells in reading order, their states."""

    line: SowingLine
    cells: tuple[Cell, ...]
    tally: Tally


def drawing(garden: Garden, tray: str, voice: Voice) -> Drawing:
    """Return the map of a tray; raise TrayUnknown for one that is not there."""
    found = tray_named(garden, tray)
    line = tray_line(garden, found, voice.today)
    blocks = _blocks(garden, found, line.sowings)
    work = work_lines(tuple(i for i in due_items(garden, voice.today) if i.tray == tray), voice)
    below = words.tray_below(found.shelf, found.cells, line.free, voice)
    sums = {state: sum(getattr(b.tally, state) for b in blocks) for state in SIGNS}
    sentence = words.tray_sentence(found.code, sums, line.free, voice)

    sheet = Sheet()
    sheet.heading(sentence, below, voice.day(voice.today))
    _cells(sheet, garden, found, blocks, voice)
    _key(sheet, sums, voice)
    _legend(sheet, blocks, voice)
    _work(sheet, work, voice)
    said = [(b.line, words.tally(b.tally.pairs(), voice)) for b in blocks]
    return sheet.done(sentence, words.tray_caption(sentence, below, said, work, voice))


def _blocks(garden: Garden, tray: TrayOf, lines: Sequence[SowingLine]) -> list[Block]:
    here = [pair for pair in standing(garden) if pair[1].tray == tray.code]
    found = [
        Block(line=line, cells=tuple(sorted(growing.cells)), tally=Tally.of(sowing, growing))
        for (sowing, growing), line in zip(here, lines, strict=True)
        if growing.cells
    ]
    return sorted(found, key=lambda block: block.cells[0])


def _cells(
    sheet: Sheet, garden: Garden, tray: TrayOf, blocks: Sequence[Block], voice: Voice
) -> None:
    wide = min(MOST_CELL, (sheet.inner - ROW_ROOM) / tray.cols)
    high = max(LEAST_HIGH, min(wide, TALLEST / tray.rows))
    left = MARGIN + ROW_ROOM
    _numbers(sheet, tray.cols, left, wide)
    sheet.y += SMALL * fonts.LINE + 3
    owners = {cell: sowing.code for cell, sowing in taken_cells(garden, tray.code).items()}
    state_of = {
        cell: state
        for block in blocks
        for cell, state in zip(block.cells, block.tally.states(), strict=True)
    }
    for row in range(tray.rows):
        starts = [b for b in blocks if b.cells[0].row == row]
        _names(sheet, starts, left, wide, voice)
        y = sheet.y
        sheet.put(
            chr(ord("A") + row), MARGIN + ROW_ROOM / 2 - 3, y + (high - SMALL * fonts.LINE) / 2,
            SMALL, align="middle", what="row",
        )  # fmt: skip
        for col in range(tray.cols):
            cell, x = Cell(row, col), left + col * wide
            state = state_of.get(cell)
            what = f"cell {cell.label} {owners[cell]} {state}" if state else f"free {cell.label}"
            gap = min(1.2, wide / 10)
            sheet.box(
                x + gap, y + gap, wide - 2 * gap, high - 2 * gap, edge=STONE, line=FINE, what=what
            )
            if state:
                size = max(2.4, min(wide, high) * SIZES[state])
                sheet.mark(
                    x + wide / 2, y + high / 2, SIGNS[state], COLOURS[state], size, what="sign"
                )
        sheet.y += high
    sheet.y += 8


def _names(sheet: Sheet, starts: Sequence[Block], left: float, wide: float, voice: Voice) -> None:
    """Write the name of each block that begins in the next row over its first cell.

    Names that would meet stand one above the other, the leftmost highest, each on its own stem.
    """
    ends: list[float] = []  # where free room ends in each line of names, from the lowest up
    placed: list[tuple[int, float, Block]] = []
    for block in reversed(starts):
        name = words.block_name(block.line, voice)
        x = left + block.cells[0].col * wide + 1
        room = WIDTH - MARGIN - x
        need = min(room, fonts.width(fonts.covered(name), SMALL, True) + 1)
        floor = max((lane for lane, _, _ in placed), default=0)
        lane = floor if floor >= len(ends) or x + need + 6 <= ends[floor] else floor + 1
        if lane >= len(ends):
            ends.append(WIDTH)
        ends[lane] = x
        placed.append((lane, x, block))
    for lane, x, block in placed:
        y = sheet.y + (len(ends) - 1 - lane) * LANE
        sheet.put(
            words.block_name(block.line, voice), x + 3, y, SMALL, bold=True,
            what=f"name {block.line.sowing}",
        )  # fmt: skip
        bottom = sheet.y + len(ends) * LANE + 1.5
        sheet.path((x, y + 2), (x, bottom), colour=MOSS, width=PLAIN_LINE, what="stem")
    sheet.y += len(ends) * LANE + (2 if ends else 0)


def _numbers(sheet: Sheet, cols: int, left: float, wide: float) -> None:
    """Write the column numbers, leaving out what would run together."""
    room = fonts.width(str(cols), SMALL) + 3
    step = 1
    while step * wide < room:
        step += 1
    for col in range(0, cols, step):
        sheet.put(
            str(col + 1), left + (col + 0.5) * wide, sheet.y, SMALL, align="middle", what="column"
        )


def _key(sheet: Sheet, sums: dict[str, int], voice: Voice) -> None:
    """Name the signs that are there, with their sums."""
    x = MARGIN
    for state, sign in SIGNS.items():
        if not sums[state]:
            continue
        name = words.cell_state(state, sums[state], voice)
        wide = 18 + fonts.width(fonts.covered(name), SMALL) + 14
        if x > MARGIN and x + wide > MARGIN + sheet.inner:
            x, sheet.y = MARGIN, sheet.y + 18
        size = 18 * SIZES[state]
        sheet.mark(x + 6, sheet.y + 7, sign, COLOURS[state], size, what=f"key {state}")
        sheet.put(name, x + 18, sheet.y, SMALL, most=sheet.inner - 18, what="key")
        x += wide
    if x > MARGIN:
        sheet.y += 18
        note = voice.say("Signs count; where no cell was named they fill a block from its start.")
        sheet.lines(note, size=SMALL, most_lines=2, what="note")
        sheet.y += 4


def _legend(sheet: Sheet, blocks: Sequence[Block], voice: Voice) -> None:
    for block in blocks[:MOST_LEGEND]:
        sheet.lines(words.legend_name(block.line, voice), bold=True, most_lines=2, what="legend")
        facts = words.legend_facts(block.line, words.tally(block.tally.pairs(), voice), voice)
        sheet.lines(facts, size=SMALL, most_lines=3, what="legend")
        sheet.y += 4
    more = len(blocks) - MOST_LEGEND
    if more > 0:
        sheet.lines(voice.say_n("and {n} more sowing", "and {n} more sowings", more))


def _work(sheet: Sheet, work: Sequence[str], voice: Voice) -> None:
    sheet.rule()
    if not work:
        sheet.lines(voice.say("Nothing to do today."), what="work")
        return
    sheet.lines(voice.say("To do today"), bold=True, what="work")
    for line in work[:MOST_WORK]:
        sheet.mark(MARGIN + 4, sheet.y + PLAIN * fonts.LINE / 2, "disc", INK, 4, what="work")
        sheet.lines(line, x=MARGIN + 12, most_lines=3, what="work")
    more = len(work) - MOST_WORK
    if more > 0:
        sheet.lines(voice.say_n("and {n} more: /due", "and {n} more: /due", more))
