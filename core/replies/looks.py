"""Answers to what is asked about the state of things."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.due.items import Item
from core.replies.base import Reply
from core.replies.reports import LightRecorded, WindowSaid


@dataclass(frozen=True, slots=True, kw_only=True)
class DueSaid(Reply):
    """Open work today; `next_on` the next date with any when there is none."""

    on: date
    items: tuple[Item, ...]
    mine: bool
    duty: tuple[int, ...]
    closed: bool
    next_on: date | None = None
    missing: tuple[str, ...] = ()  # trays | sowings | frost
    rests: bool = False  # the group gets no reminders
    resting: tuple[str, ...] = ()  # nor do these trays


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingLine:
    """One sowing in a list or a tray."""

    sowing: str
    crop: str
    variety: str | None
    cells: str
    sown_on: date
    stage: str
    up: int
    alive: int
    seeds: int
    window: WindowSaid | None = None
    lot: str | None = None
    plant_out: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayLine:
    """One tray in the list."""

    tray: str
    shelf: str | None
    rows: int
    cols: int
    free: int
    sowings: tuple[SowingLine, ...]
    check_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TraysSaid(Reply):
    """Every tray, and what stands in pots without a tray."""

    trays: tuple[TrayLine, ...]
    loose: tuple[SowingLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TraySaid(Reply):
    """One tray with its last watering, how long it lasts, and notes.

    Attributes:
        lasts: (low, usual, high) days, and how many reports that rests on.
    """

    group_id: int
    line: TrayLine
    watered_on: date | None
    lasts: tuple[float, float, float] | None
    lasts_reports: int
    mix_temp_c: float | None
    mix_temp_on: date | None
    notes: tuple[tuple[date, str], ...]
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfSaid(Reply):
    """A shelf's light and temperature; `log` when there is something to draw."""

    group_id: int
    shelf: str
    light: LightRecorded
    temps: tuple[tuple[date, float], ...]
    usual_temp_c: float | None
    log: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceSaid(Reply):
    """Tray places used now on each shelf: (shelf, used, places)."""

    group_id: int
    shelves: tuple[tuple[str, int, int | None], ...]
    unplaced: tuple[str, ...]
    planned: bool
