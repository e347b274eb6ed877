"""Cold seasons: the calendar frost dates are reckoned on, and the frosts of each season.

A cold season runs from 1 August to 31 July north of the equator and from 1 February to
31 January south of it, so a December or January frost sorts rightly in mild places. A day is
counted from the season's first day on a fixed calendar of 365 days, where 29 February counts
as 28 February: the same date always has the same number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.errors import HemisphereUnknown

FROST_C = 0.0
"""A frost is a minimum at or below this, °C (shelter height)."""
MOST_MISSING_DAYS = 10
"""More missing days than this before the frost is reached set a season aside.

Source: USU (Utah Climate Center, reading the freeze dates table).
"""
CLEAR_WINTER_C = 3.0
"""January and July minima nearer than this tell no hemisphere; own choice."""
_COMMON_YEAR = 2001


class Hemisphere(StrEnum):
    """Side of the equator, which sets when the cold season begins."""

    NORTH = "north"
    SOUTH = "south"


class FrostSide(StrEnum):
    """Which frost of a cold season: the last one (spring) or the first one (autumn)."""

    LAST = "last"
    FIRST = "first"


_BEGINS = {Hemisphere.NORTH: (8, 1), Hemisphere.SOUTH: (2, 1)}


def hemisphere_at(latitude_deg: float) -> Hemisphere:
    """Return the hemisphere of a latitude, -90..90 degrees; the equator counts as north."""
    if not -90 <= latitude_deg <= 90:
        raise ValueError(f"latitude outside -90..90: {latitude_deg}")
    return Hemisphere.SOUTH if latitude_deg < 0 else Hemisphere.NORTH


def hemisphere_shown(days: Sequence[tuple[date, float | None]]) -> Hemisphere:
    """Return the hemisphere whose winter the daily minima (°C) show.

    Raises HemisphereUnknown when January and July differ by less than 3 °C or one is missing.
    """
    january = [value for day, value in days if day.month == 1 and value is not None]
    july = [value for day, value in days if day.month == 7 and value is not None]
    if not january or not july:
        raise HemisphereUnknown()
    warmer_by = sum(july) / len(july) - sum(january) / len(january)
    if abs(warmer_by) < CLEAR_WINTER_C:
        raise HemisphereUnknown()
    return Hemisphere.NORTH if warmer_by > 0 else Hemisphere.SOUTH


def season_day(day: date, hemisphere: Hemisphere) -> int:
    """Return the day of the cold season, 0..364; 29 February counts as 28 February."""
    return (_fixed_day(day.month, day.day) - _fixed_day(*_BEGINS[hemisphere])) % 365


def season_year(day: date, hemisphere: Hemisphere, side: FrostSide) -> int:
    """Return the year whose spring (side LAST) or autumn (side FIRST) the day's season holds."""
    began = day.year if (day.month, day.day) >= _BEGINS[hemisphere] else day.year - 1
    return began + _spring_lag(hemisphere, side)


def season_date(number: int, year: int, hemisphere: Hemisphere, side: FrostSide) -> date:
    """Return the date of a day of the season of `year`; the inverse of `season_day`.

    Args:
        number: day of the cold season; outside 0..364 it runs on into the seasons beside it.
        year: as `season_year` returns.
    """
    began = year - _spring_lag(hemisphere, side)
    later_years, day_of_year = divmod(_fixed_day(*_BEGINS[hemisphere]) - 1 + number, 365)
    common = date(_COMMON_YEAR, 1, 1) + timedelta(days=day_of_year)
    return date(began + later_years, common.month, common.day)


def _spring_lag(hemisphere: Hemisphere, side: FrostSide) -> int:
    """Years from the one a cold season begins in to the one it is named after."""
    return 1 if side is FrostSide.LAST and hemisphere is Hemisphere.NORTH else 0


def _fixed_day(month: int, day: int) -> int:
    if (month, day) == (2, 29):
        day = 28
    return date(_COMMON_YEAR, month, day).timetuple().tm_yday


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdSeason:
    """The frosts of one cold season.

    Attributes:
        begins_on: its first day.
        first_frost, last_frost: None when no frost was seen.
        missing_before_first: days without a value from the season's start to the first frost,
            or in the whole season when no frost was seen.
        missing_after_last: likewise from the last frost to the season's end.
    """

    begins_on: date
    first_frost: date | None
    last_frost: date | None
    missing_before_first: int
    missing_after_last: int

    def frost(self, side: FrostSide) -> date | None:
        """Return the frost of that side, or None when none was seen."""
        return self.last_frost if side is FrostSide.LAST else self.first_frost

    def counts(self, side: FrostSide) -> bool:
        """Return whether few enough days are missing for that side to be trusted."""
        missing = self.missing_after_last if side is FrostSide.LAST else self.missing_before_first
        return missing <= MOST_MISSING_DAYS


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostRecord:
    """The cold seasons of one record, in order, and what was called a frost.

    Attributes:
        threshold_c: °C.
        inclusive: whether a minimum equal to the threshold is a frost.
        n_days: days with a value.
    """

    seasons: tuple[ColdSeason, ...]
    hemisphere: Hemisphere
    threshold_c: float
    inclusive: bool
    n_days: int


def frost_record(
    days: Sequence[tuple[date, float | None]],
    hemisphere: Hemisphere,
    *,
    threshold_c: float = FROST_C,
    inclusive: bool = True,
) -> FrostRecord:
    """Return the frosts of every cold season that a record of daily minima touches.

    Args:
        days: (date, minimum in °C or None); days left out count as missing.
        threshold_c: a frost is a minimum at or below this; NCDC-FF and ECCC-TOR count so.
        inclusive: False for strictly below, as AMS and ETCCDI define a frost day.

    Checked by: tests/reference/test_frost_records.py (pandas and xclim).
    """
    minima = {day: value for day, value in days if value is not None}
    seasons: list[ColdSeason] = []
    if minima:
        began = season_year(min(minima), hemisphere, FrostSide.FIRST)
        until = season_year(max(minima), hemisphere, FrostSide.FIRST)
        month, first = _BEGINS[hemisphere]
        for year in range(began, until + 1):
            begins_on, ends_before = date(year, month, first), date(year + 1, month, first)
            every = [begins_on + timedelta(days=n) for n in range((ends_before - begins_on).days)]
            cold = [
                day
                for day in every
                if day in minima
                and (minima[day] < threshold_c or (inclusive and minima[day] == threshold_c))
            ]
            first_frost, last_frost = (cold[0], cold[-1]) if cold else (None, None)
            missing = [day for day in every if day not in minima]
            seasons.append(
                ColdSeason(
                    begins_on=begins_on,
                    first_frost=first_frost,
                    last_frost=last_frost,
                    missing_before_first=sum(
                        first_frost is None or day < first_frost for day in missing
                    ),
                    missing_after_last=sum(
                        last_frost is None or day > last_frost for day in missing
                    ),
                )
            )
    return FrostRecord(
        seasons=tuple(seasons),
        hemisphere=hemisphere,
        threshold_c=threshold_c,
        inclusive=inclusive,
        n_days=len(minima),
    )
