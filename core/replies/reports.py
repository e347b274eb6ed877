"""Answers to what members report."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from core.replies.base import Reply, Wrote
from core.requests import Request
from core.trade.seed.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowSaid:
    """When something should show: 10-50-90 % dates and what they rest on.

    Attributes:
        basis: `table`, `guide` or `memory` (whose days the crop's curve has), `site`, `catalogue`.
        temp_c: the mix temperature assumed or logged, °C.
        flags: codes such as `outside_tested`, `will_not_come_up`.
    """

    p10: date | None
    p50: date | None
    p90: date | None
    basis: str
    temp_c: float | None = None
    temp_basis: str = ""  # logged | usual | assumed
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sown(Wrote):
    """A sowing was recorded."""

    sowing: str
    crop: str
    variety: str | None
    lot: str | None
    tray: str
    cells: str
    cell_count: int
    seeds: int
    on: date
    window: WindowSaid | None
    depth_mm: tuple[float, float] | None  # what the crop table says, lo and hi
    germination_light: str
    free_after: int
    hints: tuple[str, ...] = ()  # too_early | too_late
    sown_deep_mm: float | None = None  # set where far deeper than the table
    stock: Stock | None = None  # of the lot, where its amount was told


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRecorded(Wrote):
    """Seedlings up so far.

    Attributes:
        low, high: 95 % Wilson interval of the share of seeds, 0..1.
        first: these are the first to show: cover off, light on, mat off.
        give_up_on: few more come after it; resow_by: last day to sow again for this season;
            both only where far fewer came than a sound lot gives.
        standard: legal or customary minimum germination, 0..1, where there is one.
        again: few, by a first count alone: a second one is to judge.
    """

    sowing: str
    crop: str
    tray: str | None
    up: int
    seeds: int
    on: date
    low: float
    high: float
    first: bool
    standard: float | None = None
    verdict: str | None = None  # against the standard: below | consistent | above
    again: bool = False
    window: WindowSaid | None = None
    give_up_on: date | None = None
    resow_by: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CareRecorded(Wrote):
    """Watering, feeding, thinning, a note, a moisture look.

    Attributes:
        kind: `watered`, `moist`, `fed`, `thinned`, `note`.
        targets: tray or sowing codes.
        next_check: tray code → the date to look again.
        values: what was said (`level`, `ppm_n`, `strength`, `per_cell`, `text`, `from_below`).
    """

    kind: str
    targets: tuple[str, ...]
    on: date
    next_check: Mapping[str, date] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)
    hints: tuple[str, ...] = ()

    @property
    def plain(self) -> bool:
        """Whether nothing is to be told of it but that it is recorded."""
        worth_words = self.values.get("from_below") or self.values.get("level", "right") != "right"
        return not (worth_words or self.hints or self.cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class TempRecorded(Wrote):
    """A temperature.

    Attributes:
        place: tray codes, shelf code, `all`, or None for outside; `shelf`: it is a shelf.
        verdicts: (crop, code) such as (`pepper`, `too_cold`).
        moved: sowing code → new window, when it moved by more than a day.
        held: sowings kept in because of an outdoor low: (code, crop, limit in °C).
    """

    temp_c: float
    kind: str
    place: str | None
    on: date
    shelf: bool = False
    verdicts: tuple[tuple[str, str], ...] = ()
    moved: Mapping[str, WindowSaid] = field(default_factory=dict)
    held: tuple[tuple[str, str, float], ...] = ()
    cover: tuple[tuple[str, str, int], ...] = ()  # (code, crop, plants) in the bed


@dataclass(frozen=True, slots=True, kw_only=True)
class LightRecorded(Wrote):
    """A light reading or a lamp change, and what it comes to.

    Attributes:
        dli: mol m-2 d-1, low and high by the uncertainty of the factor; None = cannot be told.
        target: (low, high) DLI wanted.
        advice: code and its values from core/trade/light/lamp.py.
        basis: what the DLI rests on.
    """

    place: str
    on: date
    ppfd: float | None
    hours: float | None
    height_mm: float | None
    dli: float | None
    dli_low: float | None
    dli_high: float | None
    band: str | None
    target: tuple[float, float] | None
    advice: tuple[tuple[str, Mapping[str, Any]], ...]
    basis: str
    lux: float | None = None
    reason: str | None = None  # no_factor | no_reading | no_hours: why no DLI; or window


@dataclass(frozen=True, slots=True, kw_only=True)
class PottedRecorded(Wrote):
    """Plants went into bigger cells or pots.

    Attributes:
        stay: plants of that part that stay where they were.
        freed: cells of `from_tray` that are empty now; `freed_all`: all it held there.
        pot_mm, shelf: of the tray of pots that was made; None when there was one.
    """

    sowing: str
    crop: str
    count: int
    from_tray: str | None
    into_tray: str
    into_cells: str
    on: date
    stay: int = 0
    freed: str = ""
    freed_all: bool = False
    pot_mm: float | None = None
    shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedRecorded(Wrote):
    """Something stands in another tray, or trays on another shelf."""

    targets: tuple[str, ...]
    crop: str | None
    into: str | None
    into_cells: str
    shelf: str | None
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class HardenRecorded(Wrote):
    """Hardening off begins.

    Attributes:
        days: as in `OutRecorded`.
    """

    targets: tuple[str, ...]
    on: date
    days: tuple[tuple[str, str, int, int, float | None, str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutRecorded(Wrote):
    """A day outside.

    Attributes:
        targets: codes of the sowings that were out.
        days: (sowing, crop, day n, of N, hours of tomorrow, exposure, limit in °C).
    """

    targets: tuple[str, ...]
    hours: float | None
    overnight: bool
    on: date
    days: tuple[tuple[str, str, int, int, float | None, str, float], ...]
    once: tuple[str, ...] = ()  # it was an outing of these, and begins nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantedRecorded(Wrote):
    """Plants left the trays."""

    sowing: str
    crop: str
    count: int
    left: int
    on: date
    to_whom: str | None = None
    risk: float | None = None  # chance of frost on or after that date, 0..1
    risk_basis: str | None = None
    water_in: bool = False  # they stand in a bed now


@dataclass(frozen=True, slots=True, kw_only=True)
class LostRecorded(Wrote):
    """Plants or a sowing lost."""

    sowing: str
    crop: str
    count: int | None
    left: int
    on: date
    cause: str | None
    resow_by: date | None = None
    resow_basis: str | None = None
    told: str | None = None  # id of the cause named, a row of causes.toml
    closed: bool = False  # nothing of the sowing is left indoors
    cells: str = ""  # cells given up before anything showed in them
    outside: bool = False  # in the bed
    beside: tuple[str, ...] = ()  # trays to look at tomorrow: it spreads


@dataclass(frozen=True, slots=True, kw_only=True)
class Done(Reply):
    """A `Done` button was pressed; `acts` are what it recorded; again = it had been.

    Attributes:
        own: whoever pressed had pressed it themselves before.
    """

    acts: tuple[int, ...]
    targets: tuple[str, ...]
    again: bool
    by: str | None
    own: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ActLine:
    """One act as a list shows it."""

    act: int
    kind: str
    by: str | None
    on: date
    summary: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(Reply):
    """An act was taken back."""

    line: ActLine
    again: Request | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AllUndone(Reply):
    """The acts of one message were taken back."""

    lines: tuple[ActLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoList(Reply):
    """The last acts that can still be taken back."""

    lines: tuple[ActLine, ...]
