"""Watering gaps: when duty days and closures leave a tray longer than it lasts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Set
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum


class GapCare(StrEnum):
    """What a gap calls for."""

    TOP_UP = "top_up"
    NAMED_WATERER = "named_waterer"
    CAPILLARY_AND_CHECK = "capillary_and_check"


WATERER_DAYS = 3
"""Days unvisited from which a named waterer is asked for (BAG-DRY: one to two is usual)."""

CAPILLARY_DAYS = 5
"""Days unvisited from which a capillary mat is advised besides (GW-VAC)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TraySpan:
    """A tray and how long it lasts.

    Attributes:
        tray: its code.
        watered_on: last watering, local date.
        low_days, usual_days: careful and usual interval, days, 0 < low <= usual.
    """

    tray: str
    watered_on: date
    low_days: float
    usual_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterGap:
    """A stretch in which nobody comes and a tray may dry out.

    Attributes:
        visited_on: last day somebody is in, taken as a watering; or the last watering itself.
        next_visit_on: first day somebody is in again; None within the days looked at.
        dry_on: date from which the tray may need water (careful interval).
        likely_dry_on: the same by the usual interval; the gap is certain when this is in it.
        gap_days: whole days without anybody.
    """

    tray: str
    visited_on: date
    next_visit_on: date | None
    dry_on: date
    likely_dry_on: date
    gap_days: int
    care: GapCare

    @property
    def likely(self) -> bool:
        """Whether even the usual interval does not reach the next visit."""
        return self.next_visit_on is None or self.likely_dry_on < self.next_visit_on


def water_gaps(
    trays: Iterable[TraySpan],
    *,
    visits: Set[date],
    closures: Set[date],
    today: date,
    until: date,
) -> tuple[WaterGap, ...]:
    """Return each stretch up to `until` in which a tray may dry out before the next visit.

    Args:
        visits: days somebody is on duty.
        closures: days nobody can get in; they overrule duty.

    Each visit is taken as a watering when the tray would not last to the next one. Ordered by
    date, then tray. A tray that dries only after `until` gives nothing.
    Checked by: tests/core/trade/water/test_water_gaps.py.
    """
    days = (until - today).days + 1
    open_days = [today + timedelta(days=i) for i in range(days)]
    open_days = [day for day in open_days if day in visits and day not in closures]
    gaps: list[WaterGap] = []
    for tray in trays:
        starts = [tray.watered_on, *(day for day in open_days if day > tray.watered_on)]
        for index, visited in enumerate(starts):
            following = starts[index + 1] if index + 1 < len(starts) else None
            dry_on = visited + timedelta(days=math.floor(tray.low_days))
            if dry_on >= (following or until + timedelta(days=1)):
                continue
            gap_days = ((following or until + timedelta(days=1)) - visited).days - 1
            gaps.append(
                WaterGap(
                    tray=tray.tray,
                    visited_on=visited,
                    next_visit_on=following,
                    dry_on=dry_on,
                    likely_dry_on=visited + timedelta(days=math.floor(tray.usual_days)),
                    gap_days=gap_days,
                    care=_care(gap_days),
                )
            )
    return tuple(sorted(gaps, key=lambda gap: (gap.visited_on, gap.tray)))


def _care(gap_days: int) -> GapCare:
    if gap_days >= CAPILLARY_DAYS:
        return GapCare.CAPILLARY_AND_CHECK
    return GapCare.NAMED_WATERER if gap_days >= WATERER_DAYS else GapCare.TOP_UP
