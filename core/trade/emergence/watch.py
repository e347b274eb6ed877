"""What a forecast means on a day: waiting, due, overdue; and whether a window moved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.trade.emergence.forecast import Forecast, ForecastFlag, ForecastKind

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


def watch(forecast: Forecast, *, today: date, emerged: int) -> Watch:
    """Return where a sowing stands: up, waiting, due, overdue or not coming.

    Args:
        forecast: reckoned with the temperatures logged up to `today`.
        today: the site's local date.
        emerged: seedlings counted so far; count, >= 0.
    Overdue means the date of the 90 % point has passed and nothing is up. Will not come
    means tested and hopeless; where nothing was tested there is no forecast.
    Checked by: tests/core/trade/emergence/test_emergence.py.
    """
    if emerged > 0:
        return Watch.UP
    if forecast.basis.kind is ForecastKind.NONE:
        return Watch.NO_FORECAST
    if forecast.p90_on is not None and today > forecast.p90_on:
        return Watch.OVERDUE
    if forecast.p50_on is None:
        return Watch.WILL_NOT_COME if forecast.flags & _HOPELESS else Watch.NO_FORECAST
    if forecast.p10_on is not None and today >= forecast.p10_on:
        return Watch.DUE
    return Watch.WAITING


def overdue(forecast: Forecast, *, today: date, emerged: int) -> bool:
    """Whether the 90 % point has passed with nothing up; see `watch`."""
    return watch(forecast, today=today, emerged=emerged) is Watch.OVERDUE


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
