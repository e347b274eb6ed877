"""What stands in a garden now: living sowings, taken and free cells."""

from __future__ import annotations

from datetime import date, timedelta

from core.cells import Cell, cells_text
from core.errors import TrayUnknown
from core.group.dividing import divide
from core.group.garden import Garden, SowingOf, TrayOf
from core.group.growing import Growing, parts_of
from core.group.parts import Part, Place

Standing = tuple[SowingOf, Growing]

FOLLOWED = timedelta(days=42)
"""How long plants in the bed are still thought of on a cold night; from memory."""


def standing(garden: Garden) -> list[Standing]:
    """Return the sowings not finished, each part that stands indoors by itself."""
    if "standing" not in garden.worked_out:
        garden.worked_out["standing"] = [
            (sowing, part) for sowing in garden.sowings for part in parts_of(sowing)
        ]
    return list(garden.worked_out["standing"])


def planted_out(garden: Garden, today: date) -> list[tuple[SowingOf, Part]]:
    """Return what was planted out of late and lives, by sowing and day, oldest first."""
    return [
        (sowing, part)
        for sowing in (*garden.lately_closed, *garden.sowings)
        for part in divide(sowing).parts
        if part.place is Place.BED and part.since is not None and today - part.since <= FOLLOWED
    ]


def tray_named(garden: Garden, code: str) -> TrayOf:
    """Return a tray by code; raise TrayUnknown."""
    found = garden.trays.get(code.upper())
    if found is None:
        raise TrayUnknown(tray=code, known=tuple(garden.trays))
    return found


def taken_cells(garden: Garden, tray: str) -> dict[Cell, SowingOf]:
    """Return the cells of a tray that hold something living, with what holds them."""
    return {
        cell: sowing
        for sowing, growing in standing(garden)
        if growing.tray == tray
        for cell in growing.cells
    }


def free_cells(garden: Garden, tray: TrayOf) -> list[Cell]:
    """Return the empty cells of a tray in reading order."""
    taken = taken_cells(garden, tray.code)
    every = (Cell(row, col) for row in range(tray.rows) for col in range(tray.cols))
    return [cell for cell in every if cell not in taken]


def free_text(garden: Garden, tray: TrayOf) -> str:
    """Return the empty cells as people write them."""
    return cells_text(free_cells(garden, tray))
