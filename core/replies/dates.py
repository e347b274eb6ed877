"""Answers about one crop: its dates here, and what the table says of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.trade.dates.resow import LatestResow
from core.trade.dates.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowingNow:
    """A sowing of the crop that is growing.

    Attributes:
        alive: plants standing; count, 0 while nothing shows.
        plant_out_on: its own date, not before its least weeks in the tray.
    """

    sowing: str
    tray: str | None
    sown_on: date
    alive: int
    plant_out_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CropDates(Reply):
    """When to sow, pot up, harden off and plant out one crop here.

    Attributes:
        place: the site's place, else the group's name.
        frost_basis: `record`, `levels` or `typical_date`.
        spread_assumed: how much the last frost varies is assumed.
        season: for sowing, as of today: `ahead`, `indoors`, `outdoors`, `both` or `over`.
        resow: latest useful sowing date; None when there is none.
        lowest_night_c: coldest night for plants just set out, °C: the crop's, else its class's.
        soil_c: coldest soil for planting out, °C; None when the table has none.
        weeks_unverified: the crop's weeks are from memory.
        planned: sowing dates of the accepted plan that are still to come.
        resow: last date to sow again; days to maturity are in it, as the dates it is taken from
            end with the last planting that ripens.
        packet: code of the lot whose packet gave the days to maturity; None = the crop's own.
        risk: chance of frost the person accepts, 0..1; None = that of the crop's class.
    """

    crop: str
    place: str
    schedule: Schedule
    frost_basis: str
    spread_assumed: bool
    season: str
    resow: LatestResow | None
    lowest_night_c: float
    soil_c: float | None
    weeks_unverified: bool
    growing: tuple[GrowingNow, ...] = ()
    maturity: tuple[int, int] | None = None
    maturity_unverified: bool = False
    planned: tuple[date, ...] = ()
    variety: str | None = None
    packet: str | None = None
    risk: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DatesWithoutFrost(Reply):
    """Frost sets no date here: what does is said instead.

    Attributes:
        n_seasons: seasons of the record that show it; None when not from a record.
        weeks: least and most weeks from sowing to planting out; None for a crop sown outdoors
            or without figures.
    """

    crop: str
    place: str
    n_seasons: int | None
    lowest_night_c: float
    soil_c: float | None
    weeks: tuple[float, float] | None
    growing: tuple[GrowingNow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class UpIn:
    """Days from sowing to the first and last seedlings.

    Attributes:
        low, high: days; None when it does not come up at `temp_c`.
        temp_c: mix temperature, °C.
        temp_basis: `read`, `usual` or `assumed`; empty for a usual warm place.
        shelf: whose temperature it is; None when no shelf is known.
        basis: `table`, `site`, `guide` or `memory`.
        flags: codes of core/trade/emergence/forecast.py.
    """

    low: int | None
    high: int | None
    temp_c: float
    temp_basis: str
    shelf: str | None
    basis: str
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CropSaid(Reply):
    """What the table says of one crop; the row itself is found by its id.

    Attributes:
        lowest_night_c: coldest night for plants just set out, °C: the crop's, else its class's.
        night_by_class: that figure is the class's.
        weeks_vs_last_frost: weeks after the average last frost for planting out or sowing there.
        weeks_by_class: those weeks are the class's.
        cautions: ids of core/data/cautions.toml.
        sources: citations, the first few.
        more_sources: how many further ones.
        unverified: names of the figures shown that nobody has checked (fields of the table).
    """

    crop: str
    up_in: UpIn
    lowest_night_c: float
    night_by_class: bool
    weeks_vs_last_frost: tuple[float, float]
    weeks_by_class: bool
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    more_sources: int
    unverified: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CropList(Reply):
    """Every crop by kind: (kind, crop ids in the order of the table)."""

    kinds: tuple[tuple[str, tuple[str, ...]], ...]
