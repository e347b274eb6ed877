"""Thermal time of single kinds, and the shapes taken where nothing is published."""

from __future__ import annotations

from dataclasses import dataclass

from core.trade.tables.registry import ident, number, plain, register


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermalTime:
    """Days to half emergence of one crop: sum_c_days / (temperature - base_c).

    Attributes:
        id: id of the crop.
        base_c: temperature at which nothing moves, Celsius.
        sum_c_days: degrees above the base times days.
        table_weight: weight of HM1954's days for this crop beside these, 0..1.
    """

    id: str = ident()
    base_c: float = number(lo=-5, hi=20)
    sum_c_days: float = number(lo=20, hi=500)
    table_weight: float = number(lo=0, hi=1, default=1.0)
    source: str = plain()


@dataclass(frozen=True, slots=True, kw_only=True)
class GerminationShape:
    """Where germination stops and goes best in a season and family, Celsius.

    Attributes:
        id: `cool` or `warm`, and the family in lower case after `_` where it has its own.
    """

    id: str = ident()
    base_c: float = number(lo=-5, hi=20)
    best_lo_c: float = number(lo=5, hi=35)
    best_hi_c: float = number(lo=10, hi=40)
    ceiling_c: float = number(lo=20, hi=45)
    source: str = plain()


THERMAL_TIME = register("thermal_time", ThermalTime, file="thermal_time.toml")
SHAPES = register("germination_shape", GerminationShape)
