"""Building the distribution of frost dates: from a record, published levels or one date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from statistics import fmean, stdev

from scipy import special

from core.errors import FrostDatesOrder, NoSeasonsInRecord
from core.trade.frost.dates import FEW_SEASONS, FrostBasis, FrostDates
from core.trade.frost.seasons import FROST_C, FrostRecord, FrostSide, Hemisphere, season_day
from core.trade.frost.spread import ASSUMED_SD_DAYS

LEAST_SD_DAYS = 0.5
"""Keeps the curve of a record whose dates are all alike from standing upright; own choice."""


def dates_from_record(
    record: FrostRecord, side: FrostSide, *, sd_days: float | None = None
) -> FrostDates:
    """Return the distribution of a record's last or first frosts.

    Seasons with more than ten missing days on that side are set aside. `sd_days`: see below.
    Raises NoSeasonsInRecord when no season counts.
    """
    counted = [season for season in record.seasons if season.counts(side)]
    if not counted:
        raise NoSeasonsInRecord(days=record.n_days)
    found = dates_from_years(
        [season.frost(side) for season in counted],
        side,
        record.hemisphere,
        threshold_c=record.threshold_c,
        inclusive=record.inclusive,
        sd_days=sd_days,
    )
    return replace(found, n_set_aside=len(record.seasons) - len(counted))


def dates_from_years(
    frosts: Sequence[date | None],
    side: FrostSide,
    hemisphere: Hemisphere,
    *,
    threshold_c: float = FROST_C,
    inclusive: bool = True,
    sd_days: float | None = None,
) -> FrostDates:
    """Return the distribution of one frost date a season.

    Args:
        frosts: a date for each season, None for one without frost; not empty.
        sd_days: the spread to assume where a few seasons do not tell it; None: the usual one.

    With fewer than ten frosts the spread is the assumed one unless their own is wider.
    Checked by: tests/reference/test_frost_levels.py.
    """
    if not frosts:
        raise ValueError("no seasons")
    days = tuple(sorted(season_day(frost, hemisphere) for frost in frosts if frost is not None))
    own_sd = stdev(days) if len(days) >= 2 else 0.0
    usual_sd = ASSUMED_SD_DAYS[side] if sd_days is None else sd_days
    assumed = len(days) < FEW_SEASONS and own_sd < usual_sd
    sd = usual_sd if assumed else max(own_sd, LEAST_SD_DAYS)
    mean = fmean(days) if days else 0.0
    return FrostDates(
        side=side,
        hemisphere=hemisphere,
        basis=FrostBasis.RECORD,
        threshold_c=threshold_c,
        inclusive=inclusive,
        share=len(days) / len(frosts),
        curve=((0.0, mean), (1.0, mean + sd)) if days else (),
        spread_assumed=assumed and bool(days),
        days=days,
        n_seasons=len(frosts),
    )


def dates_from_levels(
    levels: Mapping[float, date],
    side: FrostSide,
    hemisphere: Hemisphere,
    *,
    share: float = 1.0,
    threshold_c: float = FROST_C,
    inclusive: bool = True,
) -> FrostDates:
    """Return the distribution through published dates, straight on the normal-score scale.

    Args:
        levels: two or more dates by their level, 0 < level < share; the year is ignored.
        share: share of seasons with a frost, 0 < share <= 1.

    Raises FrostDatesOrder when the dates do not run the way of the levels.
    Checked by: tests/reference/test_frost_published.py.
    """
    if not 0 < share <= 1 or not all(0 < level < share for level in levels):
        raise ValueError("levels must lie between 0 and the share of seasons with frost")
    sign = -1.0 if side is FrostSide.LAST else 1.0
    knots = sorted(
        (sign * float(special.ndtri(level / share)), float(season_day(day, hemisphere)))
        for level, day in levels.items()
    )
    days = [day for _, day in knots]
    if len(knots) < 2 or any(b <= a for a, b in pairwise(days)):
        raise FrostDatesOrder(side=side, given=tuple(sorted(levels.items())))
    return FrostDates(
        side=side,
        hemisphere=hemisphere,
        basis=FrostBasis.LEVELS,
        threshold_c=threshold_c,
        inclusive=inclusive,
        share=share,
        curve=tuple(knots),
        spread_assumed=False,
    )


def dates_from_typical(
    typical: date,
    side: FrostSide,
    hemisphere: Hemisphere,
    *,
    level: float = 0.5,
    threshold_c: float = FROST_C,
    inclusive: bool = True,
    sd_days: float | None = None,
) -> FrostDates:
    """Return the distribution with the assumed spread in which `typical` has that level.

    Args:
        typical: the one date known; the year is ignored.
        level: its chance, 0 < level < 1; the average date is the even chance.
        sd_days: the spread to assume, from `spread_days`; None: the usual one.
    """
    if not 0 < level < 1:
        raise ValueError(f"level outside 0..1: {level}")
    sign = -1.0 if side is FrostSide.LAST else 1.0
    sd = ASSUMED_SD_DAYS[side] if sd_days is None else sd_days
    off = sign * float(special.ndtri(level)) * sd
    middle = season_day(typical, hemisphere) - off
    return FrostDates(
        side=side,
        hemisphere=hemisphere,
        basis=FrostBasis.TYPICAL_DATE,
        threshold_c=threshold_c,
        inclusive=inclusive,
        share=1.0,
        curve=((0.0, middle), (1.0, middle + sd)),
        spread_assumed=True,
    )
