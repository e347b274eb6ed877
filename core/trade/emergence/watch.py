"""What a forecast means on a day: waiting, due, overdue; and whether a window moved."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from numpy.polynomial.hermite_e import hermegauss
from scipy import special

from core.trade.emergence.forecast import Forecast, ForecastFlag, ForecastKind
from core.trade.emergence.site import SEED_LOG_SD

SHIFT_DAYS = 1.0
"""A window that moves by more than this (days) is worth saying."""


class Watch(StrEnum):
    """Where a sowing stands against its window."""

    UP = "up"
    WAITING = "waiting"
    DUE = "due"
    OVERDUE = "overdue"
    WILL_NOT_COME = "will_not_come"
    NO_FORECAST = "no_forecast"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowShift:
    """How a window moved, in days, later positive; None where one side has no date."""

    p10_days: float | None
    p50_days: float | None
    p90_days: float | None


_HOPELESS = {ForecastFlag.TOO_COLD, ForecastFlag.TOO_HOT, ForecastFlag.NEAR_LIMIT}


FAILING_SHARE = 0.01
"""Share of sowings taken to fail altogether (dried out, rotten, dead seed). From memory, on the low
side: a sowing in health that is called overdue costs more trust than one called so late."""

LIVING_SHARE = 0.5
"""Part of the seeds counted as able to come up when a sowing is doubted: cautious, since a lot may
be poor without being dead. Own choice, the lowest of the legal minima (CFR-201.31)."""

_NODES, _WEIGHTS = hermegauss(40)


def chance_none_yet(forecast: Forecast, *, on: date, sown_on: date, seeds: int) -> float:
    """Return the chance that a sowing in health shows nothing yet on the morning of a day.

    Its seeds share one deviation of log time and have one each; `LIVING_SHARE` of them can come
    up. 1 where the forecast knows no progress.

    Args:
        on: a day up to the one the forecast was reckoned for.
        seeds: seeds sown; count, >= 1.
    Checked by: tests/core/trade/emergence/test_emergence.py (against simulation).
    """
    done = forecast.progress_by_day
    if not done:
        return 1.0
    progress = done[max(0, min((on - sown_on).days, len(done) - 1))]
    if progress <= 0:
        return 1.0
    living = max(1, round(LIVING_SHARE * seeds))
    late = special.ndtr((forecast.common_log_sd * _NODES - math.log(progress)) / SEED_LOG_SD)
    return float((_WEIGHTS * late**living).sum() / _WEIGHTS.sum())


def watch(
    forecast: Forecast,
    *,
    today: date,
    emerged: int,
    sown_on: date | None = None,
    seeds: int = 1,
    looked_on: date | None = None,
) -> Watch:
    """Return where a sowing stands: up, waiting, due, overdue or not coming.

    Args:
        forecast: reckoned with the temperatures logged up to `today`.
        today: the site's local date.
        emerged: seedlings counted so far; count, >= 0.
        sown_on, seeds: the sowing's day, and its seeds.
        looked_on: last day on which somebody was at the tray and told of no seedling.
    Overdue is said when somebody has looked after the date of the 90 % point, saw nothing, and a
    sowing that failed is by then likelier than one in health that is late (`FAILING_SHARE`
    against `chance_none_yet`). Will not come means tested and hopeless; where nothing was tested
    there is no forecast.
    Checked by: tests/core/trade/emergence/test_emergence.py, tests/bench/test_calibration.py.
    """
    if emerged > 0:
        return Watch.UP
    if forecast.basis.kind is ForecastKind.NONE:
        return Watch.NO_FORECAST
    if forecast.p90_on is not None and looked_on is not None and looked_on > forecast.p90_on:
        none = 0.0
        if sown_on is not None:
            none = chance_none_yet(forecast, on=looked_on, sown_on=sown_on, seeds=seeds)
        if (1 - FAILING_SHARE) * none < FAILING_SHARE:
            return Watch.OVERDUE
    if forecast.p50_on is None:
        return Watch.WILL_NOT_COME if forecast.flags & _HOPELESS else Watch.NO_FORECAST
    if forecast.p10_on is not None and today >= forecast.p10_on:
        return Watch.DUE
    return Watch.WAITING


def window_shift(before: Forecast, after: Forecast) -> WindowShift | None:
    """Return how the window moved, or None when no point moved by more than a day.

    Points are compared in unrounded days after sowing, so both forecasts must be of the
    same sowing; a point that gains or loses its date always counts.
    """
    pairs = (
        (before.p10_days, after.p10_days),
        (before.p50_days, after.p50_days),
        (before.p90_days, after.p90_days),
    )
    moved = [None if old is None or new is None else new - old for old, new in pairs]
    gained_or_lost = any((old is None) != (new is None) for old, new in pairs)
    if not gained_or_lost and all(m is None or abs(m) <= SHIFT_DAYS for m in moved):
        return None
    return WindowShift(p10_days=moved[0], p50_days=moved[1], p90_days=moved[2])
