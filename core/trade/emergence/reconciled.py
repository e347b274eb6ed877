"""One curve a crop, reconciled from what was published of its germination.

Three kinds of publication speak of days: HM1954 (days and percent at nine temperatures), BW74
(thermal time, from memory) and a guide's range of days without a temperature; charts (UC-GN154,
ACES-1061) speak of limits. HM1954 and BW74 share 22 kinds. There BW74 is slower by 19 % at the
median and the two differ by a log standard deviation of 0.41: neither is the truth of a tray, so
the curve runs between them, and each is taken to be wrong by its share of that difference.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable

from core.trade.crops.emergence_table import Outcome, emergence_row
from core.trade.crops.row import Crop, EmergenceBasis, HardinessClass, Season
from core.trade.crops.table import crop_by_id
from core.trade.emergence.curve import Curve
from core.trade.emergence.rate import NG, EmergencePoint, EmergencePoints
from core.trade.emergence.tables import SHAPES, THERMAL_TIME, GerminationShape, ThermalTime
from core.trade.tables.rows import source_keys

TABLE_SHIFT = 0.095
"""Log of days added to a curve that rests on HM1954 alone, and taken from one that rests on BW74
alone: half of their mean log difference, +0.19 over 53 cells of 18 crops (calculated)."""

TABLE_LOG_SD = 0.41 / math.sqrt(2)
"""How far one of the two may be from the truth: their difference has a log standard deviation of
0.41 over the same cells (calculated), shared alike."""

GUIDE_LOG_SD = 0.35
"""The same for a guide's range of days, which names no temperature. Own choice: what two tables
that do name it differ by, and a little more."""

MEMORY_LOG_SD = 0.45
"""The same for a range from memory. Estimate."""

GUIDE_AT_C = 21.0
"""Temperature that a guide's days are taken at where it names none. From memory: guides speak of
70 °F or of a warm place."""

LEAST_OF_TABLE = 0.4
"""Least of the table's rate that thermal time is taken for near its base. Own choice."""

STEP_C = 0.5
_GRID = tuple(-2 + STEP_C * i for i in range(95))  # to 45 °C

DOUBT_PERCENT = 10.0
"""Where HM1954's days say none and its percentages more than this, the cell counts as not
tested: celery at 25 °C and turnip at 5 °C. Own choice."""

Rate = Callable[[float], float]


@functools.cache
def curve_of(crop_id: str, *, thermal: bool = True) -> Curve:
    """Return the curve of a crop.

    Args:
        thermal: whether BW74 counts; left out to hold the curve against it.
    """
    crop = crop_by_id(crop_id)
    row = THERMAL_TIME.by_id().get(crop_id) if thermal else None
    shape = _shape(crop)
    table = _table(crop)
    if table is not None:
        return _from_table(crop, table, row, shape)
    return _from_shape(crop, row, shape)


def _shape(crop: Crop) -> GerminationShape:
    """Return the crop's shape: its family's, moved to the limits its own row publishes."""
    warm = crop.season is Season.WARM or (
        crop.season is None
        and crop.hardiness_class in (HardinessClass.TENDER, HardinessClass.VERY_TENDER)
    )
    season = "warm" if warm else "cool"
    shapes = SHAPES.by_id()
    family = shapes.get(f"{season}_{crop.family.lower()}", shapes[season])
    lo, hi, ceiling = family.best_lo_c, family.best_hi_c, family.ceiling_c
    base = family.base_c
    if crop.germ_opt_lo_c is not None and crop.germ_opt_hi_c is not None:
        # the charts call a broad range suitable; the fastest lies in its upper half
        lo, hi = (crop.germ_opt_lo_c + crop.germ_opt_hi_c) / 2, crop.germ_opt_hi_c
    if crop.germ_max_c is not None:
        ceiling = crop.germ_max_c + 1.0
    if crop.germ_min_c is not None:
        base = min(base, crop.germ_min_c - 0.5)
    return GerminationShape(
        id=family.id,
        base_c=base,
        best_lo_c=min(lo, hi),
        best_hi_c=hi,
        ceiling_c=max(ceiling, hi + 2),
        source=family.source,
    )


def _table(crop: Crop) -> EmergencePoints | None:
    """Return HM1954's row for the crop, without cells of which its two halves disagree."""
    if crop.emergence_table is None:
        return None
    row = emergence_row(crop.emergence_table)
    points = []
    for point in row.points():
        percent = None if point.percent is None else float(point.percent)
        none = point.outcome is Outcome.NONE
        doubtful = none and percent is not None and percent > DOUBT_PERCENT
        if point.outcome is Outcome.UNTESTED and percent is None:
            continue
        days = None if doubtful else NG if none else point.days
        points.append(EmergencePoint(temp_c=point.temp_c, days=days, percent=percent))  # type: ignore[arg-type]
    return EmergencePoints(points=tuple(points), source=row.source)


def _from_table(
    crop: Crop, table: EmergencePoints, row: ThermalTime | None, shape: GerminationShape
) -> Curve:
    peak = max(table.tested_c[0], min(table.optimum_c[0], table.tested_c[1]))
    ceiling = shape.ceiling_c if table.failed_hot_c is None else None
    by_table = _with_ceiling(lambda t: table.rate_at(t).per_day, table.tested_c[1], ceiling)
    shares = _shares(table, shape)
    if row is None:
        rate: Rate = _slower(by_table, TABLE_SHIFT)
        log_sd = TABLE_LOG_SD
    else:
        weight = row.table_weight / (1 + row.table_weight)
        thermal = _thermal(row, peak, by_table)
        rate = _between(by_table, thermal, weight)
        log_sd = TABLE_LOG_SD * math.sqrt(weight**2 + (1 - weight) ** 2)
    source = table.source.split(";")[0]
    return Curve(
        knots=_knots(rate, shares),
        tested_c=table.tested_c,
        log_sd=log_sd,
        source=source if row is None else f"{source}; {row.source}",
    )


def _from_shape(crop: Crop, row: ThermalTime | None, shape: GerminationShape) -> Curve:
    base = shape.base_c if row is None else row.base_c
    form = _trapezium(base, shape)

    def share(t: float) -> float:
        foot = base + 0.4 * (shape.best_lo_c - base)
        if t < foot:
            return max(0.0, (t - base) / (foot - base))
        if t > shape.best_hi_c:
            return max(0.0, (shape.ceiling_c - t) / (shape.ceiling_c - shape.best_hi_c))
        return 1.0

    published = crop.germ_min_c is not None or row is not None
    tested = (
        crop.germ_min_c if crop.germ_min_c is not None else base + 3.0,
        crop.germ_max_c if crop.germ_max_c is not None else shape.best_hi_c,
    )
    if row is not None:
        thermal = _thermal(row, shape.best_lo_c, form)
        rate, log_sd, source = _slower(thermal, -TABLE_SHIFT), TABLE_LOG_SD, row.source
    else:
        low, high = crop.emergence_days_min, crop.emergence_days_max
        if low is None or high is None:
            raise ValueError(f"{crop.id} has no days to emergence")
        at = min(max(GUIDE_AT_C, base + 4), shape.best_hi_c)
        level = form(at) * math.sqrt(low * high)
        rate = _slower(form, math.log(level))
        by_memory = crop.emergence_basis is EmergenceBasis.MEMORY
        log_sd = MEMORY_LOG_SD if by_memory else GUIDE_LOG_SD
        source = "MEM" if by_memory else crop.source_of.get("emergence_days", crop.sources[0])
    return Curve(
        knots=_knots(rate, share),
        tested_c=tested,
        log_sd=log_sd,
        source=source,
        family_default=not published,
    )


def _trapezium(base: float, shape: GerminationShape) -> Rate:
    def rate(t: float) -> float:
        if t <= base or t >= shape.ceiling_c:
            return 0.0
        if t < shape.best_lo_c:
            return (t - base) / (shape.best_lo_c - base)
        if t <= shape.best_hi_c:
            return 1.0
        return (shape.ceiling_c - t) / (shape.ceiling_c - shape.best_hi_c)

    return rate


def _thermal(row: ThermalTime, peak: float, form: Rate) -> Rate:
    """Return BW74's rate up to `peak`, and beyond it the course of `form` from there on."""

    def rate(t: float) -> float:
        rising = max(0.0, min(t, peak) - row.base_c) / row.sum_c_days
        if t <= peak or form(peak) <= 0:
            return rising
        return rising * form(t) / form(peak)

    return rate


def _with_ceiling(rate: Rate, last_c: float, ceiling: float | None) -> Rate:
    """Return `rate`, falling straight to nil between the last test and the charts' ceiling."""
    if ceiling is None or ceiling <= last_c:
        return rate

    def falling(t: float) -> float:
        if t <= last_c:
            return rate(t)
        return rate(last_c) * max(0.0, (ceiling - t) / (ceiling - last_c))

    return falling


def _slower(rate: Rate, by_log: float) -> Rate:
    factor = math.exp(-by_log)
    return lambda t: rate(t) * factor


def _between(one: Rate, other: Rate, weight: float) -> Rate:
    """Return the weighted geometric mean of two rates; nil where the first is nil.

    The second counts for at least `LEAST_OF_TABLE` of the first: a straight line of rate against
    temperature fails near its base, where the table has seedlings.
    """

    def rate(t: float) -> float:
        a = one(t)
        if a <= 0:
            return 0.0
        b = max(other(t), LEAST_OF_TABLE * a)
        return math.exp(weight * math.log(a) + (1 - weight) * math.log(b))

    return rate


def _shares(table: EmergencePoints, shape: GerminationShape) -> Rate:
    """Return the share of the best percentage by temperature.

    Straight between published percentages; past the last one it holds up to the charts' best
    range and falls to nil at the ceiling, and the same on the cold side down to the base.
    """
    known = [(p.temp_c, p.percent) for p in table.points if p.percent is not None]
    top = max(percent for _, percent in known)
    (first_c, first), (last_c, last) = known[0], known[-1]

    def share(t: float) -> float:
        if t > last_c:
            hold = max(last_c, shape.best_hi_c)
            fall = 1.0 if t <= hold else (shape.ceiling_c - t) / (shape.ceiling_c - hold + 1e-9)
            return max(0.0, last / top * fall)
        if t < first_c:
            fall = (t - shape.base_c) / (first_c - shape.base_c) if first_c > shape.base_c else 1.0
            return min(1.0, max(0.0, first / top * fall))
        found = table.percent_at(t)
        return 0.0 if found is None else found / top

    return share


def _knots(rate: Rate, share: Rate) -> tuple[tuple[float, float, float], ...]:
    return tuple((t, max(0.0, rate(t)), min(1.0, max(0.0, share(t)))) for t in _GRID)


def days_basis(source: str) -> str:
    """Return whose days a curve has, by its source: `table`, `guide` or `memory`."""
    if source == "MEM":
        return "memory"
    return "table" if {"HM1954", "BW74"} & set(source_keys(source)) else "guide"
