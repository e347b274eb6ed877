"""The stretches of a year in which a crop can be planted: where the first dates end, and why.

The published weeks around the last frost are first dates. A stretch ends with the heat, where a
crop bolts or fails in it, or with the last planting that still ripens before the autumn frost.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.trade.crops.row import HardinessClass
from core.trade.dates.scheduled_crop import ScheduledCrop

ASSUMED_SEASON_DAYS = 150
"""Days from the average last to the average first frost where nobody gave the first: a common
length in the inland north. From memory."""

MARGIN_DAYS = 14
"""A crop that frost kills should begin to bear so long before the average first frost, one that
bears frost may so long after it (UT-SP291G); either takes so much longer as days shorten (VT-FALL,
fall factor)."""

AUTUMN_LENGTH_DAYS = 45
"""How long before its end an autumn stretch begins, for a crop that rests in the heat. Own choice:
UMD-COL has 11 to 57 days for seven kinds."""

LARGE_PLANTS_DAYS = 28
"""A crop that frost kills is raised to large plants where it could be planted no longer than this
and still ripen. Own choice: calendars of cold places sow it two to three weeks earlier, for its
weeks to planting out, than those of the Midwest (tests/reference/cold_places.csv)."""

USUAL_MATURITY_DAYS = 75
"""Days taken where a crop's row has none. From memory, in the middle of the table's."""

_TENDER = frozenset({HardinessClass.TENDER, HardinessClass.VERY_TENDER})


class SeasonKind(StrEnum):
    """Which stretch of the year."""

    WHOLE = "whole"  # from the first date to the last that ripens
    SPRING = "spring"  # ends with the heat
    AUTUMN = "autumn"  # begins after it


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days on which the crop can be planted out, or sown outdoors.

    Attributes:
        first, last: its ends; first <= last.
        ends_by: `heat`, `autumn_frost`, or `first_dates` where the season leaves no more room.
    """

    kind: SeasonKind
    first: date
    last: date
    ends_by: str


def is_tender(crop: ScheduledCrop) -> bool:
    """Say whether frost kills the crop."""
    return crop.hardiness_class in _TENDER


def last_planting(crop: ScheduledCrop, first_frost: date, *, quick: bool = True) -> date:
    """Return the last day to plant a crop so that it ripens by the average first frost.

    Its days to maturity and the shortening days' `MARGIN_DAYS`, counted back from that frost, or
    from so long before or after it. What frost kills is sown last of a quick variety, so its
    fewest days count unless `quick` is False; of what bears frost its middle days. Days counted
    from sowing are not shortened for a transplant, which stands still when it is set out.
    Source: UT-SP291G and VT-FALL for the rule; the crop's row for the days.
    Checked by: tests/reference/test_planting_dates.py.
    """
    low = crop.maturity_days_min or USUAL_MATURITY_DAYS
    middle = (low + (crop.maturity_days_max or low)) // 2
    if is_tender(crop):
        return first_frost - timedelta(days=2 * MARGIN_DAYS + (low if quick else middle))
    return first_frost - timedelta(days=middle)


def days_short(crop: ScheduledCrop, stretch: Stretch, first_frost: date) -> int:
    """Return by how many days a stretch begins too late for the crop to ripen; 0 = it can.

    By the middle of its days to maturity: only of a crop whose row, or whose packet, gives them.
    """
    if crop.maturity_days_min is None:
        return 0
    return max(0, (stretch.first - last_planting(crop, first_frost, quick=False)).days)


def is_tight(crop: ScheduledCrop, begins: date, first_frost: date) -> bool:
    """Whether a season leaves a crop that frost kills so little time that large plants are wanted.

    `begins`: the first day it can be planted out. Only of a crop whose row, or whose packet,
    gives days to maturity.
    """
    if crop.maturity_days_min is None or not is_tender(crop):
        return False
    return (last_planting(crop, first_frost, quick=False) - begins).days < LARGE_PLANTS_DAYS


def stretches(
    crop: ScheduledCrop, *, anchor: date, first: date, least_last: date, first_frost: date | None
) -> tuple[Stretch, ...]:
    """Return a crop's stretches of one growing year, earliest first.

    Args:
        anchor: average last frost; first: first day of planting.
        least_last: last of the published first dates, below which no stretch ends before the heat.
        first_frost: average first frost of the autumn after; None when not known.
    """
    autumn = first_frost or anchor + timedelta(days=ASSUMED_SEASON_DAYS)
    end = last_planting(crop, autumn)
    if crop.spring_last_days is None:
        if end < least_last:
            last = max(first, least_last)
            return (Stretch(kind=SeasonKind.WHOLE, first=first, last=last, ends_by="first_dates"),)
        return (Stretch(kind=SeasonKind.WHOLE, first=first, last=end, ends_by="autumn_frost"),)
    heat = max(first, anchor + timedelta(days=round(crop.spring_last_days)))
    again = end - timedelta(days=AUTUMN_LENGTH_DAYS)
    if again <= heat < end:
        return (Stretch(kind=SeasonKind.WHOLE, first=first, last=end, ends_by="autumn_frost"),)
    spring = Stretch(kind=SeasonKind.SPRING, first=first, last=heat, ends_by="heat")
    if end <= heat:
        return (spring,)
    return (
        spring,
        Stretch(kind=SeasonKind.AUTUMN, first=again, last=end, ends_by="autumn_frost"),
    )
