"""What stands in a garden now: living sowings, taken and free cells."""

from __future__ import annotations

from core.cells import Cell, cells_text
from core.errors import TrayUnknown
from core.group.garden import Garden, SowingOf, TrayOf
from core.group.growing import Growing, Stage, follow

Standing = tuple[SowingOf, Growing]


def standing(garden: Garden) -> list[Standing]:
    """Return the sowings not finished, each with where it stands."""
    if "standing" not in garden.worked_out:
        pairs = ((sowing, follow(sowing)) for sowing in garden.sowings)
        garden.worked_out["standing"] = [p for p in pairs if p[1].stage is not Stage.FINISHED]
    return list(garden.worked_out["standing"])


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
