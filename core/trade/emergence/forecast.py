"""When a sowing should show: a 10-50-90 % window from the temperatures it had.

Progress towards emergence adds up day by day at the rate of that day's temperature
(`core.trade.emergence.rate`). A day without a reading takes the shelf's usual temperature.

The spread is log-normal in thermal time and has four parts, each stated at its constant:
how far this site differs from the table (learned), how one sowing differs from the next,
how the seeds of one sowing differ, and how the days ahead may differ in temperature. The
window is for a seed taken at random: eight emergences in ten fall inside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from itertools import accumulate

from scipy import special

from core.trade.emergence.course import DayTemp as DayTemp
from core.trade.emergence.course import TemperatureCourse
from core.trade.emergence.curve import FEW, RateCurve
from core.trade.emergence.rate import NG as NG
from core.trade.emergence.rate import EmergencePoint as EmergencePoint
from core.trade.emergence.rate import EmergencePoints as EmergencePoints
from core.trade.emergence.rate import RateAt as RateAt
from core.trade.emergence.rate import Standing as Standing
from core.trade.emergence.site import SEED_LOG_SD, SOWING_LOG_SD
from core.trade.emergence.site import PastSowing as PastSowing
from core.trade.emergence.site import SiteFactor as SiteFactor
from core.trade.emergence.site import site_factor as site_factor
from core.trade.emergence.site import thermal_ratio as thermal_ratio

READ_TEMP_SD_C = 1.2
"""How far the mix may be off what was read, Celsius, one standard deviation: a cheap thermometer,
a probe in one corner, days between readings. From memory."""

USUAL_TEMP_SD_C = 1.5
"""The same where only a usual temperature was given. From memory."""

ASSUMED_TEMP_SD_C = 2.5
"""The same where nobody said anything. From memory."""

TEMP_LOG_SD_CAP = 0.6
"""Most spread of log time that the temperature is allowed: near the base a degree changes
everything and the reckoning by one standard deviation no longer holds. Own choice."""

AGED_UNSURE = 0.5
"""Spread of the slowing by age, as a part of it. From memory."""

HORIZON_DAYS = 400
"""No window is sought further ahead than this (days)."""

_Z90 = float(special.ndtri(0.9))


class ForecastKind(StrEnum):
    """What the window rests on."""

    TABLE = "table"
    CATALOGUE = "catalogue"
    NONE = "none"


class ForecastFlag(StrEnum):
    """What a person must be told beside the window."""

    BELOW_TESTED = "below_tested"
    ABOVE_TESTED = "above_tested"
    NEAR_LIMIT = "near_limit"
    TOO_COLD = "too_cold"
    TOO_HOT = "too_hot"
    FEW_COME_UP = "few_come_up"
    GAPS_CARRIED = "gaps_carried"
    NO_TEMPERATURE = "no_temperature"
    CATALOGUE_RANGE = "catalogue_range"
    NO_FIGURES = "no_figures"


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueDays:
    """The catalogue's range of days to emergence: 0 < low <= high; source key."""

    low: float
    high: float
    source: str

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.high < math.inf:
            raise ValueError(f"not a range of days: {self.low}..{self.high}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What a forecast rests on.

    Attributes:
        kind: table, catalogue range, or nothing.
        source: key of core/data/sources.toml; empty when nothing.
        days_logged: days since sowing with a reading; count.
        days_carried: days since sowing without one, given the usual temperature; count.
        ahead_temp_c: temperature taken for the days ahead, Celsius; None when not used.
        site: the site's own factor as used.
        log_sd: total spread of log thermal time, dimensionless.
    """

    kind: ForecastKind
    source: str
    days_logged: int
    days_carried: int
    ahead_temp_c: float | None
    site: SiteFactor
    log_sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """The window of emergence of one sowing, in the site's local dates.

    Attributes:
        p10_on, p50_on, p90_on: first and last date inside the 10-90 % window and the
            median's date; None when it does not come up as things stand.
        p10_days, p50_days, p90_days: the same in days after sowing, unrounded.
        basis: what it rests on.
        flags: what must be said beside it.
        progress: thermal time had so far over that expected at the median; >= 0.
        common_log_sd: spread of log time that all seeds of the sowing share, dimensionless.
        progress_by_day: the progress 0, 1, ... days after sowing, up to today.
    """

    p10_on: date | None
    p50_on: date | None
    p90_on: date | None
    p10_days: float | None
    p50_days: float | None
    p90_days: float | None
    basis: Basis
    flags: frozenset[ForecastFlag]
    progress: float
    common_log_sd: float = 0.0
    progress_by_day: tuple[float, ...] = ()


def forecast_emergence(
    *,
    points: RateCurve | None,
    catalogue: CatalogueDays | None,
    sown_on: date,
    today: date,
    readings: Sequence[DayTemp] = (),
    usual_temp_c: float | None = None,
    site: SiteFactor | None = None,
    temp_sd_c: float = USUAL_TEMP_SD_C,
    aged_log: float = 0.0,
) -> Forecast:
    """Return the window in which a sowing should come up.

    The thermal time needed is the curve's times the site factor and the slowing by age; the 10
    and 90 % points lie at exp(-/+ 1.2816 s) times that, s the root of the summed variances.
    Days ahead take the mean of the last week's readings and the usual temperature (see
    `core.trade.emergence.course`). Without a table, or without any temperature, the catalogue range
    is used: its geometric mean is the median, and the window is never narrower than it.

    Args:
        points: the crop's curve; None without one.
        catalogue: the crop's range; None without one.
        sown_on, today: local dates; `today` may lie before a planned sowing.
        readings: mix temperatures by date, any order; several on a date are averaged;
            those after `today` are left out.
        usual_temp_c: what the shelf usually holds, Celsius; None when not known.
        site: what this site has learned; the prior when None.
        temp_sd_c: how far the temperature may be off, Celsius.
        aged_log: log of the days that the age of the lot adds, >= 0.
    Returns a forecast without dates when nothing can be said; its flags say why.
    Source: thermal time as in `EmergencePoints`; spread as stated at the constants.
    Checked by: tests/reference/test_emergence_days.py, tests/bench/test_calibration.py.
    """
    site = site or SiteFactor()
    course = TemperatureCourse.of(
        sown_on=sown_on, today=today, readings=readings, usual_temp_c=usual_temp_c
    )
    if points is not None and course.ahead_c is not None:
        return _from_table(points, course, site, temp_sd_c, aged_log)
    flags = {ForecastFlag.NO_TEMPERATURE} if points is not None else set()
    if catalogue is None:
        return _without_figures(course, site, flags)
    return _from_catalogue(catalogue, course, site, flags)


def _from_table(
    points: RateCurve,
    course: TemperatureCourse,
    site: SiteFactor,
    temp_sd_c: float,
    aged_log: float,
) -> Forecast:
    assert course.ahead_c is not None
    ahead = points.rate_at(course.ahead_c)
    rates = [points.rate_at(course.temp_c(i)) for i in range(course.days_past)]
    had = sum(rate.per_day for rate in rates)
    factor = site.factor * math.exp(aged_log)
    common_sd = math.sqrt(
        site.log_sd**2
        + SOWING_LOG_SD**2
        + temp_log_sd(points, course.ahead_c, temp_sd_c) ** 2
        + (AGED_UNSURE * aged_log) ** 2
    )
    log_sd = math.hypot(common_sd, SEED_LOG_SD)
    days = _days_at(
        [factor * math.exp(z * log_sd) for z in (-_Z90, 0.0, _Z90)],
        lambda i: points.rate_at(course.temp_c(i)).per_day,
    )
    flags = {
        ForecastFlag(standing)
        for standing in {ahead.standing, *(rate.standing for rate in rates)}
        if standing is not Standing.TESTED
    }
    if days[1] is not None and ahead.per_day > 0:
        flags -= {ForecastFlag.TOO_COLD, ForecastFlag.TOO_HOT}
    percent = points.percent_at(course.ahead_c)
    if percent is not None and ahead.per_day > 0 and percent < 100 * FEW:
        flags.add(ForecastFlag.FEW_COME_UP)
    if course.days_carried:
        flags.add(ForecastFlag.GAPS_CARRIED)
    made = _forecast(
        course, site, ForecastKind.TABLE, points.source, days, flags, had / factor, log_sd
    )
    by_day = (0.0, *accumulate(rate.per_day / factor for rate in rates))
    return replace(made, common_log_sd=common_sd, progress_by_day=by_day)


def temp_log_sd(points: RateCurve, temp_c: float, temp_sd_c: float) -> float:
    """Return the spread of log time that a temperature off by `temp_sd_c` makes, at most the cap.

    Half the log ratio of the rates one standard deviation either side.
    """
    cold, warm = (points.rate_at(temp_c + d).per_day for d in (-temp_sd_c, temp_sd_c))
    here = points.rate_at(temp_c).per_day
    if here <= 0:
        return TEMP_LOG_SD_CAP
    sides = [abs(math.log(side / here)) if side > 0 else TEMP_LOG_SD_CAP for side in (cold, warm)]
    return min(TEMP_LOG_SD_CAP, sum(sides) / 2)


def _from_catalogue(
    catalogue: CatalogueDays,
    course: TemperatureCourse,
    site: SiteFactor,
    flags: set[ForecastFlag],
) -> Forecast:
    half_range = math.log(catalogue.high / catalogue.low) / (2 * _Z90)
    spread = math.sqrt(site.log_sd**2 + SOWING_LOG_SD**2 + SEED_LOG_SD**2)
    log_sd = max(half_range, spread)
    median = math.sqrt(catalogue.low * catalogue.high) * site.factor
    days: list[float | None] = [median * math.exp(z * log_sd) for z in (-_Z90, 0.0, _Z90)]
    made = _forecast(
        course,
        site,
        ForecastKind.CATALOGUE,
        catalogue.source,
        days,
        flags | {ForecastFlag.CATALOGUE_RANGE},
        course.days_past / median,
        log_sd,
    )
    by_day = tuple(i / median for i in range(course.days_past + 1))
    common_sd = math.sqrt(max(log_sd**2 - SEED_LOG_SD**2, 0.0))
    return replace(made, common_log_sd=common_sd, progress_by_day=by_day)


def _without_figures(
    course: TemperatureCourse, site: SiteFactor, flags: set[ForecastFlag]
) -> Forecast:
    return _forecast(
        course,
        site,
        ForecastKind.NONE,
        "",
        [None, None, None],
        flags | {ForecastFlag.NO_FIGURES},
        0.0,
        0.0,
    )


def _forecast(
    course: TemperatureCourse,
    site: SiteFactor,
    kind: ForecastKind,
    source: str,
    days: list[float | None],
    flags: set[ForecastFlag],
    progress: float,
    log_sd: float,
) -> Forecast:
    p10, p50, p90 = days
    middle = None if p50 is None else round(p50)
    first = _date(course.sown_on, None if p10 is None else math.ceil(p10))
    median = _date(course.sown_on, middle)
    last = _date(course.sown_on, None if p90 is None else math.floor(p90))
    if median is not None:
        first = median if first is None else min(first, median)
        last = None if last is None else max(last, median)
    return Forecast(
        p10_on=first,
        p50_on=median,
        p90_on=last,
        p10_days=p10,
        p50_days=p50,
        p90_days=p90,
        basis=Basis(
            kind=kind,
            source=source,
            days_logged=course.days_past - course.days_carried,
            days_carried=course.days_carried,
            ahead_temp_c=course.ahead_c if kind is ForecastKind.TABLE else None,
            site=site,
            log_sd=log_sd,
        ),
        flags=frozenset(flags),
        progress=progress,
    )


def _days_at(targets: list[float], rate_of_day: Callable[[int], float]) -> list[float | None]:
    """Return when the summed rate reaches each rising target; None past the horizon."""
    reached: list[float | None] = []
    total = 0.0
    for day in range(HORIZON_DAYS):
        rate = rate_of_day(day)
        while len(reached) < len(targets) and rate > 0 and total + rate >= targets[len(reached)]:
            reached.append(day + (targets[len(reached)] - total) / rate)
        if len(reached) == len(targets):
            return reached
        total += rate
    return reached + [None] * (len(targets) - len(reached))


def _date(sown_on: date, days: int | None) -> date | None:
    return None if days is None else sown_on + timedelta(days=days)
