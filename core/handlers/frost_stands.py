"""The frost dates that stand, as replies carry them, and what a change of them moves."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from core.group import outlook
from core.group.garden import Garden
from core.replies.frost import FrostFileSaid, FrostSaid, FrostSideSaid, LevelDate, MovedPlantOut
from core.trade.dates.schedule import autumn_year
from core.trade.frost.dates import FrostDates
from core.trade.frost.seasons import FrostSide
from core.trade.frost.spread import ASSUMED_SD_DAYS
from core.trade.statistics.intervals import jeffreys_interval

LEVELS = (0.1, 0.5, 0.9)


def frost_said(garden: Garden, today: date, *, changed: bool) -> FrostSaid:
    """Return what stands, its dates in the season to come."""
    stored = garden.site.frost or {}
    last, first = outlook.frost_of(garden), outlook.frost_of(garden, "first")
    year = outlook.season_year(last or first, today)
    hemisphere = stored.get("hemisphere", {})
    return FrostSaid(
        place=garden.site.place or garden.site.name,
        changed=changed,
        last=None if last is None else side_said(last, year),
        first=None if first is None else side_said(first, autumn_year(year, first.hemisphere)),
        file=_file_said(stored["file"]) if "file" in stored else None,
        hemisphere=hemisphere.get("is"),
        hemisphere_told_by=hemisphere.get("told_by"),
    )


def side_said(frost: FrostDates, year: int) -> FrostSideSaid:
    """Return a distribution as replies carry it, its dates in the season of `year`."""
    return FrostSideSaid(
        side=frost.side.value,
        basis=frost.basis.value,
        levels=tuple(_level(frost, level, year) for level in LEVELS),
        share=frost.share,
        share_error=None
        if frost.n_seasons is None
        else jeffreys_interval(len(frost.days), frost.n_seasons),
        usual=frost.usual_date(year),
        n_seasons=frost.n_seasons,
        n_without=frost.n_without_frost,
        n_set_aside=frost.n_set_aside,
        assumed_sd_days=frost.assumed_sd_days,
        spread_by_region=frost.assumed_sd_days not in (None, ASSUMED_SD_DAYS[frost.side]),
        threshold_c=frost.threshold_c,
    )


def _level(frost: FrostDates, level: float, year: int) -> LevelDate:
    on = frost.date_at(level, year)
    if on is None:
        return LevelDate(level=level, on=None)
    late = frost.side is FrostSide.LAST
    chance = frost.chance_on_or_after if late else frost.chance_on_or_before
    return LevelDate(
        level=level,
        on=on,
        counted=frost.empirical_date_at(level, year),
        chance=chance(on, year=year).fitted_interval,
    )


def _file_said(values: Mapping[str, Any]) -> FrostFileSaid:
    return FrostFileSaid(
        name=values["name"],
        first_on=date.fromisoformat(values["first_on"]),
        last_on=date.fromisoformat(values["last_on"]),
        unit=values["unit"],
        unit_told_by=values["unit_told_by"],
        absurd=tuple(
            (date.fromisoformat(day), float(min_c), str(rule))
            for day, min_c, rule in values["absurd"]
        ),
        absurd_count=values["absurd_count"],
        days_missing=values["days_missing"],
        rows_doubled=values["rows_doubled"],
        rows_unreadable=values["rows_unreadable"],
    )


def moved(before: Garden, after: Garden, today: date) -> tuple[MovedPlantOut, ...]:
    """Return the sowings growing now whose planting-out date is another one, oldest first."""
    found = []
    for sowing in after.sowings:
        was = outlook.plant_out_on(before, sowing, today)
        now = outlook.plant_out_on(after, sowing, today)
        if now is not None and now != was:
            found.append(MovedPlantOut(sowing=sowing.code, crop=sowing.crop, before=was, after=now))
    return tuple(found)
