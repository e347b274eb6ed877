"""The last date on which a failed sowing can be sown again and still make the season."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.trade.crops.hardiness import hardiness_of
from core.trade.dates.schedule import AVERAGE_LEVEL, Schedule, autumn_year
from core.trade.dates.scheduled_crop import ScheduledCrop
from core.trade.frost.dates import FrostDates
from core.trade.frost.seasons import FrostSide


class ResowBasis(StrEnum):
    """What the date rests on."""

    DAYS_TO_MATURITY = "days_to_maturity"  # ripe by the autumn frost
    PLANT_OUT_WINDOW = "plant_out_window"  # youngest plant on the last planting-out date
    SOWING_WINDOW = "sowing_window"  # last outdoor sowing date


@dataclass(frozen=True, slots=True, kw_only=True)
class LatestResow:
    """The date, and for maturity the autumn frost it counts back from and its level."""

    on: date
    basis: ResowBasis
    ripe_by: date | None = None
    level: float | None = None


def latest_resow(
    crop: ScheduledCrop,
    schedule: Schedule,
    *,
    first_frost: FrostDates | None = None,
    days_to_maturity: int | None = None,
    from_planting_out: bool = True,
) -> LatestResow:
    """Return the latest useful date to sow the crop again.

    Args:
        schedule: the crop's dates for the year.
        first_frost: the site's first autumn frosts.
        days_to_maturity: days to the first picking, as the packet gives them; >= 1.
        from_planting_out: whether the packet counts from planting out (usual for crops raised
            indoors) rather than from sowing.

    With both of these the plant must ripen by the first autumn frost at its class's level, or by
    the even-chance date for classes that bear more (growth stops; from memory). Otherwise the
    last planting-out date less the fewest weeks in the tray, or the last outdoor sowing date.
    Raises ValueError for last frosts or days below 1.
    Checked by: tests/core/trade/dates/test_schedule.py.
    """
    if first_frost is not None and first_frost.side is not FrostSide.FIRST:
        raise ValueError("first_frost must hold first frosts")
    if days_to_maturity is not None and days_to_maturity < 1:
        raise ValueError("days_to_maturity below 1")
    in_tray = timedelta(days=round((crop.weeks_sow_to_plantout_min or 0) * 7))
    if first_frost is not None and days_to_maturity is not None:
        level = min(hardiness_of(crop.hardiness_class).level, AVERAGE_LEVEL)
        year = autumn_year(schedule.year, first_frost.hemisphere)
        ripe_by = first_frost.safe_date(level, year)
        if ripe_by is not None:
            needed = timedelta(days=days_to_maturity)
            if from_planting_out and schedule.indoors is not None:
                needed += in_tray
            return LatestResow(
                on=ripe_by - needed,
                basis=ResowBasis.DAYS_TO_MATURITY,
                ripe_by=ripe_by,
                level=level,
            )
    if schedule.indoors is not None:
        return LatestResow(on=schedule.indoors.sow.latest, basis=ResowBasis.PLANT_OUT_WINDOW)
    if schedule.outdoors is None:
        raise ValueError("a schedule holds indoor or outdoor dates")
    return LatestResow(on=schedule.outdoors.sow.latest, basis=ResowBasis.SOWING_WINDOW)
