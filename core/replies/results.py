"""Emergence curves, the season's results, two ways compared."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.replies.reports import WindowSaid
from core.requests import Where
from core.results.season_results import SeasonResults
from core.trade.statistics.compare import Comparison
from core.trade.statistics.intervals import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveLine:
    """One sowing's emergence in figures.

    Attributes:
        looks: times it was counted; 0 = nobody has.
        interval: 95 % Wilson interval of the share up, 0..1.
        first_day, half_day, mean_days, last_day: days after sowing; None where not seen.
            `half_day` is T50 after Coolbear; None too when the first look saw more than half.
        looked_on_day: day of the last look.
        over: no more are looked for.
        window: when it should show, while nothing is up.
    """

    sowing: str
    crop: str
    variety: str | None
    lot: str | None
    tray: str
    sown_on: date
    seeds: int
    up: int
    looks: int
    interval: Interval
    first_day: float | None
    half_day: float | None
    mean_days: float | None
    last_day: float | None
    looked_on_day: float | None
    over: bool
    window: WindowSaid | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveSaid(Reply):
    """Emergence of some sowings, the newest last; `more` older ones are not drawn."""

    group: int
    lines: tuple[CurveLine, ...]
    more: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultsSaid(Reply):
    """What worked; `as_file` with the one-page file."""

    group: int
    results: SeasonResults
    as_file: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SideSaid:
    """One side of a comparison: what was named, and the sowings that were counted."""

    named: Where
    sowings: tuple[str, ...]
    not_counted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared(Reply):
    """Two ways held against each other.

    Attributes:
        noticeable: least difference in share these numbers would show four times in five.
        seeds_needed: seeds a side that would show `worth` four times in five; None = more
            than any trial here.
        coming: sowings that may still show more.
    """

    crop: str
    left: SideSaid
    right: SideSaid
    comparison: Comparison
    worth: float
    seeds_needed: int | None
    coming: tuple[str, ...] = ()
