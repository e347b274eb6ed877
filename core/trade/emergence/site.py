"""How fast a site brings a crop up against the table, learned from finished sowings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.trade.emergence.course import DayTemp, TemperatureCourse
from core.trade.emergence.rate import EmergencePoints

SEED_LOG_SD = 0.21
"""Spread of log time among the seeds of one sowing, dimensionless. Median coefficient of
variation of germination time over the 15 samples published with GM (rounded); taken to
hold for every crop, which is from memory."""

SOWING_LOG_SD = 0.20
"""Spread from one sowing to the next at one site (depth, moisture, lot, rounding of the
table). From memory; it is a little above the error of the table when one of its columns
is held out (tests/reference/test_emergence_days.py)."""

PRIOR_LOG_FACTOR = 0.0
"""Before any record a site is taken to be as fast as the table. Real trays are often said
to be slower (common practice), but by no figure we found."""

PRIOR_SOWINGS = 2.0
"""Weight of that prior, in sowings. From memory. It also sets the spread between sites:
SOWING_LOG_SD / sqrt(PRIOR_SOWINGS)."""

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
    """How this site's own speed for a crop compares with the table.

    Attributes:
        log_factor: natural log of thermal time needed over the table's; 0 = as the table.
        weight: sowings behind it, the prior included; > 0.
        sowings: finished sowings used; count.
    """

    log_factor: float = PRIOR_LOG_FACTOR
    weight: float = PRIOR_SOWINGS
    sowings: int = 0

    @property
    def factor(self) -> float:
        """Multiplies the table's days; > 0."""
        return math.exp(self.log_factor)

    @property
    def log_sd(self) -> float:
        """How unsure the factor still is, one standard deviation of its log."""
        return SOWING_LOG_SD / math.sqrt(self.weight)


def site_factor(past: Iterable[PastSowing]) -> SiteFactor:
    """Return the site's factor for one crop, shrunk towards the table.

    The log of each ratio is averaged with a prior of log factor 0 (the table itself) that
    weighs as much as `PRIOR_SOWINGS` (2) large sowings. A sowing with few seedlings counts
    for less, because its median is noisy: weight s^2 / (s^2 + (pi/2) w^2 / m), s the
    spread between sowings, w within one, m its seedlings.

    Args:
        past: finished sowings; ratio > 0, emerged >= 1.
    Raises ValueError outside these ranges.
    Source: normal-normal shrinkage, textbook; the constants as stated above.
    Checked by: tests/core/trade/emergence/test_emergence.py, tests/bench/test_calibration.py.
    """
    total, weight, count = PRIOR_LOG_FACTOR * PRIOR_SOWINGS, PRIOR_SOWINGS, 0
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
    points: EmergencePoints,
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
        points: the crop's tested temperatures.
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
