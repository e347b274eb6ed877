"""Absurd values in a record of daily minima.

A value is absurd when no thermometer shelter on Earth shows it; when it stands alone at least
25 °C from both the day before and the day after, on the same side; or when it lies six robust
standard deviations, and at least 15 °C, from the median of its calendar month. The last two
follow the spike and the outlier check of the GHCN-Daily quality control.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from statistics import median

LOWEST_C, HIGHEST_C = -90.0, 60.0
"""Just beyond the lowest (-89.2 °C) and highest (56.7 °C) air temperatures known (from memory)."""
SPIKE_C = 25.0
"""Durre et al. 2010, J. Appl. Meteor. Climatol. 49: 1615-1633 (from memory)."""
OUTLIER_SDS = 6.0
"""Same source as SPIKE_C (from memory)."""
OUTLIER_C = 15.0
"""Keeps real cold nights of even climates; own choice."""
MAD_TO_SD = 1.4826
"""Normal standard deviation in units of the median absolute deviation."""
MONTH_VALUES = 90
"""Values of a calendar month before its median is trusted: three years; own choice."""


class AbsurdRule(StrEnum):
    """Which rule a value broke."""

    NOT_ON_EARTH = "not_on_earth"
    SPIKE = "spike"
    OUTLIER = "outlier"


@dataclass(frozen=True, slots=True, kw_only=True)
class AbsurdValue:
    """One value set aside.

    Attributes:
        day: its date.
        min_c: the value, °C.
        rule: the first rule it broke.
    """

    day: date
    min_c: float
    rule: AbsurdRule


def absurd_values(minima_c: Mapping[date, float | None]) -> tuple[AbsurdValue, ...]:
    """Return the absurd values of a record (°C by date), in order of date.

    Checked by: tests/core/trade/frost/test_frost_file.py, tests/reference/test_frost_records.py.
    """
    known = {day: value for day, value in minima_c.items() if value is not None}
    off_earth = {day for day, value in known.items() if not LOWEST_C <= value <= HIGHEST_C}
    plausible = {day: value for day, value in known.items() if day not in off_earth}
    usual = _usual_by_month(plausible)
    found = []
    for day in sorted(known):
        rule = AbsurdRule.NOT_ON_EARTH if day in off_earth else _rule_broken(day, plausible, usual)
        if rule is not None:
            found.append(AbsurdValue(day=day, min_c=known[day], rule=rule))
    return tuple(found)


def _rule_broken(
    day: date, known: Mapping[date, float], usual: Mapping[int, tuple[float, float]]
) -> AbsurdRule | None:
    value = known[day]
    before = known.get(day - timedelta(days=1))
    after = known.get(day + timedelta(days=1))
    if before is not None and after is not None:
        if min(value - before, value - after) >= SPIKE_C:
            return AbsurdRule.SPIKE
        if max(value - before, value - after) <= -SPIKE_C:
            return AbsurdRule.SPIKE
    if day.month in usual:
        middle, sd = usual[day.month]
        if abs(value - middle) >= max(OUTLIER_C, OUTLIER_SDS * sd):
            return AbsurdRule.OUTLIER
    return None


def _usual_by_month(known: Mapping[date, float]) -> dict[int, tuple[float, float]]:
    """Return the median and robust standard deviation, °C, of months with enough values."""
    months: dict[int, list[float]] = {}
    for day, value in known.items():
        months.setdefault(day.month, []).append(value)
    usual = {}
    for month, values in months.items():
        if len(values) >= MONTH_VALUES:
            middle = median(values)
            usual[month] = (middle, MAD_TO_SD * median(abs(v - middle) for v in values))
    return usual
