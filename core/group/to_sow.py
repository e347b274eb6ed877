"""What a plan says to sow: from which packet, into which free cells, how deep, how many."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from core.cells import Cell, cells_text
from core.folding import fold
from core.group.garden import Garden
from core.group.standing import free_cells
from core.trade.crops.table import crop_by_id

LATE = timedelta(days=28)
"""A planned sowing is still to be done so long after its day, as its reminder is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSow:
    """One planned sowing.

    Attributes:
        lots: codes of the packets it may come from, by crop and variety; empty = none known.
        cells: cells to fill; seeds_per_cell, seeds: counts; None where the plan does not say.
        trays: (tray code, free cells to use, as `A1-B6`); fewer cells than `cells` in all where
            none is free.
        depth_mm: least and greatest depth of the crop table; None without one.
        light: how light bears on germination, a value of `GerminationLight`; None unknown.
    """

    id: str
    on: date
    crop: str
    variety: str | None
    lots: tuple[str, ...]
    cells: int | None
    seeds_per_cell: int | None
    trays: tuple[tuple[str, str], ...]
    shelf: str | None
    depth_mm: tuple[float, float] | None
    light: str | None

    @property
    def seeds(self) -> int | None:
        """Seeds to sow; None where the plan does not say."""
        if self.cells is None or self.seeds_per_cell is None:
            return None
        return self.cells * self.seeds_per_cell


def to_sow(
    garden: Garden, first: date, last: date, sown: frozenset[str] = frozenset()
) -> tuple[ToSow, ...]:
    """Return the planned sowings of some days, late ones too, by date.

    Trays are given out in turn, those of the planned shelf first, so that no cell is meant twice.

    Args:
        sown: further ids of planned sowings that were sown.

    Checked by: tests/core/group/test_to_sow.py.
    """
    done = garden.sown_items | sown
    entries = [
        entry
        for entry in (garden.plan or {}).get("sowings", ())
        if entry["id"] not in done and first - LATE <= date.fromisoformat(entry["sow_on"]) <= last
    ]
    free = {code: free_cells(garden, tray) for code, tray in garden.trays.items()}
    return tuple(
        _one(garden, entry, free) for entry in sorted(entries, key=lambda e: (e["sow_on"], e["id"]))
    )


def _one(garden: Garden, entry: Mapping[str, Any], free: dict[str, list[Cell]]) -> ToSow:
    crop = crop_by_id(entry["crop"])
    cells = int(entry["cells"]) if entry.get("cells") else None
    variety = entry.get("variety")
    deep = crop.sow_depth_mm_min, crop.sow_depth_mm_max
    return ToSow(
        id=entry["id"],
        on=date.fromisoformat(entry["sow_on"]),
        crop=crop.id,
        variety=variety,
        lots=(str(entry["lot"]),) if entry.get("lot") else packets(garden, crop.id, variety),
        cells=cells,
        seeds_per_cell=int(entry["seeds_per_cell"]) if entry.get("seeds_per_cell") else None,
        trays=tuple(_trays(garden, free, cells or 0, entry.get("shelf"))),
        shelf=entry.get("shelf"),
        depth_mm=None if deep[0] is None or deep[1] is None else (deep[0], deep[1]),
        light=crop.germination_light.value if crop.germination_light else None,
    )


def packets(garden: Garden, crop: str, variety: str | None) -> tuple[str, ...]:
    """Return the codes of the lots of a crop: those of the variety, of every one without it."""
    return tuple(
        lot.code
        for lot in garden.lots.values()
        if lot.crop == crop and (variety is None or fold(lot.variety or "") == fold(variety))
    )


def _trays(
    garden: Garden, free: dict[str, list[Cell]], wanted: int, shelf: str | None
) -> Iterable[tuple[str, str]]:
    """Take free cells for a sowing and yield them: whole trays first, those of the shelf first."""
    order = sorted(
        (tray for tray in garden.trays.values() if tray.pot_mm is None and free[tray.code]),
        key=lambda tray: (tray.shelf != shelf, len(free[tray.code]) < wanted, tray.id),
    )
    for tray in order:
        if wanted <= 0:
            return
        taken, free[tray.code] = free[tray.code][:wanted], free[tray.code][wanted:]
        wanted -= len(taken)
        yield tray.code, cells_text(tuple(taken))
