"""What the bot holds true of one crop and the temperature of its mix: speed, share and limits.

One curve a crop. How many days, whether few or many come up, and the words "can come up",
"slow", "good", "best" and "too hot" are all read off it, so that no two of them can disagree.
`core.trade.emergence.reconciled` builds it from the published tables.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import Protocol

from core.trade.emergence.rate import RateAt, Standing

SLOWEST_DAYS = 300.0
"""A temperature at which a crop takes longer counts as too cold or too hot. Own choice, above what
the curves make of the slowest that ever came up (parsnip 172 days, onion 136, at 0 °C, HM1954)."""

FEWEST = 0.10
"""Share of the best share below which nothing is said to come up. Own choice."""

FEW = 0.50
"""Share of the best share below which few come up. Own choice."""

GOOD_RATE = 0.40
"""Part of the best speed from which a temperature is good; below it the crop is slow. Own choice,
near the coldest that the charts call suitable (tests/reference/test_one_temperature_truth.py)."""

BEST_RATE = 0.60
"""Part of the best speed from which a temperature is best, with `BEST_SHARE` of the best share.
Both are own choices that come nearest to the charts' best ranges, as above."""

BEST_SHARE = 0.85

NEAR_LIMIT_C = 1.5
"""Within so many degrees of a limit a degree matters. Own choice."""


class Verdict(StrEnum):
    """What a mix temperature means for one crop, coldest first."""

    TOO_COLD = "too_cold"
    SLOW = "slow"
    GOOD = "good"
    BEST = "best"
    WARM = "warm"  # it comes up, but fewer or slower than when cooler
    TOO_HOT = "too_hot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """A crop's limits for germination in whole degrees, Celsius; they do not fall.

    Attributes:
        least, most: coldest and hottest mix in which it comes up.
        good_lo, good_hi: it comes up neither slowly nor in smaller numbers.
        best_lo, best_hi: it comes up fastest and most surely.
    """

    least: int
    good_lo: int
    best_lo: int
    best_hi: int
    good_hi: int
    most: int


class RateCurve(Protocol):
    """What a forecast asks of a crop: a rate, a share and a source for each temperature."""

    @property
    def source(self) -> str: ...
    def rate_at(self, temp_c: float) -> RateAt: ...
    def percent_at(self, temp_c: float) -> float | None: ...


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Speed and share of emergence of one crop by mix temperature.

    Attributes:
        knots: (temperature °C, rate a day, share of the best share 0..1), temperatures rising by
            equal steps; straight between them.
        tested_c: coldest and hottest temperature that a publication speaks of, Celsius.
        log_sd: how far the days may be off for a new site, one standard deviation of their log.
        source: keys of core/data/sources.toml.
        family_default: no publication speaks of this crop and temperature; its family's shape.

    Checked by: tests/reference/test_one_temperature_truth.py.
    """

    knots: tuple[tuple[float, float, float], ...]
    tested_c: tuple[float, float]
    log_sd: float
    source: str
    family_default: bool = False
    _temps: tuple[float, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_temps", tuple(t for t, _, _ in self.knots))
        if not any(rate > 0 for _, rate, _ in self.knots):
            raise ValueError("a curve on which nothing comes up")

    def _at(self, temp_c: float) -> tuple[float, float, float]:
        """Return rate, share and the rate's slope without regard to the limits."""
        place = bisect_right(self._temps, temp_c)
        if place == 0 or place == len(self.knots):
            _, rate, share = self.knots[0 if place == 0 else -1]
            return rate, share, 0.0
        (t0, r0, s0), (t1, r1, s1) = self.knots[place - 1], self.knots[place]
        part = (temp_c - t0) / (t1 - t0)
        return r0 + part * (r1 - r0), s0 + part * (s1 - s0), (r1 - r0) / (t1 - t0)

    @cached_property
    def limits(self) -> Limits:
        """The crop's limits, rounded inwards to whole degrees."""
        whole = [(t, *self._at(t)[:2]) for t in range(-2, 46)]
        alive = [(t, r, s) for t, r, s in whole if s >= FEWEST and r >= 1 / SLOWEST_DAYS]
        top = max(r for _, r, s in alive if s >= BEST_SHARE)
        peak = min(t for t, r, s in alive if s >= BEST_SHARE and r == top)
        alive = _run(alive, peak)
        good = _run([x for x in alive if x[1] >= GOOD_RATE * top and x[2] >= FEW], peak)
        best = _run([x for x in good if x[1] >= BEST_RATE * top and x[2] >= BEST_SHARE], peak)
        return Limits(
            least=alive[0][0],
            good_lo=good[0][0],
            best_lo=best[0][0],
            best_hi=best[-1][0],
            good_hi=good[-1][0],
            most=alive[-1][0],
        )

    def verdict(self, temp_c: float) -> Verdict:
        """Return what a mix temperature, Celsius, means for the crop."""
        at = self.limits
        if temp_c < at.least:
            return Verdict.TOO_COLD
        if temp_c > at.most:
            return Verdict.TOO_HOT
        if temp_c < at.good_lo:
            return Verdict.SLOW
        if temp_c > at.good_hi:
            return Verdict.WARM
        return Verdict.BEST if at.best_lo <= temp_c <= at.best_hi else Verdict.GOOD

    def rate_at(self, temp_c: float) -> RateAt:
        """Return the rate at a mix temperature, Celsius; nil outside the limits."""
        at = self.limits
        if temp_c < at.least or temp_c > at.most:
            cold = temp_c < at.least
            standing = Standing.TOO_COLD if cold else Standing.TOO_HOT
            return RateAt(per_day=0.0, standing=standing, slope_per_c=0.0)
        rate, _, slope = self._at(temp_c)
        standing = Standing.TESTED
        if min(temp_c - at.least, at.most - temp_c) < NEAR_LIMIT_C:
            standing = Standing.NEAR_LIMIT
        elif temp_c < self.tested_c[0]:
            standing = Standing.BELOW_TESTED
        elif temp_c > self.tested_c[1]:
            standing = Standing.ABOVE_TESTED
        return RateAt(per_day=rate, standing=standing, slope_per_c=slope)

    def share_at(self, temp_c: float) -> float:
        """Return the share of the best share that comes up at a temperature, 0..1."""
        at = self.limits
        return self._at(temp_c)[1] if at.least <= temp_c <= at.most else 0.0

    def percent_at(self, temp_c: float) -> float:
        """Return `share_at` in percent."""
        return 100.0 * self.share_at(temp_c)


def _run(found: list[tuple[int, float, float]], around: int) -> list[tuple[int, float, float]]:
    """Return the stretch of neighbouring degrees that holds `around`."""
    kept = {t for t, _, _ in found}
    low = high = around
    while low - 1 in kept:
        low -= 1
    while high + 1 in kept:
        high += 1
    return [x for x in found if low <= x[0] <= high]
