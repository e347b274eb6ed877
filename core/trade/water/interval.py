"""Watering: how long a tray lasts, learned from what people report.

The interval is the time from a watering until the mix is ready for the next one (level 2 of the
1-5 moisture scale, BPG-MOIST). A prior comes from cell volume, stage, air and light; each
`dry / right / wet` report with its age since the last watering moves the tray's own factor.
Advice is to look, never to water by the clock.
"""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

import numpy as np
from scipy.special import ndtr

from core.requests import Moisture
from core.trade.light.lamp import Basis
from core.trade.stage import TrayStage
from core.trade.tables.registry import number, register

USUAL_DAYS = 2.5
"""Interval of `USUAL_CELL_ML` cells in seed leaves at 21 C; common practice: every 2-3 days."""

USUAL_CELL_ML = 50.0
"""Volume of a usual 72-cell, ml; makers' figures run 45-59 (TRAY-GHM)."""

VOLUME_POWER = 1 / 3
"""Interval against cell volume. Trays of 50 and 200 cells hold 5.54 and 2.78 l on one area at
110.9 and 13.9 ml a cell (TRAY-GHM): log(5.54/2.78) / log(110.9/13.9) = 0.332."""

USUAL_AIR_C = 21.0  # a warm room; own choice
USUAL_DLI_MOL = 10.0  # under lamps; own choice
LIGHT_SHARE = 0.5
"""Share of the water use that goes with light, the rest with drying power of the air; estimated
(PAKCHOI21 finds radiation foremost)."""

MAT_SHARE = 1.5
"""Water use on a heat mat against without; estimated from its 17-20 W (from memory)."""

PRIOR_LOG_SD = 0.6
"""Spread of a tray's true interval about the prior, natural log: 95 % within a factor 3.3."""

REPORT_LOG_SD = 0.12
"""How sharply people tell dry from right from wet, natural log of time; estimated."""

RIGHT_FROM_LOG, RIGHT_TO_LOG = math.log(0.7), math.log(1.15)
"""What people call right, from 0.7 to 1.15 of the interval: wet before, dry after; estimated."""

FORGET_SHARE = 0.85
"""Weight of a report against the one after it, so that a tray that changes is followed; own
choice."""

_GRID = tuple(-2.4 + 0.04 * step for step in range(121))
"""Log factors over which the estimate is kept, 0.09 to 11 times the prior; own choice."""

_FACTORS = np.array(_GRID)

CHECK_QUANTILE = 0.25
"""A look is due when one tray in four like this would be ready; own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WateringStage:
    """Interval share and longest time without a look by stage: a row of watering.toml."""

    id: TrayStage
    interval_share: float = number(lo=0.05, hi=10)
    check_days: int = number(lo=1, hi=7)
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayAir:
    """What a tray stands in.

    Attributes:
        cell_ml: volume of one cell or pot, ml, > 0.
        air_temp_c: 0..45; None takes 21.
        dli_mol: light a day, mol m-2 d-1, >= 0; None takes 10.
        on_mat: on a heat mat that is on.
    """

    cell_ml: float
    stage: TrayStage
    air_temp_c: float | None = None
    dli_mol: float | None = None
    on_mat: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureReport:
    """A look at the mix.

    Attributes:
        age_days: time since the last watering, > 0.
        prior_days: `prior_interval` for the tray as it stood then, > 0.
    """

    age_days: float
    level: Moisture
    prior_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """How long a tray lasts, days: 0 < low <= usual <= high (10, 50 and 90 % of belief).

    Attributes:
        check_days: whole days after watering at which to look, >= 1.
        reports: reports it rests on; 0 = the prior alone.
        basis: estimated for the prior alone, measured when reports moved it.
    """

    low: float
    usual: float
    high: float
    check_days: int
    reports: int
    basis: Basis


def saturation_kpa(air_temp_c: float) -> float:
    """Return the saturation vapour pressure, kPa. Source: FAO-56, eq. 11, from memory."""
    return 0.6108 * math.exp(17.27 * air_temp_c / (air_temp_c + 237.3))


def prior_interval(tray: TrayAir) -> float:
    """Return the days a tray is expected to last before anybody reported on it.

    Larger cells last longer; warmth, light, a mat and later stages shorten it.
    Raises ValueError for a volume <= 0, an air temperature outside 0..45 or negative light.
    Source: common practice for 2.5 d; the constants above; stages by row.
    Checked by: tests/core/trade/water/test_watering.py.
    """
    air = USUAL_AIR_C if tray.air_temp_c is None else tray.air_temp_c
    light = USUAL_DLI_MOL if tray.dli_mol is None else tray.dli_mol
    if tray.cell_ml <= 0 or not 0 <= air <= 45 or light < 0:
        raise ValueError(f"no such tray: {tray}")
    use = (1 - LIGHT_SHARE) * saturation_kpa(air) / saturation_kpa(USUAL_AIR_C)
    use += LIGHT_SHARE * light / USUAL_DLI_MOL
    use *= MAT_SHARE if tray.on_mat else 1.0
    volume = math.pow(tray.cell_ml / USUAL_CELL_ML, VOLUME_POWER)
    return USUAL_DAYS * volume * STAGES.by_id()[tray.stage].interval_share / use


def interval(tray: TrayAir, reports: Sequence[MoistureReport] = ()) -> Interval:
    """Return how long the tray lasts, from its prior and its reports.

    Args:
        tray: as it stands now.
        reports: oldest first; each is weighed against the prior it had then, so that what a
            tray taught as a seedling still counts when it is potted.

    The tray's own log factor has a normal prior (mean 0, sd `PRIOR_LOG_SD`). A report says where
    its age lies against the true interval: wet before the right stretch, dry after it, its edges
    blurred by `REPORT_LOG_SD`; older reports weigh less.
    Raises ValueError for an age or prior <= 0.
    Checked by: tests/core/trade/water/test_watering.py (three agreeing reports settle it).
    """
    weights = _belief(reports)
    prior = prior_interval(tray)
    low, quarter, usual, high = (
        prior * math.exp(value) for value in _quantiles(weights, (0.1, CHECK_QUANTILE, 0.5, 0.9))
    )
    longest = STAGES.by_id()[tray.stage].check_days
    return Interval(
        low=low,
        usual=usual,
        high=high,
        check_days=max(1, min(longest, round(quarter))),
        reports=len(reports),
        basis=Basis.MEASURED if reports else Basis.ESTIMATED,
    )


def next_check_on(
    watered_at: datetime,
    lasts: Interval,
    *,
    zone: tzinfo,
    looked: tuple[datetime, Moisture] | None = None,
) -> date:
    """Return the local date of the next look.

    Args:
        watered_at: last watering, aware.
        looked: the last look after that watering: (instant, level). Dry: on the same day. Right:
            the day after. Wet: after a third of the interval, at least a day.

    Never later than the date a tray of this stage may go without a look.
    """
    watered_on = watered_at.astimezone(zone).date()
    if looked is None or looked[0] < watered_at:
        return watered_on + timedelta(days=lasts.check_days)
    looked_on = looked[0].astimezone(zone).date()
    match looked[1]:
        case Moisture.DRY:
            return looked_on
        case Moisture.RIGHT:
            return looked_on + timedelta(days=1)
        case Moisture.WET:
            wait = max(1, min(lasts.check_days, round(lasts.usual / 3)))
            return looked_on + timedelta(days=wait)


def _belief(reports: Sequence[MoistureReport]) -> list[float]:
    """Return the log weight of each factor of `_GRID`, from the prior and the reports.

    All reports and factors at once: a tray has hundreds of reports by the end of its season.
    """
    weights = -0.5 * (_FACTORS / PRIOR_LOG_SD) ** 2
    if reports:
        shifts = np.empty(len(reports))
        for index, report in enumerate(reports):
            if report.age_days <= 0 or report.prior_days <= 0:
                raise ValueError(f"no such report: {report}")
            shifts[index] = math.log(report.age_days / report.prior_days)
        log_ages = shifts[:, np.newaxis] - _FACTORS
        below_dry = ndtr((RIGHT_TO_LOG - log_ages) / REPORT_LOG_SD)
        below_right = ndtr((RIGHT_FROM_LOG - log_ages) / REPORT_LOG_SD)
        levels = np.array([report.level.value for report in reports])[:, np.newaxis]
        likely = np.select(
            [levels == Moisture.DRY.value, levels == Moisture.WET.value],
            [1 - below_dry, below_right],
            below_dry - below_right,
        )
        shares = FORGET_SHARE ** np.arange(len(reports) - 1, -1, -1)
        weights = weights + shares @ np.log(np.maximum(likely, 1e-9))
    return [float(weight) for weight in weights]


def _quantiles(log_weights: list[float], shares: tuple[float, ...]) -> list[float]:
    """Return the grid values below which the given shares of the belief lie, interpolated."""
    top = max(log_weights)
    weights = [math.exp(value - top) for value in log_weights]
    reached = list(itertools.accumulate(weights))
    step = _GRID[1] - _GRID[0]
    found: list[float] = []
    for share in shares:
        index = min(bisect.bisect_left(reached, share * reached[-1]), len(_GRID) - 1)
        into = 1 - (reached[index] - share * reached[-1]) / weights[index]
        found.append(_GRID[index] + step * (into - 0.5))
    return found


STAGES = register("watering_stage", WateringStage, file="watering.toml")
