"""Light: daily light integral, lux to PPFD, and how to move or time a lamp.

PPFD is photosynthetic photon flux density, umol m-2 s-1. DLI is the daily light integral,
mol m-2 d-1. Distances are from lamp to canopy in mm. Every converted figure is a `Ppfd` or
`Dli` with a range and the basis it rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import time
from enum import StrEnum

from core.trade.tables.registry import Complaint, Problem, ident, number, ref, register

MOL_PER_UMOL_HOUR = 3600.0 / 1_000_000.0
LUX_PER_FC = 10.763910416709722
"""Lux in one foot-candle: exact, 1 / 0.3048**2."""

METER_UNCERTAINTY = 0.05
"""Share either side allowed to a quantum meter's own reading; from memory."""


class LightUnit(StrEnum):
    """What a light reading counts."""

    PPFD = "ppfd"
    LUX = "lux"
    FOOT_CANDLE = "fc"


class Basis(StrEnum):
    """What a figure rests on."""

    MEASURED = "measured"
    PUBLISHED = "published"
    ESTIMATED = "estimated"
    CONVENTION = "convention"


class DliBand(StrEnum):
    """Where a DLI stands against a target, from too dark to too bright."""

    LOW = "low"
    MARGINAL = "marginal"
    GOOD = "good"
    HIGH = "high"
    BLEACHING = "bleaching"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """One kind of lamp: a row of core/data/lamps.toml.

    Attributes:
        lux_per_umol: lux for each umol m-2 s-1, > 0; None where no factor is safe.
        rel_uncertainty: share of the converted PPFD either side, 0..1; None with no factor.
        height_table: key of lamp_heights.toml; None where none was found.
        height_basis: measured for a table of this kind of lamp, estimated for a borrowed shape.
    """

    id: str = ident()
    lux_per_umol: float | None = number(lo=20, hi=200, default=None)
    rel_uncertainty: float | None = number(lo=0, hi=0.5, default=None)
    height_table: str | None = ref("lamp_height", default=None)
    height_basis: Basis = Basis.ESTIMATED
    basis: Basis
    source: str
    example: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class LightTarget:
    """DLI bands (mol m-2 d-1) and lamp hours a day: a row of core/data/light_targets.toml.

    Attributes:
        crops: the crops whose seedlings it is for; every other has the row `seedling`.
    """

    id: str = ident()
    crops: tuple[str, ...] = ref("crop", default=())
    low_mol: float = number(lo=0, hi=60)
    good_mol: float = number(lo=0, hi=60)
    aim_mol: float = number(lo=0, hi=60)
    high_mol: float = number(lo=0, hi=60)
    bleach_mol: float = number(lo=0, hi=60)
    hours_min: float = number(lo=0, hi=24)
    hours_usual: float = number(lo=0, hi=24)
    hours_max: float = number(lo=0, hi=24)
    basis: Basis
    source: str

    def band(self, dli_mol: float) -> DliBand:
        """Return the band of a DLI, mol m-2 d-1; each edge belongs to the band above it."""
        if dli_mol < self.low_mol:
            return DliBand.LOW
        if dli_mol < self.good_mol:
            return DliBand.MARGINAL
        if dli_mol < self.high_mol:
            return DliBand.GOOD
        return DliBand.HIGH if dli_mol <= self.bleach_mol else DliBand.BLEACHING


@dataclass(frozen=True, slots=True, kw_only=True)
class LightFigure:
    """A figure with its range: 0 <= low <= value <= high, in the unit of the field holding it."""

    value: float
    low: float
    high: float
    basis: Basis
    source: str

    def scaled(self, factor: float) -> LightFigure:
        """Return the figure times `factor` >= 0, its relative range kept."""
        return LightFigure(
            value=self.value * factor,
            low=self.low * factor,
            high=self.high * factor,
            basis=self.basis,
            source=self.source,
        )


def dli_mol(ppfd_umol: float, hours: float) -> float:
    """Return the daily light integral of a steady light.

    Args:
        ppfd_umol: PPFD, umol m-2 s-1, >= 0.
        hours: hours lit a day, 0..24.

    Returns mol m-2 d-1. Raises ValueError outside these ranges.
    Source: RUNK-IND (DLI = PPFD x hours x 0.0036).
    Checked by: tests/reference/test_light.py.
    """
    if ppfd_umol < 0 or not 0 <= hours <= 24:
        raise ValueError(f"PPFD {ppfd_umol} or hours {hours} out of range")
    return ppfd_umol * hours * MOL_PER_UMOL_HOUR


def hours_for_dli(wanted_mol: float, ppfd_umol: float) -> float:
    """Return the hours a day that give `wanted_mol`; may exceed 24, meaning it cannot be done."""
    if wanted_mol < 0 or ppfd_umol <= 0:
        raise ValueError(f"DLI {wanted_mol} or PPFD {ppfd_umol} out of range")
    return wanted_mol / (ppfd_umol * MOL_PER_UMOL_HOUR)


def lux_from_fc(foot_candles: float) -> float:
    """Return lux for foot-candles; exact by definition of the foot."""
    return foot_candles * LUX_PER_FC


def ppfd_from_reading(value: float, unit: LightUnit, lamp: Lamp) -> LightFigure | None:
    """Return the PPFD a meter reading stands for, with its range.

    Args:
        value: the reading, >= 0, in `unit`.
        lamp: decides the lux factor; not needed for a PPFD reading.

    Returns umol m-2 s-1, or None when a lux or foot-candle reading says nothing under this lamp
    (red and blue LEDs): ask for a PPFD reading or the maker's map.
    Raises ValueError for a negative reading.
    Source: APOGEE-LUX, APOGEE-FC; per row in core/data/lamps.toml.
    Checked by: tests/reference/test_light.py.
    """
    if value < 0:
        raise ValueError(f"light reading {value} is negative")
    if unit is LightUnit.PPFD:
        return _figure(value, METER_UNCERTAINTY, Basis.MEASURED, "reading")
    if lamp.lux_per_umol is None or lamp.rel_uncertainty is None:
        return None
    lux = value if unit is LightUnit.LUX else lux_from_fc(value)
    return _figure(lux / lamp.lux_per_umol, lamp.rel_uncertainty, lamp.basis, lamp.source)


def lamp_hours(on: time, off: time) -> float:
    """Return the hours lit between two wall times, 0 < hours <= 24.

    A lamp off at an earlier time than it comes on burns past midnight; equal times mean that it
    never goes off. On the two days of a clock change a timer set in wall time is an hour out.
    """
    minutes = (off.hour - on.hour) * 60 + off.minute - on.minute + (off.second - on.second) / 60
    hours = (minutes % 1440) / 60
    return hours or 24.0


def _figure(value: float, rel: float, basis: Basis, source: str) -> LightFigure:
    return LightFigure(
        value=value, low=value * (1 - rel), high=value * (1 + rel), basis=basis, source=source
    )


def _check_lamps(lamps: tuple[Lamp, ...]) -> Iterable[Complaint]:
    """Complain of an example that the factor does not give, or of a factor without its range."""
    for lamp in lamps:
        if (lamp.lux_per_umol is None) is not (lamp.rel_uncertainty is None):
            yield Complaint(row=lamp.id, field="rel_uncertainty")
        given = ppfd_from_reading(lamp.example.get("lux", 0.0), LightUnit.LUX, lamp)
        value = None if given is None else round(given.value, 6)
        if value != lamp.example.get("ppfd_umol"):
            values = {"example": dict(lamp.example), "given": value}
            yield Complaint(
                row=lamp.id, field="example", problem=Problem.BAD_EXAMPLE, values=values
            )


def _check_targets(targets: tuple[LightTarget, ...]) -> Iterable[Complaint]:
    """Complain of bands or hours that do not rise."""
    for row in targets:
        bands = [row.low_mol, row.good_mol, row.aim_mol, row.high_mol, row.bleach_mol]
        hours = [row.hours_min, row.hours_usual, row.hours_max]
        if bands != sorted(bands) or hours != sorted(hours):
            yield Complaint(row=row.id, field="low_mol", values={"bands": bands, "hours": hours})


LAMPS = register("lamp", Lamp, check=_check_lamps)
TARGETS = register("light_target", LightTarget, check=_check_targets)


def target_of(crop_id: str) -> LightTarget:
    """Return the light that seedlings of a crop want. Source: by row of light_targets.toml."""
    own = (row for row in TARGETS.rows() if crop_id in row.crops)
    return next(own, TARGETS.by_id()["seedling"])
