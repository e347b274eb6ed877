"""Lamp height: what moving or timing a lamp does to the light, from measured tables.

A shelf lamp is no point source: over the distances used the measured light falls as
distance**-0.2 to -0.5 near the lamp and distance**-1.2 at two feet, never by the inverse square.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from core.trade.light.lamp import (
    Basis,
    DliBand,
    Lamp,
    LightFigure,
    LightTarget,
    dli_mol,
    hours_for_dli,
)
from core.trade.tables.registry import Complaint, ident, number, register

CLOSEST_MM = 50.0
"""Nearest a lamp is advised to the canopy; USU-TPE and UMN16 give 2 in as the least."""

HOURS_STEP = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightTable:
    """Light measured at distances: a row of core/data/lamp_heights.toml.

    Attributes:
        points: (distance in mm, light in any one unit), both > 0; distances rise, light falls.
    """

    id: str = ident()
    what: str
    points: tuple[tuple[float, float], ...] = number(lo=1, hi=100_000)
    basis: Basis
    source: str

    @property
    def nearest_mm(self) -> float:
        """Shortest measured distance, mm."""
        return self.points[0][0]

    @property
    def farthest_mm(self) -> float:
        """Longest measured distance, mm."""
        return self.points[-1][0]

    def light_at(self, distance_mm: float) -> float:
        """Return the light at a distance, in the table's unit.

        Straight lines in log-log between measured points; the end segments are carried on
        outside the measured range (see `covers`). Raises ValueError unless distance_mm > 0.
        Source: the row's. Checked by: tests/reference/test_light.py.
        """
        if distance_mm <= 0:
            raise ValueError(f"distance {distance_mm} mm is not above 0")
        first, second = _segment(self.points, [point[0] for point in self.points], distance_mm)
        slope = math.log(second[1] / first[1]) / math.log(second[0] / first[0])
        return first[1] * math.exp(slope * math.log(distance_mm / first[0]))

    def distance_for(self, light: float) -> float:
        """Return the distance (mm) at which the light falls to `light`; inverse of `light_at`."""
        if light <= 0:
            raise ValueError(f"light {light} is not above 0")
        first, second = _segment(self.points, [-point[1] for point in self.points], -light)
        slope = math.log(second[0] / first[0]) / math.log(second[1] / first[1])
        return first[0] * math.exp(slope * math.log(light / first[1]))

    def covers(self, distance_mm: float) -> bool:
        """Say whether the distance lies within the measured range."""
        return self.nearest_mm <= distance_mm <= self.farthest_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class LightAdvice:
    """What stands and what would reach the target.

    Attributes:
        dli: mol m-2 d-1 now.
        hours_needed: hours a day at today's height, to the next half hour; None when more than
            the target's longest day, or when no change is needed.
        height_needed_mm: distance at today's hours; None when closer than `CLOSEST_MM`, when
            no table or height is known, or when no change is needed.
        both: (distance mm, hours) when neither change alone does it but both together do.
        best_dli_mol: most that lowering to `CLOSEST_MM` and the longest day give; None unknown.
        height_basis: measured for this kind of lamp, estimated for a borrowed shape or a
            distance outside the measured range; None when height was not used.
    """

    dli: LightFigure
    band: DliBand
    target: LightTarget
    hours_now: float
    height_now_mm: float | None
    hours_needed: float | None
    height_needed_mm: float | None
    both: tuple[float, float] | None
    best_dli_mol: float | None
    height_basis: Basis | None


def ppfd_at_height(
    ppfd_umol: float, table: HeightTable, *, measured_at_mm: float, moved_to_mm: float
) -> float:
    """Return the PPFD after moving the lamp: the reading times the table's ratio."""
    return ppfd_umol * table.light_at(moved_to_mm) / table.light_at(measured_at_mm)


def light_advice(
    ppfd: LightFigure,
    target: LightTarget,
    *,
    hours: float,
    lamp: Lamp,
    table: HeightTable | None = None,
    height_mm: float | None = None,
) -> LightAdvice:
    """Compare today's light with the target and say how to reach it.

    Args:
        ppfd: at the canopy, umol m-2 s-1.
        hours: hours lit a day, 0..24.
        table: the lamp's height table; without it or `height_mm` only hours are advised.
        height_mm: lamp to canopy when `ppfd` was read, > 0.

    Too little light aims for `target.aim_mol`; too much (above high_mol) aims back down to it by
    raising the lamp or shortening the day, never under `target.hours_min`.
    Source: RUNK-IND for the integral; tables and targets by row.
    """
    now = ppfd.scaled(dli_mol(1.0, hours))
    change = ppfd.value > 0 and not target.good_mol <= now.value <= target.high_mol
    wanted_hours = _hours_for(ppfd.value, target) if change else None
    wanted_mm = both = best = height_basis = None
    if table is not None and height_mm is not None:
        closest = min(CLOSEST_MM, height_mm)
        strongest = ppfd_at_height(ppfd.value, table, measured_at_mm=height_mm, moved_to_mm=closest)
        best = dli_mol(strongest, max(hours, target.hours_max))
        if change and hours > 0:
            wanted_mm = _height_for(ppfd.value, target, table, height_mm=height_mm, hours=hours)
        if change and wanted_hours is None and wanted_mm is None:
            both = _both_for(ppfd.value, target, table, height_mm=height_mm)
        moved_to = wanted_mm if wanted_mm is not None else (both[0] if both else height_mm)
        measured = table.covers(height_mm) and table.covers(moved_to)
        height_basis = lamp.height_basis if measured else Basis.ESTIMATED
    return LightAdvice(
        dli=now,
        band=target.band(now.value),
        target=target,
        hours_now=hours,
        height_now_mm=height_mm,
        hours_needed=wanted_hours,
        height_needed_mm=wanted_mm,
        both=both,
        best_dli_mol=best,
        height_basis=height_basis,
    )


def _hours_for(ppfd_umol: float, target: LightTarget) -> float | None:
    exact = hours_for_dli(target.aim_mol, ppfd_umol)
    stepped = math.ceil(exact / HOURS_STEP - 1e-9) * HOURS_STEP
    return stepped if target.hours_min <= stepped <= target.hours_max else None


def _height_for(
    ppfd_umol: float, target: LightTarget, table: HeightTable, *, height_mm: float, hours: float
) -> float | None:
    wanted_ratio = target.aim_mol / dli_mol(ppfd_umol, hours)
    distance = table.distance_for(table.light_at(height_mm) * wanted_ratio)
    return distance if CLOSEST_MM <= distance <= table.farthest_mm else None


def _both_for(
    ppfd_umol: float, target: LightTarget, table: HeightTable, *, height_mm: float
) -> tuple[float, float] | None:
    hours = target.hours_max
    distance = _height_for(ppfd_umol, target, table, height_mm=height_mm, hours=hours)
    return None if distance is None else (distance, hours)


def _segment(
    points: tuple[tuple[float, float], ...], keys: list[float], at: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the pair of points around `at` in rising `keys`; the end pair when outside."""
    for index, (_, key) in enumerate(pairwise(keys)):
        if at <= key:
            return points[index], points[index + 1]
    return points[-2], points[-1]


def _check(tables: tuple[HeightTable, ...]) -> Iterable[Complaint]:
    """Complain of fewer than two points, or of light that does not fall with distance."""
    for table in tables:
        falls = all(near[0] < far[0] and near[1] > far[1] for near, far in pairwise(table.points))
        if len(table.points) < 2 or not falls:
            yield Complaint(row=table.id, field="points")


HEIGHT_TABLES = register("lamp_height", HeightTable, check=_check)
