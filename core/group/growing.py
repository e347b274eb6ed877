"""Follow one sowing through its reports: what is up, alive, potted, hardening, planted.

Figures are always computed from the live reports, so that undoing one mends them all.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.cells import Cell
from core.group.garden import SowingOf


class Stage(StrEnum):
    """How far a sowing is."""

    SOWN = "sown"  # nothing shows
    UP = "up"  # seed leaves
    THINNED = "thinned"
    POTTED = "potted"
    HARDENING = "hardening"
    FINISHED = "finished"  # all planted out or lost


@dataclass(frozen=True, slots=True, kw_only=True)
class Growing:
    """Where a sowing stands.

    Attributes:
        up: seedlings emerged so far, the last running total; 0 = none reported.
        counts: (date, running total) of each count, ordered.
        first_up_on: first date with a seedling; None = none yet.
        alive: plants standing: emerged, less thinned, lost and planted. Thinning to k a cell
            leaves at most k for each cell.
        lost, planted: plants, counts.
        waiting: plants left behind when the others were potted up; they count again once they
            are potted up too.
        potted_into: tray code where it was potted up into one.
        cells: cells it stands in now; empty when in pots without a tray.
        outings: (date, hours outside, overnight) of each hardening day.
    """

    stage: Stage
    up: int
    counts: tuple[tuple[date, int], ...]
    first_up_on: date | None
    counted_on: date | None
    alive: int
    lost: int
    planted: int
    waiting: int
    tray: str | None
    cells: tuple[Cell, ...]
    thinned_on: date | None
    potted_on: date | None
    fed_on: date | None
    planted_on: date | None
    outings: tuple[tuple[date, float | None, bool], ...]
    seeds_failed: bool  # lost before anything came up


def follow(sowing: SowingOf) -> Growing:
    """Return where a sowing stands after all its live reports.

    Checked by: tests/core/group/test_growing.py.
    """
    up = alive = lost = planted = waiting = 0
    known = 0  # plants that have stood: a count taken back leaves those potted up since
    counts: list[tuple[date, int]] = []
    first_up: date | None = None
    thinned = potted = fed = planted_on = None
    tray: str | None = sowing.tray
    cells = sowing.cells
    outings: list[tuple[date, float | None, bool]] = []
    stage = Stage.SOWN
    failed = False
    for report in sowing.happenings:
        values = report.values
        match report.kind:
            case "up":
                total = int(values["total"])
                alive = max(0, alive + total - known)
                up = known = total
                counts.append((report.on, total))
                if total > 0:
                    first_up = first_up or report.on
                    stage = Stage.UP if stage is Stage.SOWN else stage
            case "thinned":
                thinned = report.on
                alive = min(alive, int(values.get("per_cell", 1)) * max(1, len(cells)))
                stage = Stage.THINNED if stage in (Stage.SOWN, Stage.UP) else stage
            case "potted":
                count = alive if values.get("count") is None else int(values["count"])
                into = str(values["tray"]) if values.get("tray") else None
                filled = tuple(Cell.of(label) for label in str(values.get("cells", "")).split())
                if potted is not None and 0 < count <= waiting:  # the rest of them
                    alive, waiting = alive + count, waiting - count
                    if into == tray:
                        cells = tuple(sorted({*cells, *filled}))
                    elif len(filled) > len(cells):
                        tray, cells = into, filled
                else:
                    waiting = max(0, alive - count)
                    alive = min(alive, count) if alive else count
                    tray, cells = into, filled
                known = max(known, alive + waiting)
                potted = report.on
                stage = Stage.POTTED if stage is not Stage.HARDENING else stage
            case "fed":
                fed = report.on
            case "out":
                hours = values.get("hours")
                outings.append(
                    (
                        report.on,
                        None if hours is None else float(hours),
                        bool(values.get("overnight", False)),
                    )
                )
                stage = Stage.HARDENING
            case "planted":
                count = alive if values.get("count") is None else int(values["count"])
                planted += count
                alive = max(0, alive - count)
                planted_on = report.on
                if alive == 0:
                    stage = Stage.FINISHED
            case "lost":
                if values.get("all") or values.get("count") is None:
                    failed = up == 0
                    lost += alive
                    alive = 0
                    stage = Stage.FINISHED
                else:
                    count = min(int(values["count"]), alive)
                    lost += count
                    alive -= count
                    if alive == 0:
                        stage = Stage.FINISHED
            case _:
                pass
    return Growing(
        stage=stage,
        up=up,
        counts=tuple(counts),
        first_up_on=first_up,
        counted_on=counts[-1][0] if counts else None,
        alive=alive,
        lost=lost,
        planted=planted,
        waiting=waiting,
        tray=tray,
        cells=cells,
        thinned_on=thinned,
        potted_on=potted,
        fed_on=fed,
        planted_on=planted_on,
        outings=tuple(outings),
        seeds_failed=failed,
    )
