"""Several hundred ways of saying things, each with the request it must become."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from bot.grammar import GrammarContext, parse
from core import requests as asked
from core.cells import Cell, CellPart, CellSpec, Part

CONTEXT = GrammarContext(
    today=date(2027, 4, 10),
    trays=("T1", "T2", "T5"),
    shelves=("A", "B"),
    lots=("L1", "L2"),
    members=("Ana", "Ben Ode"),
    growing=("tomato", "pepper", "winter_squash"),
    bot_name="tray_bot",
    private=True,
)
ROWS = [
    tuple(part.strip() for part in line.split(" => ", 1))
    for file in ("phrasings.txt", "phrasings_es.txt")
    for line in Path(__file__).with_name(file).read_text("utf-8").splitlines()
    if line.strip() and not line.startswith("#")
]


def cells(text: str) -> CellSpec:
    """Read cells the plain way, apart from the grammar under test."""
    parts = []
    for piece in re.findall(r"all|row \w|column \d+|\w\d+-\w\d+|\w\d+", text):
        if piece == "all":
            parts.append(CellPart(Part.ALL))
        elif piece.startswith("row"):
            parts.append(CellPart(Part.ROW, Cell(ord(piece[-1]) - ord("A"), 0)))
        elif piece.startswith("column"):
            parts.append(CellPart(Part.COLUMN, Cell(0, int(piece.split()[1]) - 1)))
        else:
            first, _, last = piece.partition("-")
            parts.append(CellPart(Part.RANGE, Cell.of(first), Cell.of(last or first)))
    return CellSpec(tuple(parts))


def place(trays: str = "", within: str = "", *, all: bool = False, **more: Any) -> asked.Where:
    """Build a place from short words."""
    spec = cells(within) if within else None
    return asked.Where(trays=tuple(trays.split()), cells=spec, everything=all, **more)


def item(crop: str, plants: int, sowings: int = 1, variety: str | None = None) -> asked.PlanItem:
    """Build one wish of a plan."""
    return asked.PlanItem(crop=crop, plants=plants, sowings=sowings, variety=variety)


NAMES = {
    **vars(asked), "time": time, "W": place,
    "C": cells, "D": date.fromisoformat, "T": time.fromisoformat,
    "I": item, "Moist": lambda level, **more: asked.Moist(level=asked.Moisture(level), **more),
    "Temp": lambda kind=None, **more: asked.Temp(kind=kind and asked.TempKind(kind), **more),
}  # fmt: skip


@pytest.mark.parametrize(("typed", "expected"), ROWS, ids=[row[0] for row in ROWS])
def test_phrasing_becomes_the_request_meant(typed: str, expected: str) -> None:
    lines = parse(typed, CONTEXT)
    assert len(lines) == 1
    line = lines[0]
    if expected.startswith("?"):
        assert line.problem is None
        assert line.request is None
        assert line.choice_kind == expected[1:]
        assert line.choices
    elif expected.startswith("!"):
        assert type(line.problem).__name__ == expected[1:]
        assert line.request is None
    else:
        assert line.problem is None, repr(line.problem)
        assert not line.choices
        assert line.request == eval(expected, NAMES)


def test_the_table_holds_at_least_300_distinct_phrasings_that_become_requests() -> None:
    counted = Counter(" ".join(typed.casefold().split()) for typed, _ in ROWS)
    assert len(counted) >= 300
    assert sum(1 for _, expected in ROWS if expected[0] not in "?!") >= 300
