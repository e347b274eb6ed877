"""How fast a site brings a crop up against its curve, learned from finished sowings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.trade.emergence.course import DayTemp, TemperatureCourse
from core.trade.emergence.curve import RateCurve

SEED_LOG_SD = 0.21
"""Spread of log time among the seeds of one sowing, dimensionless. Median coefficient of
variation of germination time over the 15 samples published with GM (rounded); taken to
hold for every crop, which is from memory."""

SOWING_LOG_SD = 0.25
"""Spread from one sowing to the next at one site (tray, depth, moisture, lot). Estimate: a
quarter, which is above the error of the table when one of its columns is held out
(tests/reference/test_emergence_days.py) and above the 2 % by which five lots in three replicates
published with GM differ in the same dish."""

SITE_LOG_SD = 0.29
"""Spread from one site to the next, a published table being the record of one site: the log
standard deviation of HM1954 against BW74, 0.41 over 53 cells of 18 crops, shared between the two
(calculated)."""

PRIOR_LOG_FACTOR = 0.0
"""Before any record a site is taken to be as fast as the crop's curve, which stands between the
published tables."""

PRIOR_LOG_SD = math.hypot(SITE_LOG_SD, SITE_LOG_SD)
"""How unsure that is for a curve that rests on one table: the table may be off, and the site."""

_STEPS = 60

_MEDIAN_NOISE = math.pi / 2
"""Variance of a sample median against that of a mean, normal samples; textbook."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PastSowing:
    """One finished sowing: thermal time it took over the table's, and seedlings behind it.

    Attributes:
        ratio: observed / predicted, > 0 (1.2 = a fifth slower than the table).
        emerged: seedlings the median rests on; count, >= 1.
    """

    ratio: float
    emerged: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFactor:
    """How this site's own speed for a crop compares with its curve.

    Attributes:
        log_factor: natural log of thermal time needed over the curve's; 0 = as the curve.
        weight: sowings behind it, the prior included; > 0.
        sowings: finished sowings used; count.
    """

    log_factor: float = PRIOR_LOG_FACTOR
    weight: float = (SOWING_LOG_SD / PRIOR_LOG_SD) ** 2
    sowings: int = 0

    @property
    def factor(self) -> float:
        """Multiplies the curve's days; > 0."""
        return math.exp(self.log_factor)

    @property
    def log_sd(self) -> float:
        """How unsure the factor still is, one standard deviation of its log."""
        return SOWING_LOG_SD / math.sqrt(self.weight)


def prior_log_sd(curve_log_sd: float) -> float:
    """Return how unsure the speed of an unknown site is, given how unsure the curve is itself."""
    return math.hypot(SITE_LOG_SD, curve_log_sd)


def site_factor(past: Iterable[PastSowing], *, prior_sd: float = PRIOR_LOG_SD) -> SiteFactor:
    """Return the site's factor for one crop, shrunk towards the curve.

    The log of each ratio is averaged with a prior of log factor 0 (the curve itself), which
    weighs as many sowings as the variance between sowings goes into its own. A sowing with few
    seedlings counts for less, because its median is noisy: weight s^2 / (s^2 + (pi/2) w^2 / m),
    s the spread between sowings, w within one, m its seedlings.

    Args:
        past: finished sowings; ratio > 0, emerged >= 1.
        prior_sd: spread of log speed before any record, > 0; see `prior_log_sd`.
    Raises ValueError outside these ranges.
    Source: normal-normal shrinkage, textbook; the constants as stated above.
    Checked by: tests/core/trade/emergence/test_emergence.py, tests/bench/test_calibration.py.
    """
    prior = (SOWING_LOG_SD / prior_sd) ** 2
    total, weight, count = PRIOR_LOG_FACTOR * prior, prior, 0
    for sowing in past:
        if not 0 < sowing.ratio < math.inf or sowing.emerged < 1:
            raise ValueError(f"not a finished sowing: {sowing}")
        noise = _MEDIAN_NOISE * SEED_LOG_SD**2 / sowing.emerged
        share = SOWING_LOG_SD**2 / (SOWING_LOG_SD**2 + noise)
        total += share * math.log(sowing.ratio)
        weight += share
        count += 1
    return SiteFactor(log_factor=total / weight, weight=weight, sowings=count)


def thermal_ratio(
    points: RateCurve,
    *,
    sown_on: date,
    median_days: float,
    readings: Sequence[DayTemp] = (),
    usual_temp_c: float | None = None,
) -> float | None:
    """Return the thermal time a sowing had at its median, over the table's; > 0.

    1.0 means it came up when the table and its temperatures said; 1.2 a fifth later.
    The observed / predicted ratio that `site_factor` learns from.

    Args:
        points: the crop's curve.
        sown_on: local date of sowing.
        median_days: days from sowing to the median emergence, > 0.
        readings, usual_temp_c: as for a forecast; days without a reading take the usual.
    Returns None when no temperature is known, or none of them lets the crop come up.
    Raises ValueError when median_days is not positive and finite.
    Checked by: tests/core/trade/emergence/test_emergence.py.
    """
    if not 0 < median_days < math.inf:
        raise ValueError(f"median_days must be positive, got {median_days}")
    course = TemperatureCourse.of(
        sown_on=sown_on,
        today=sown_on + timedelta(days=math.ceil(median_days)),
        readings=readings,
        usual_temp_c=usual_temp_c,
    )
    if course.ahead_c is None:
        return None
    whole = math.floor(median_days)
    had = sum(points.rate_at(course.temp_c(i)).per_day for i in range(whole))
    part = median_days - whole
    if part > 0:
        had += part * points.rate_at(course.temp_c(whole)).per_day
    return had if had > 0 else None


def censored_ratio(
    low: float | None, high: float, *, log_sd: float, emerged: int
) -> tuple[float, int]:
    """Return what a sowing tells of its speed when looks only bracket the day it was half up.

    The mean of log time between the two, under a normal of mean 0 and `log_sd`; and the
    seedlings that a sowing watched all the time would have to have to be as sure.

    Args:
        low: thermal time over the curve's at the last look with fewer than half; None for none.
        high: the same at the first look with as many, > 0.
        log_sd: spread expected before the looks, > 0.
        emerged: seedlings, >= 1.
    Source: mean and variance of a truncated normal, textbook.
    Checked by: tests/core/trade/emergence/test_emergence.py, tests/bench/test_calibration.py.
    """
    if not high > 0 or emerged < 1 or not log_sd > 0:
        raise ValueError("a bracket ends above nil and holds a seedling")
    a = -8.0 if not low or low <= 0 else max(-8.0, math.log(low) / log_sd)
    b = min(8.0, math.log(high) / log_sd)
    if b - a < 1e-6:
        return high, emerged
    if b <= -7 or a >= 7:
        return math.exp(max(a, min(b, 0.0)) * log_sd), emerged
    nodes = [a + (b - a) * (i + 0.5) / _STEPS for i in range(_STEPS)]
    weights = [math.exp(-x * x / 2) for x in nodes]
    total = sum(weights)
    mean = sum(w * x for w, x in zip(weights, nodes, strict=True)) / total
    var = sum(w * (x - mean) ** 2 for w, x in zip(weights, nodes, strict=True)) / total
    noise = _MEDIAN_NOISE * SEED_LOG_SD**2 / emerged + var * log_sd**2
    return math.exp(mean * log_sd), max(1, round(_MEDIAN_NOISE * SEED_LOG_SD**2 / noise))
