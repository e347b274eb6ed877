"""Follow one sowing through its reports: what is up, alive, potted, hardening, planted.

Figures are always computed from the live reports, so that undoing one mends them all.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.cells import Cell
from core.group.dividing import divide
from core.group.garden import SowingOf
from core.group.parts import INDOORS, Divided, Part, Place
from core.group.parts import Stage as Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Growing:
    """Where a sowing stands, or one part of it.

    Attributes:
        up: seedlings of the whole sowing emerged so far, the last running total; 0 = none.
        counts: (date, running total) of each count, ordered.
        first_up_on: first date with a seedling; None = none yet.
        alive: plants standing here: emerged, less thinned, lost and planted. Thinning to k a
            cell leaves at most k for each cell.
        lost, planted: plants of the whole sowing, counts.
        waiting: plants that an older report left behind when the others were potted up.
        place: what they stand in; the part that matters most, for a whole sowing.
        tray: code of the tray they stand in; None for loose pots.
        cells: cells they stand in now; empty when in pots without a tray.
        parts: number of parts the sowing stands in indoors.
        outings: (date, hours outside, overnight) of each day outside.
        begun_on: when hardening off was begun by decision.
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
    place: Place = Place.CELLS
    parts: int = 1
    since: date | None = None
    begun_on: date | None = None


def follow(sowing: SowingOf) -> Growing:
    """Return where a sowing stands as a whole after all its live reports.

    Its tray, cells and dates are those of the part with the most plants; `alive` counts all
    that stand indoors.
    Checked by: tests/core/group/test_growing.py.
    """
    book = divide(sowing)
    here = [part for part in book.parts if part.place in INDOORS]
    if not here:
        gone = Part(place=Place.CELLS, tray=sowing.tray, cells=sowing.cells, stage=Stage.FINISHED)
        return _growing(book, gone, alive=0, parts=0)
    most = max(here, key=lambda part: (part.alive, part.place is Place.POTS))
    return _growing(book, most, alive=sum(part.alive for part in here), parts=len(here))


def parts_of(sowing: SowingOf) -> list[Growing]:
    """Return each part of a sowing that stands indoors, or hardens off, by itself."""
    book = divide(sowing)
    here = [part for part in book.parts if part.place in INDOORS]
    return [_growing(book, part, alive=part.alive, parts=len(here)) for part in here]


def _growing(book: Divided, part: Part, *, alive: int, parts: int) -> Growing:
    return Growing(
        stage=part.stage,
        up=book.came,
        counts=tuple(book.counts),
        first_up_on=book.first_up_on,
        counted_on=book.counts[-1][0] if book.counts else None,
        alive=alive,
        lost=book.lost,
        planted=book.planted,
        waiting=sum(p.alive for p in book.parts if p.place is Place.ASIDE),
        tray=part.tray,
        cells=part.cells,
        thinned_on=part.thinned_on,
        potted_on=part.potted_on,
        fed_on=part.fed_on,
        planted_on=book.planted_on,
        outings=part.outings,
        seeds_failed=book.failed,
        place=part.place,
        parts=parts,
        since=part.since,
        begun_on=part.begun_on,
    )
