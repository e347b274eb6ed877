"""Hardening off: the day-by-day plan, from published schedules.

A plan says for day n of N: hours out, exposure, night in or out, and the lowest temperature the
plants may meet. `core.trade.hardening.course` replays what happened against it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from core.trade.light.lamp import Basis
from core.trade.tables.registry import Complaint, Problem, ident, number, register

FULL_HOURS = 10.0
"""Longest day out before nights begin, hours; the schedules end at all-day sun (BEM-MG)."""

FULL_HOURS_SHARE = 0.6
"""Share of the days after which the full day is reached; FMG-BLOG's day list fits it."""

FEWEST_DAYS = 3
"""Shortest plan, days; NEGU-ACC gives 3-6 for transplants raised in full light."""


class Exposure(StrEnum):
    """How far the plants stand in sun and wind."""

    SHADE = "shade"
    EARLY_SUN = "early_sun"
    MORNING_SUN = "morning_sun"
    FULL_SUN = "full_sun"
    FULL_SUN_NIGHT = "full_sun_night"


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningClass:
    """Lowest temperature outdoors (Celsius) for a hardiness class."""

    id: str = ident()
    limit_c: float = number(lo=-5, hi=25)
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningLimit:
    """Lowest temperature outdoors (Celsius) for one crop, over its class's."""

    id: str = ident()
    limit_c: float = number(lo=-5, hi=25)
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningSchedule:
    """A published schedule: days in all and hours on the first day; None = not stated."""

    id: str = ident()
    days_min: int = number(lo=FEWEST_DAYS, hi=30)
    days_max: int = number(lo=FEWEST_DAYS, hi=30)
    first_hours_min: float | None = number(lo=0.5, hi=FULL_HOURS, default=None)
    first_hours_max: float | None = number(lo=0.5, hi=FULL_HOURS, default=None)
    step_hours_min: float | None = number(lo=0, hi=FULL_HOURS, default=None)
    step_hours_max: float | None = number(lo=0, hi=FULL_HOURS, default=None)
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningPhase:
    """Exposure from a share of the way on (0 first day, 1 last); `sun_hours` is the most sun."""

    id: Exposure
    from_share: float = number(lo=0, hi=1)
    sun_hours: float = number(lo=0, hi=24)
    night_out: bool
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningDay:
    """Day `number` of `of`, as planned.

    Attributes:
        hours: hours outdoors by day, 0.5..10, to the half hour.
        sun_hours: most direct sun of those hours.
        night_out: stays out overnight when the night stays at or above `lowest_safe_c`.
        lowest_safe_c: bring in below this.
    """

    number: int
    of: int
    hours: float
    sun_hours: float
    exposure: Exposure
    night_out: bool
    lowest_safe_c: float


def lowest_safe(hardiness: str, crop: str | None = None) -> HardeningClass | HardeningLimit:
    """Return the limit row that holds for a crop: its own, or its class's.

    Args:
        hardiness: a class id: very_hardy, hardy, half_hardy, tender, very_tender.
        crop: crop id, or None.

    Raises ValueError for an unknown class. Source: WSU-H, USU-TPE by row.
    """
    own = LIMITS.by_id().get(crop) if crop is not None else None
    if own is not None:
        return own
    found = CLASSES.by_id().get(hardiness)
    if found is None:
        raise ValueError(f"no hardiness class {hardiness!r}")
    return found


def hardening_plan(
    total_days: int, *, limit_c: float, schedule: str = "default"
) -> tuple[HardeningDay, ...]:
    """Return the plan for days 1..total_days.

    Args:
        total_days: length, >= 3.
        limit_c: lowest safe temperature, Celsius (see `lowest_safe`).
        schedule: id of a published schedule; sets the hours of day 1.

    Hours rise evenly from the first day's to `FULL_HOURS` at 60 % of the days and never fall.
    Raises ValueError for fewer days or an unknown schedule.
    Source: the rows of core/data/hardening.toml.
    Checked by: tests/reference/test_hardening.py against the published schedules' ends.
    """
    if total_days < FEWEST_DAYS:
        raise ValueError(f"{total_days} days are fewer than {FEWEST_DAYS}")
    first = _first_hours(schedule)
    step = (FULL_HOURS - first) / max(FULL_HOURS_SHARE * total_days - 1, 1.0)
    return tuple(
        _day(day, total_days, min(FULL_HOURS, first + (day - 1) * step), limit_c)
        for day in range(1, total_days + 1)
    )


def _first_hours(schedule: str) -> float:
    row = SCHEDULES.by_id().get(schedule)
    if row is None:
        raise ValueError(f"no hardening schedule {schedule!r}")
    if row.first_hours_min is None or row.first_hours_max is None:
        return _first_hours("default")
    return (row.first_hours_min + row.first_hours_max) / 2


def _day(day: int, total_days: int, exact_hours: float, limit_c: float) -> HardeningDay:
    hours = int(exact_hours * 2 + 0.5 + 1e-9) / 2
    gone = (day - 1) / (total_days - 1)
    phase = [row for row in PHASES.rows() if row.from_share <= gone + 1e-9][-1]
    return HardeningDay(
        number=day,
        of=total_days,
        hours=hours,
        sun_hours=min(hours, phase.sun_hours),
        exposure=phase.id,
        night_out=phase.night_out,
        lowest_safe_c=limit_c,
    )


def _check_phases(phases: tuple[HardeningPhase, ...]) -> Iterable[Complaint]:
    """Complain of phases that do not start at 0 or do not rise."""
    shares = [row.from_share for row in phases]
    if not shares or shares[0] != 0 or any(b <= a for a, b in itertools.pairwise(shares)):
        yield Complaint(row="shade", field="from_share", values={"shares": shares})


def _check_schedules(schedules: tuple[HardeningSchedule, ...]) -> Iterable[Complaint]:
    """Complain when the default schedule is missing or states no first hours."""
    default = [row for row in schedules if row.id == "default"]
    if not default or default[0].first_hours_min is None or default[0].first_hours_max is None:
        yield Complaint(row="default", field="first_hours_min", problem=Problem.MISSING_KEY)


CLASSES = register("hardening_class", HardeningClass, file="hardening.toml")
LIMITS = register("hardening_limit", HardeningLimit, file="hardening.toml")
SCHEDULES = register(
    "hardening_schedule", HardeningSchedule, file="hardening.toml", check=_check_schedules
)
PHASES = register("hardening_phase", HardeningPhase, file="hardening.toml", check=_check_phases)
