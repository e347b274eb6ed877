"""What each hardiness class means for dates: frost level, weeks, cold nights, hardening."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from core.trade.crops.row import HardinessClass
from core.trade.tables.registry import Complaint, ident, number, register, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardiness:
    """One class; see the head of `hardiness.toml`.

    Attributes:
        level: chance of frost on or after planting out that the class accepts; 1 = any.
        weeks_vs_last_frost_min, weeks_vs_last_frost_max: weeks after the average last frost.
        lowest_night_c: coldest night for plants just set out, °C.
        harden_days: days of hardening off.
    """

    id: HardinessClass
    level: float = number(lo=0.01, hi=1)
    level_source: str = text(pattern=r"\S.*")
    weeks_vs_last_frost_min: float = number(lo=-12, hi=8)
    weeks_vs_last_frost_max: float = number(lo=-12, hi=8)
    lowest_night_c: float = number(lo=-15, hi=20)
    harden_days: int = number(lo=3, hi=21)
    source: str = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedlingTiming:
    """A length of time in a seedling's life, days."""

    id: str = ident()
    days: int = number(lo=0, hi=60)
    source: str = text()


def _check(rows: tuple[Hardiness, ...]) -> Iterable[Complaint]:
    """Complain when a class has no row, or a more tender class takes more risk."""
    by_class = {row.id: row for row in rows}
    harder: Hardiness | None = None
    for hardiness in HardinessClass:
        row = by_class.get(hardiness)
        if row is None:
            yield Complaint(row=hardiness.value, field="id", values={"missing": True})
            continue
        if harder is not None and row.level > harder.level:
            yield Complaint(row=row.id, field="level", values={"above": harder.id})
        harder = row


HARDINESS = register("hardiness", Hardiness, file="hardiness.toml", check=_check)
TIMINGS = register("seedling_timing", SeedlingTiming, file="hardiness.toml")


def hardiness_of(hardiness_class: HardinessClass) -> Hardiness:
    """Return the row of a class."""
    return HARDINESS.by_id()[hardiness_class.value]


def timing_days(name: str) -> int:
    """Return the days of one `[[seedling_timing]]` row; KeyError for an unknown name."""
    return TIMINGS.by_id()[name].days
