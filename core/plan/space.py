"""Tray places of a group's shelves, and what stands on them week by week."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.group import outlook
from core.group.frames import COLD_FRAME
from core.group.garden import Garden, ShelfOf, SowingOf
from core.group.growing import Growing
from core.group.pots import places_taken
from core.group.standing import standing
from core.plan.wishes import PlanShelf
from core.trade.crops.hardiness import timing_days
from core.trade.crops.table import crop_by_id

POTS_A_PLACE = 18
"""Three-inch pots in a tray: floor(10.5/3) x floor(20.5/3) = 3 x 6 (TRAY-GEOM)."""

USUAL_TRAY_CELLS = 72
"""Cells of a tray where the group has none of its own: common practice."""

MAT_C = 24.0
"""Mix on a heat mat that nobody has measured, °C: common practice."""

STAYS_WEEKS = 6
"""How long a sowing without a planting-out date is taken to stand; from memory."""


def usual_tray_cells(garden: Garden) -> int:
    """Return the cells of the tray most used here for sowing; trays of pots are left out."""
    sizes = [tray.cells for tray in garden.trays.values() if tray.cells > POTS_A_PLACE]
    if not sizes:
        return USUAL_TRAY_CELLS
    return max(sorted(set(sizes), reverse=True), key=sizes.count)


def plan_shelves(
    garden: Garden, first_monday: date, weeks: int, today: date
) -> tuple[PlanShelf, ...]:
    """Return each shelf with its places and those taken in each week by what grows now.

    The cold frame is left out: nothing is sown there in the plan. A shelf whose places nobody
    gave has as many as trays stand on it, at least one. A tray is
    taken until the last of its sowings is planted out; once its plants are potted up they take
    a place for each `POTS_A_PLACE`. Empty trays take none: they are what is sown into.
    Checked by: tests/core/handlers/test_plans.py.
    """
    taken = taken_places(garden, first_monday, weeks, today)
    standing: dict[str, int] = defaultdict(int)
    for tray in garden.trays.values():
        if tray.shelf is not None:
            standing[tray.shelf] += 1
    return tuple(
        PlanShelf(
            name=code,
            places=shelf.places if shelf.places is not None else max(1, standing[code]),
            taken=tuple(taken.get(code, ())),
            warm_c=_warmth(shelf),
        )
        for code, shelf in garden.shelves.items()
        if code != COLD_FRAME
    )


def _warmth(shelf: ShelfOf) -> float | None:
    """Return what the mix on a shelf usually shows, °C; None where nobody said and no mat is."""
    if shelf.usual_temp_c is not None:
        return shelf.usual_temp_c
    return MAT_C if shelf.heat_mat else None


def taken_places(
    garden: Garden, first_monday: date, weeks: int, today: date
) -> dict[str, list[int]]:
    """Return the places taken by what grows now, by shelf, for week 0, 1, ..."""
    found: dict[str, list[int]] = {}
    by_place: dict[tuple[str, str], list[_Span]] = defaultdict(list)
    for sowing, growing in standing(garden):
        tray = growing.tray or sowing.tray  # loose pots stay by the shelf they came from
        held = garden.trays.get(tray)
        if held is not None and held.shelf is not None:
            key = tray if growing.tray else f"pots of {sowing.code}"
            by_place[held.shelf, key].append(_span(garden, sowing, growing, today))
    for (shelf, key), spans in by_place.items():
        row = found.setdefault(shelf, [0] * weeks)
        taken = places_taken(garden, key) if key in garden.trays else 1
        for week in range(weeks):
            row[week] += _places(spans, first_monday, week, taken)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Span:
    """How long one sowing stands: in cells until `pot_on`, then in so many pots, until `gone`."""

    gone: date
    pot_on: date | None
    pots: int


def _span(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> _Span:
    gone = outlook.out_about(garden, sowing, growing, today) or sowing.sown_on + timedelta(
        weeks=STAYS_WEEKS
    )
    if growing.potted_on is not None:  # a tray of pots stays one tray; loose pots fill their own
        pot_on = growing.potted_on if growing.tray is None else None
        return _Span(gone=gone, pot_on=pot_on, pots=growing.alive)
    pots = growing.alive if growing.up else len(growing.cells)
    return _Span(gone=gone, pot_on=_pot_on(garden, sowing, growing, gone), pots=pots)


def _places(spans: Sequence[_Span], first_monday: date, week: int, taken: int) -> int:
    """Return the places that what is in one tray now takes in a week.

    Plants whose date has passed stand at least this week.
    """
    day = first_monday + timedelta(weeks=week)
    here = [span for span in spans if day < span.gone or week == 0]
    potted = [span.pots for span in here if span.pot_on is not None and day >= span.pot_on]
    return taken * (len(potted) < len(here)) + math.ceil(sum(potted) / POTS_A_PLACE)


def _pot_on(garden: Garden, sowing: SowingOf, growing: Growing, out_on: date) -> date | None:
    """Return when a sowing in cells will be potted up; None when it will not."""
    crop = crop_by_id(sowing.crop)
    if not crop.pot_up:
        return None
    up_on = growing.first_up_on
    if up_on is None:
        low, high = crop.emergence_days_min, crop.emergence_days_max
        if low is None or high is None:
            return None
        up_on = sowing.sown_on + timedelta(days=(low + high) // 2)
    pot_on = up_on + timedelta(days=timing_days("pot_up_after_emergence"))
    harden = out_on - timedelta(days=outlook.harden_days(garden, crop))
    return (
        pot_on
        if pot_on <= harden - timedelta(days=timing_days("pot_up_before_hardening"))
        else None
    )
