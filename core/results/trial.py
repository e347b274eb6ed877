"""Two sets of a group's sowings held against each other: which they are, and how many it takes.

The comparison itself is `core.trade.statistics.compare`; this module finds the sowings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.errors import (
    LotUnknown,
    NoSuchSowing,
    ShelfUnknown,
    SowingUnknown,
    TrayUnknown,
    UserError,
)
from core.group.garden import Garden, SowingOf
from core.requests import Where
from core.trade.statistics.compare import noticeable_difference

WORTH_SHOWING = 0.20
"""A difference in the share that comes up which a grower would act on, proportion. From
memory."""

MOST_SEEDS = 5000
"""No trial here is asked for more seeds a side than this."""


@dataclass(eq=False, kw_only=True)
class CropsDiffer(UserError):
    """The two sides have no crop in common; crop ids."""

    left: tuple[str, ...]
    right: tuple[str, ...]


@dataclass(eq=False, kw_only=True)
class SidesOverlap(UserError):
    """Some sowings stand on both sides; their codes."""

    sowings: tuple[str, ...]


@dataclass(eq=False, kw_only=True)
class NobodyCounted(UserError):
    """No sowing meant was ever counted; codes of the sowings."""

    sowings: tuple[str, ...]


def sowings_named(garden: Garden, every: Sequence[SowingOf], where: Where) -> list[SowingOf]:
    """Return all sowings, finished ones too, that fit what was named, oldest first.

    Trays and cells are those sown in; a shelf is where those trays stand now.
    Raises SowingUnknown, TrayUnknown, ShelfUnknown, LotUnknown, CellOutside, NoSuchSowing.
    """
    found = list(every)
    if where.sowing is not None:
        code = where.sowing.upper()
        found = [s for s in found if s.code == code]
        if not found:
            raise SowingUnknown(sowing=code, known=tuple(s.code for s in every[-8:]))
    if where.lot is not None:
        code = where.lot.upper()
        found = [s for s in found if s.lot == code]
        if not found and code not in garden.lots:
            raise LotUnknown(lot=code, known=tuple(garden.lots))
    if where.crop is not None:
        found = [s for s in found if s.crop == where.crop]
    if where.shelf is not None:
        if where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=where.shelf, known=tuple(garden.shelves))
        on_shelf = {code for code, tray in garden.trays.items() if tray.shelf == where.shelf}
        found = [s for s in found if s.tray in on_shelf]
    if where.trays:
        sown_in = {s.tray for s in every}
        for code in where.trays:
            if code not in garden.trays and code not in sown_in:
                raise TrayUnknown(tray=code, known=tuple(garden.trays))
        found = [s for s in found if s.tray in where.trays]
        tray = garden.trays.get(where.trays[0])
        if where.cells is not None and tray is not None:
            meant = set(where.cells.within(tray.code, tray.rows, tray.cols))
            found = [s for s in found if meant & set(s.cells)]
    if not found:
        lot = garden.lots.get(where.lot.upper()) if where.lot else None
        raise NoSuchSowing(
            crop=where.crop or (lot.crop if lot else None),
            tray=where.trays[0] if where.trays else None,
            cells=where.cells.text if where.cells else None,
        )
    return found


def seeds_to_show(share: float, difference: float = WORTH_SHOWING) -> int | None:
    """Return the fewest seeds a side that would show a difference four times in five.

    Args:
        share: overall share that comes up, 0..1. difference: proportion, 0 < d < 1.
    Returns a count, or None when `MOST_SEEDS` would not do. The inverse of
    `core.trade.statistics.compare.noticeable_difference`.
    Checked by: tests/core/results/test_trial.py.
    """

    def shown(seeds: int) -> bool:
        least = noticeable_difference(seeds, seeds, share)
        return least is not None and least <= difference

    high = 2
    while not shown(high):
        high *= 2
        if high > MOST_SEEDS:
            return None
    low = high // 2
    while low + 1 < high:
        middle = (low + high) // 2
        low, high = (low, middle) if shown(middle) else (middle, high)
    return high
