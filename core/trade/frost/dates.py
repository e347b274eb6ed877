"""Frost dates as a distribution: the chance of frost after a day, and the day for a chance.

Direction of a percentage: for the last frost of spring it is the chance that the last frost
falls on the date or later, so 10 % is the late, safe date; for the first frost of autumn, on
the date or earlier, so 10 % is the early, safe date (NCEI-README).

Two estimates stand side by side. *Fitted*: a normal curve through the dates of the seasons that
froze, times the share of seasons that froze (THOM, NCDC-FF). *Empirical*: the seasons counted,
with quantiles on the Weibull plotting rule i / (n + 1), numpy's `weibull`, type 6: the chance
that a new season passes the i-th of n dates is exactly that, whatever the curve.
A level above the share of seasons that freeze has no date.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from scipy import special

from core.trade.frost.curve import along, fitted_error
from core.trade.frost.seasons import (
    FrostSide,
    Hemisphere,
    season_date,
    season_day,
    season_year,
)
from core.trade.statistics.intervals import Interval, jeffreys_interval

FEW_SEASONS = 10
"""Below this many seasons with frost no empirical percentile is given: the outermost level that
n dates resolve is 1 / (n + 1). The normal curve then takes the assumed spread if that is wider."""


class FrostBasis(StrEnum):
    """What a distribution of frost dates rests on."""

    RECORD = "record"
    LEVELS = "levels"
    TYPICAL_DATE = "typical_date"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostChance:
    """The chance of frost on one side of a day; proportions.

    Attributes:
        fitted: from the fitted curve; the figure to state.
        fitted_interval: 95 % sampling error of `fitted`; None when not from a record.
        empirical: share of the record's seasons; None when not from a record.
        empirical_interval: 95 % Jeffreys interval of `empirical`.
        n_seasons: seasons counted; None when not from a record.
    """

    fitted: float
    fitted_interval: Interval | None
    empirical: float | None
    empirical_interval: Interval | None
    n_seasons: int | None

    @property
    def one_year_in(self) -> float | None:
        """Years per year with such a frost, >= 1; None when rarer than one in a million."""
        return 1 / self.fitted if self.fitted > 1e-6 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostDates:
    """The distribution of a site's last or first frost. `frost_estimate` builds it.

    Attributes:
        threshold_c: minimum that counts as frost, °C, `inclusive` or strictly below.
        share: share of seasons with a frost, 0..1.
        curve: (standard normal score, day of season) knots of the dates of seasons with frost,
            both rising; straight between and beyond; () when no season froze.
        spread_assumed: whether the curve's spread is assumed, not found.
        days: day of season of each frost of the record, in order; () when not from a record.
        n_seasons: seasons counted, with or without frost; None when not from a record.
        n_set_aside: seasons of the record with too many missing days.
    """

    side: FrostSide
    hemisphere: Hemisphere
    basis: FrostBasis
    threshold_c: float
    inclusive: bool
    share: float
    curve: tuple[tuple[float, float], ...]
    spread_assumed: bool
    days: tuple[int, ...] = ()
    n_seasons: int | None = None
    n_set_aside: int = 0

    @property
    def n_without_frost(self) -> int | None:
        """Seasons counted that had no frost; None when not from a record."""
        return None if self.n_seasons is None else self.n_seasons - len(self.days)

    @property
    def assumed_sd_days(self) -> float | None:
        """The spread taken for want of a known one, days; None when known."""
        if not self.spread_assumed or len(self.curve) < 2:
            return None
        (low_z, low_day), (high_z, high_day) = self.curve[:2]
        return (high_day - low_day) / (high_z - low_z)

    def date_at(self, level: float, year: int) -> date | None:
        """Return the date of a level from the fitted curve, or None above `share`.

        Args:
            level: chance, 0 < level < 1; 0.1 is the safe date on either side.
            year: year of that spring (side LAST) or autumn (side FIRST).
        """
        day = self._fitted_day(level)
        return None if day is None else self._date(math.floor(day + 0.5), year)

    def one_year_in(self, n: float, year: int) -> date | None:
        """Return the date that frost passes one year in `n`, n > 1."""
        return self.date_at(1 / n, year)

    def safe_date(self, level: float, year: int) -> date | None:
        """Return the first (side FIRST: the last) day whose chance is at most `level`.

        None when the chance is never above `level`: frost sets no limit.
        """
        day = self._fitted_day(level)
        if day is None:
            return None
        late = self.side is FrostSide.LAST
        return self._date(math.ceil(day - 1e-6) if late else math.floor(day + 1e-6), year)

    def usual_date(self, year: int) -> date | None:
        """Return the middle date of the seasons that freeze; None when none does."""
        return self._date(math.floor(self._curve_day(0.0) + 0.5), year) if self.curve else None

    def empirical_date_at(self, level: float, year: int) -> date | None:
        """Return the date of a level on the Weibull plotting rule.

        None above `share`, beyond what the seasons resolve, or below ten seasons with frost.
        """
        _check_level(level)
        n = len(self.days)
        if n < FEW_SEASONS or level >= self.share:
            return None
        place = level / self.share * (n + 1)
        if not 1 <= place <= n:
            return None
        ordered = self.days[::-1] if self.side is FrostSide.LAST else self.days
        below = math.floor(place)
        above = min(below + 1, n)
        day = ordered[below - 1] + (place - below) * (ordered[above - 1] - ordered[below - 1])
        return self._date(math.floor(day + 0.5), year)

    def chance_on_or_after(self, day: date, *, year: int | None = None) -> FrostChance:
        """Return the chance that the last frost falls on `day` or later.

        Args:
            day: any date; a day past the end of the season of `year` has chance 0.
            year: year of the spring meant; by default that of the season `day` lies in.
        Raises ValueError for first frosts.
        """
        if self.side is not FrostSide.LAST:
            raise ValueError("chance_on_or_after is for last frosts")
        return self._chance(day, year)

    def chance_on_or_before(self, day: date, *, year: int | None = None) -> FrostChance:
        """Return the chance that the first frost falls on `day` or earlier; see above."""
        if self.side is not FrostSide.FIRST:
            raise ValueError("chance_on_or_before is for first frosts")
        return self._chance(day, year)

    def _chance(self, day: date, year: int | None) -> FrostChance:
        own = season_year(day, self.hemisphere, self.side)
        seasons_off = own - (own if year is None else year)
        number = season_day(day, self.hemisphere) + 365 * seasons_off
        late = self.side is FrostSide.LAST
        if seasons_off:
            outside = (seasons_off > 0) is late
            fitted = 0.0 if outside else self.share
        else:
            fitted = self.share * self._tail(number)
        if self.n_seasons is None:
            return FrostChance(
                fitted=fitted,
                fitted_interval=None,
                empirical=None,
                empirical_interval=None,
                n_seasons=None,
            )
        hits = sum(d >= number if late else d <= number for d in self.days)
        counted = jeffreys_interval(hits, self.n_seasons)
        return FrostChance(
            fitted=fitted,
            fitted_interval=counted
            if seasons_off or not self.curve
            else self._error(number, fitted),
            empirical=hits / self.n_seasons,
            empirical_interval=counted,
            n_seasons=self.n_seasons,
        )

    def _tail(self, number: float) -> float:
        """Return the chance of a date on the frosty side of a day, given a frost."""
        if not self.curve:
            return 0.0
        z = self._curve_z(number)
        return float(special.ndtr(-z if self.side is FrostSide.LAST else z))

    def _error(self, number: float, fitted: float) -> Interval:
        return fitted_error(
            z=self._curve_z(number),
            fitted=fitted,
            n_frosts=len(self.days),
            n_seasons=self.n_seasons or 0,
            spread_known=self.spread_assumed,
        )

    def _fitted_day(self, level: float) -> float | None:
        _check_level(level)
        if not self.curve or level >= self.share:
            return None
        z = float(special.ndtri(level / self.share))
        return self._curve_day(-z if self.side is FrostSide.LAST else z)

    def _curve_day(self, z: float) -> float:
        return along(self.curve, z)

    def _curve_z(self, number: float) -> float:
        return along(tuple((day, z) for z, day in self.curve), number)

    def _date(self, number: int, year: int) -> date:
        return season_date(number, year, self.hemisphere, self.side)


def _check_level(level: float) -> None:
    if not 0 < level < 1:
        raise ValueError(f"level outside 0..1: {level}")
