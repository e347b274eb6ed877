"""Rows → plain values of the garden."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Sequence
from typing import Any

from core.cells import Cell
from core.group.garden import Happening, ShelfOf, SowingOf


def natural(code: str) -> tuple[str, int, str]:
    """Sort key that puts T2 before T10."""
    letters = code.rstrip("0123456789")
    digits = code[len(letters) :]
    return letters, int(digits or 0), code


def happening(row: Sequence[Any]) -> Happening:
    """Return a report's row as a plain value; there are thousands of them in a season."""
    id_, act, kind, on, at, values, sowing, tray, shelf = row
    return Happening(
        id=id_, act=act, kind=kind, on=on, at=at,
        values=values, sowing=sowing, tray=tray, shelf=shelf,
    )  # fmt: skip


@functools.lru_cache(maxsize=4096)
def cells_of(labels: str) -> tuple[Cell, ...]:
    """Return the cells of labels with blanks between; the same sowings are read again and again."""
    return tuple(Cell.of(label) for label in labels.split())


def sowing_values(
    row: Any, tray: str, lot: str | None, happenings: Iterable[Happening], did: int | None
) -> SowingOf:
    """Return a sowing's row with its reports as a plain value."""
    return SowingOf(
        id=row.id,
        number=row.number,
        crop=row.crop,
        tray=tray,
        cells=cells_of(row.cells),
        sown_on=row.sown_on,
        seeds_per_cell=row.seeds_per_cell,
        act=row.act_id,
        variety=row.variety,
        lot=lot,
        depth_mm=row.depth_mm,
        did=did,
        closed_on=row.closed_on,
        plan_item=row.plan_item,
        happenings=tuple(happenings),
    )


def shelf_of(row: Any) -> ShelfOf:
    return ShelfOf(
        id=row.id,
        code=row.code,
        lamp=row.lamp,
        tubes=row.tubes,
        height_mm=row.height_mm,
        on_at=row.on_at,
        off_at=row.off_at,
        places=row.places,
        heat_mat=row.heat_mat,
        timer=row.timer,
        usual_temp_c=row.usual_temp_c,
    )
