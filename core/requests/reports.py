"""What was done or seen: everything that is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.cells import CellSpec
from core.requests.base import Report, Request


@dataclass(frozen=True, slots=True, kw_only=True)
class Sow(Report):
    """Seed went into cells.

    Attributes:
        crop: crop id; None when the lot tells it.
        lot: lot code.
        cell_count: "12 cells of T1": the bot picks the next free ones; 0 = cells are named.
        seeds_per_cell: 0 = not said.
        depth_mm: None = not said.
        again: it is another one than the same told a moment ago.
    """

    crop: str | None = None
    variety: str | None = None
    lot: str | None = None
    cell_count: int = 0
    seeds_per_cell: int = 0
    depth_mm: float | None = None
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Up(Report):
    """Emerged so far: a running total, or `more` than last time.

    Attributes:
        count: seedlings (0 = nothing yet); None with `all_up`.
        more: the count is to be added to the last total.
        all_up: every cell shows.
    """

    count: int | None = None
    more: bool = False
    all_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Watered(Report):
    """Trays were watered; nothing named = all that are due, or all on duty."""

    from_below: bool = False
    for_round: date | None = None


class Moisture(StrEnum):
    """How the mix looked and felt."""

    DRY = "dry"
    RIGHT = "right"
    WET = "wet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moist(Report):
    """The state of the mix when looked at."""

    level: Moisture


class TempKind(StrEnum):
    """What a temperature was of."""

    MIX = "mix"
    AIR = "air"
    OUTSIDE = "outside"
    LOW = "low"  # last night's low outside
    FORECAST = "forecast"  # the low expected tonight


@dataclass(frozen=True, slots=True, kw_only=True)
class Temp(Report):
    """A temperature, in degrees Celsius. `kind` None: mix where a tray or shelf is named."""

    temp_c: float
    kind: TempKind | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Light(Report):
    """A light reading or a change of lamp; at least one part is given.

    Attributes:
        ppfd: µmol m-2 s-1.
        lux: lx (foot-candles are converted by the grammar, 1 fc = 10.764 lx).
        height_mm: lamp over the canopy.
        hours: lamp hours a day.
    """

    ppfd: float | None = None
    lux: float | None = None
    height_mm: float | None = None
    hours: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinned(Report):
    """Thinned to `per_cell` (1 unless said)."""

    per_cell: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Potted(Report):
    """Potted up, into another tray where one is named.

    Attributes:
        count: plants moved; None = all alive.
        into_tray: tray code, upper case; None = pots, whose tray is made.
        into_cells: cells there; None = the next free ones.
        pot_mm: width of the pots; None = not said.
        onto_shelf: shelf code where the pots stand; None = not said.
    """

    count: int | None = None
    into_tray: str | None = None
    into_cells: CellSpec | None = None
    pot_mm: float | None = None
    onto_shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move(Report):
    """A sowing, or cells of it, stands in another tray now; or on another shelf.

    Attributes:
        into_tray: tray code, upper case.
        into_cells: cells there; None = the next free ones.
        onto_shelf: shelf code; the trays named move there as they are.
    """

    into_tray: str | None = None
    into_cells: CellSpec | None = None
    onto_shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Harden(Report):
    """Hardening off begins: a decision, which hours outside alone are not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed(Report):
    """Fed at `ppm_n` mg nitrogen per litre, or a share `strength` of the label's, where known."""

    ppm_n: float | None = None
    strength: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Out(Report):
    """Stood outside to harden off for `hours`; `overnight` with the night.

    `once`: it was an outing and begins nothing.
    """

    hours: float | None = None
    overnight: bool = False
    once: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted(Report):
    """Planted out, or handed out for planting; None = all alive."""

    count: int | None = None
    to_whom: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost(Report):
    """Plants or cells lost; None = all of them."""

    count: int | None = None
    cause: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Report):
    """A remark worth keeping."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo(Request):
    """Take back a report: the one named, else list the last five.

    Attributes:
        also: further reports, of one message, taken back with it or not at all.
    """

    report: str | None = None
    last: bool = False
    also: tuple[str, ...] = ()
