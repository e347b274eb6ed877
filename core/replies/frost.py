"""Answers about the site's frost dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.requests import SetFrost
from core.trade.statistics.intervals import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelDate:
    """One date of a distribution.

    Attributes:
        level: chance of frost on or after it (last frosts), or on or before it (first frosts).
        on: date by the fitted curve, in the spring or autumn meant; None where frost is rarer.
        counted: the same by the seasons counted; None where they do not resolve it.
        chance: 95 % sampling error of the chance on that date; None when not from a record.
    """

    level: float
    on: date | None
    counted: date | None = None
    chance: Interval | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostSideSaid:
    """The distribution of last or first frosts.

    Attributes:
        side: `last` or `first`.
        basis: `record`, `levels` or `typical_date`.
        levels: the dates of 10, 50 and 90 %.
        share: share of seasons with a frost.
        share_error: 95 % sampling error of `share`; None when not from a record.
        usual: middle date of the seasons that freeze; None when none does.
        n_seasons, n_without, n_set_aside: seasons counted, of them without frost, and left out
            for missing days; n_seasons and n_without are None when not from a record.
        assumed_sd_days: the spread taken for want of a known one, days; None when known.
        spread_by_region: it is that of weather stations around there.
        threshold_c: minimum that counts as frost, °C.
    """

    side: str
    basis: str
    levels: tuple[LevelDate, ...]
    share: float
    share_error: Interval | None
    usual: date | None
    n_seasons: int | None
    n_without: int | None
    n_set_aside: int
    assumed_sd_days: float | None
    spread_by_region: bool
    threshold_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostFileSaid:
    """What was read from a file of daily minima.

    Attributes:
        unit, unit_told_by: codes of core/trade/frost/headers.py and core/trade/frost/file.py.
        absurd: values set aside: (date, °C, rule of core/trade/frost/absurd.py), the first few.
        absurd_count: all of them.
        days_missing: days without a value from the first to the last.
        rows_doubled, rows_unreadable: rows left out.
    """

    name: str
    first_on: date
    last_on: date
    unit: str
    unit_told_by: str
    absurd: tuple[tuple[date, float, str], ...]
    absurd_count: int
    days_missing: int
    rows_doubled: int
    rows_unreadable: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedPlantOut:
    """A sowing whose planting-out date the new frost dates changed."""

    sowing: str
    crop: str
    before: date | None
    after: date


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostSaid(Reply):
    """The frost dates that stand, or now stand.

    Attributes:
        place: the site's place, else the group's name.
        changed: they were changed just now.
        hemisphere: `north` or `south`; None when nothing is known.
        hemisphere_told_by: `file`, `place` or `dates`.
        against_place: the file's winter contradicts the place's latitude.
        first_dropped: the first-frost dates were of the other hemisphere and went.
        moved: sowings growing now whose planting-out date changed.
        put_back: the request that restores what stood, where words can hold it.
        or_first: one date alone made this a southern spring: the request that takes it for the
            first frost of a northern autumn instead.
    """

    place: str
    changed: bool
    last: FrostSideSaid | None
    first: FrostSideSaid | None
    file: FrostFileSaid | None = None
    hemisphere: str | None = None
    hemisphere_told_by: str | None = None
    against_place: bool = False
    first_dropped: bool = False
    moved: tuple[MovedPlantOut, ...] = ()
    put_back: SetFrost | None = None
    or_first: SetFrost | None = None
