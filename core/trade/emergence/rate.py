"""How fast a crop comes up at a mix temperature: a rate curve through tabulated days.

The rate is 1 / days. It runs straight between tested temperatures, so every tabulated day
is given back exactly; below the lowest and above the highest it falls to nothing at a base
and a ceiling. Straight lines in rate are thermal time (degree-days) piece by piece.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise
from typing import Final, Literal

NG: Final = "NG"
"""Tested, and nothing came up."""

EDGE_HELD_C = 5.0
"""How far above the hottest tested temperature the edge rate is held, flagged, when no
hotter test failed; one column of HM1954. Judgement, from memory."""

FREEZING_C = 0.0


class Standing(StrEnum):
    """Where a temperature lies against the temperatures tested."""

    TESTED = "tested"
    """Within temperatures at which the crop came up."""
    NEAR_LIMIT = "near_limit"
    """Between a test that came up and one that did not: the limit is not known closely."""
    BELOW_TESTED = "below_tested"
    """Colder than any test that came up, and no colder test failed: extrapolated."""
    ABOVE_TESTED = "above_tested"
    """Hotter than any test that came up, and no hotter test failed: extrapolated."""
    TOO_COLD = "too_cold"
    """Will not come up."""
    TOO_HOT = "too_hot"
    """Will not come up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergencePoint:
    """One tested temperature.

    Attributes:
        temp_c: temperature of the mix, Celsius, constant in the test.
        days: sowing to emergence, days > 0; `NG` when nothing came up; None not tested.
        percent: normal seedlings, 0..100; None not tested.
    """

    temp_c: float
    days: float | Literal["NG"] | None
    percent: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RateAt:
    """Emergence rate at one temperature.

    Attributes:
        per_day: share of the way to emergence done in a day; >= 0.
        standing: whether that figure is tested, stretched or nil.
        slope_per_c: change of `per_day` per degree warmer.
    """

    per_day: float
    standing: Standing
    slope_per_c: float

    @property
    def days(self) -> float | None:
        """Days to emergence at this constant temperature; None when it does not come."""
        return 1 / self.per_day if self.per_day > 0 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergencePoints:
    """A crop's tested temperatures, coldest first, and the rate curve through them.

    Base and ceiling: the line through the two outermost tests that came up is drawn on to
    a rate of nil, but never past the nearest test that failed.

    Attributes:
        points: strictly rising temperatures, at least one with days.
        source: key of core/data/sources.toml.
    Raises ValueError when temperatures do not rise, days are not positive, a percentage is
    outside 0..100 or nothing ever came up.
    Source: rate linear in temperature between base and optimum, as in thermal-time models
        (Bierhuizen and Wagenvoort 1974, from memory); interpolation between tests is ours.
    Checked by: tests/reference/test_emergence_days.py.
    """

    points: tuple[EmergencePoint, ...]
    source: str
    _knots: tuple[tuple[float, float], ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if any(b.temp_c <= a.temp_c for a, b in pairwise(self.points)):
            raise ValueError("tested temperatures must rise")
        for point in self.points:
            if point.days is not None and point.days != NG and not 0 < point.days < math.inf:
                raise ValueError(f"days must be positive: {point}")
            if point.percent is not None and not 0 <= point.percent <= 100:
                raise ValueError(f"percent must be 0..100: {point}")
        object.__setattr__(self, "_knots", self._build_knots())

    def _build_knots(self) -> tuple[tuple[float, float], ...]:
        up = self._came_up()
        if not up:
            raise ValueError("no tested temperature came up")
        first, last = up[0][0], up[-1][0]
        inner = [
            (p.temp_c, 0.0 if p.days == NG else 1 / float(p.days))
            for p in self.points
            if p.days is not None and first <= p.temp_c <= last
        ]
        base = _zero_of(up[0], up[1]) if len(up) > 1 else None
        ceiling = _zero_of(up[-1], up[-2]) if len(up) > 1 else None
        failed_cold, failed_hot = self.failed_cold_c, self.failed_hot_c
        if failed_cold is not None:
            base = failed_cold if base is None or base > first else max(base, failed_cold)
        elif base is not None and base < first:
            base = max(base, FREEZING_C)
        if failed_hot is not None:
            ceiling = failed_hot if ceiling is None or ceiling < last else min(ceiling, failed_hot)
        elif ceiling is None or ceiling < last:
            # Still rising, or level, at the hottest test: hold, never rise further.
            inner.append((last + EDGE_HELD_C, inner[-1][1]))
            ceiling = None
        if base is not None and base < first:
            inner.insert(0, (base, 0.0))
        if ceiling is not None and ceiling > last:
            inner.append((ceiling, 0.0))
        return tuple(inner)

    def _came_up(self) -> list[tuple[float, float]]:
        return [
            (p.temp_c, 1 / float(p.days))
            for p in self.points
            if p.days is not None and p.days != NG
        ]

    @property
    def tested_c(self) -> tuple[float, float]:
        """Coldest and hottest temperature at which the crop came up, Celsius."""
        up = self._came_up()
        return up[0][0], up[-1][0]

    @property
    def failed_cold_c(self) -> float | None:
        """Warmest failed test below those that came up, Celsius; None without one."""
        low = self.tested_c[0]
        return max((p.temp_c for p in self.points if p.days == NG and p.temp_c < low), default=None)

    @property
    def failed_hot_c(self) -> float | None:
        """Coolest failed test above those that came up, Celsius; None without one."""
        high = self.tested_c[1]
        return min(
            (p.temp_c for p in self.points if p.days == NG and p.temp_c > high), default=None
        )

    @property
    def optimum_c(self) -> tuple[float, float]:
        """Coolest and warmest tested temperature with the fewest days, Celsius."""
        up = self._came_up()
        best = max(rate for _, rate in up)
        at_best = [temp for temp, rate in up if rate == best]
        return at_best[0], at_best[-1]

    def rate_at(self, temp_c: float) -> RateAt:
        """Return the emergence rate at a mix temperature, Celsius; never negative.

        Source and check: see the class.
        """
        knots = self._knots
        standing = self._standing(temp_c)
        place = bisect_right([temp for temp, _ in knots], temp_c)
        if place == 0 or place == len(knots):
            edge_temp, edge_rate = knots[0] if place == 0 else knots[-1]
            rate = edge_rate if temp_c == edge_temp else 0.0
            return RateAt(per_day=rate, standing=standing, slope_per_c=0.0)
        (low_c, low), (high_c, high) = knots[place - 1], knots[place]
        slope = (high - low) / (high_c - low_c)
        rate = low + slope * (temp_c - low_c)
        if rate <= 0 and standing is Standing.NEAR_LIMIT:
            standing = Standing.TOO_COLD if temp_c < self.tested_c[0] else Standing.TOO_HOT
        return RateAt(per_day=max(0.0, rate), standing=standing, slope_per_c=slope)

    def _standing(self, temp_c: float) -> Standing:
        low, high = self.tested_c
        if low <= temp_c <= high:
            return Standing.TESTED
        if temp_c < low:
            if self.failed_cold_c is None:
                return Standing.BELOW_TESTED
            return Standing.TOO_COLD if temp_c <= self._knots[0][0] else Standing.NEAR_LIMIT
        if self.failed_hot_c is None:
            return Standing.ABOVE_TESTED
        return Standing.TOO_HOT if temp_c >= self._knots[-1][0] else Standing.NEAR_LIMIT

    def percent_at(self, temp_c: float) -> float | None:
        """Return normal seedlings in percent (0..100) at a temperature, Celsius.

        Straight lines between tested percentages; None outside them.
        """
        known = [(p.temp_c, p.percent) for p in self.points if p.percent is not None]
        for (low_c, low), (high_c, high) in pairwise(known):
            if low_c <= temp_c <= high_c:
                return low + (high - low) * (temp_c - low_c) / (high_c - low_c)
        return None


def _zero_of(edge: tuple[float, float], inner: tuple[float, float]) -> float | None:
    """Return the temperature where the line inner -> edge reaches a rate of nil.

    None when the rate does not fall towards the edge.
    """
    (edge_c, edge_rate), (inner_c, inner_rate) = edge, inner
    if inner_rate <= edge_rate:
        return None
    return edge_c + edge_rate * (edge_c - inner_c) / (inner_rate - edge_rate)
