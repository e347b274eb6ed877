"""Answers about the season plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from core.replies.base import Option, Reply
from core.requests import PlanItem


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingPlanned:
    """One sowing of a plan.

    Attributes:
        latest: last date it may be sown.
        trays, pot_trays: places taken before and after potting up, in twelfths.
        frost_chance: of frost on or after planting out, 0..1; None where frost sets this crop
            no limit.
        moved_weeks: weeks after (+) or before (-) its usual date; why: `space`, `closed` or
            `frost`.
        behind_days: days by which its usual sowing date had passed when planned.
        lot: lot of seed it was sized by; None = the kind's standard.
        sown: code of the sowing that fulfilled it.
        pinned: somebody set its date; usual_first, usual_last: the dates it would be sown
            between otherwise.
    """

    id: str
    crop: str
    variety: str | None
    plants: int
    sow_on: date
    latest: date
    cells: int
    seeds_per_cell: int
    trays: float
    pots: int
    pot_trays: float
    pot_on: date | None
    harden_from: date | None
    plant_out: date
    shelf: str | None
    frost_chance: float | None
    moved_weeks: int
    why: str | None
    late_weeks: int
    behind_days: int
    lot: str | None
    sown: str | None = None
    pinned: bool = False
    usual_first: date | None = None
    usual_last: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectPlanned:
    """A crop sown outdoors: dates, and the chance of frost once it is up."""

    crop: str
    variety: str | None
    plants: int
    earliest: date
    sow_on: date
    latest: date
    frost_chance: float | None
    soil_c: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedShort:
    """Seed that a plan takes and no lot holds.

    Attributes:
        lots: codes of the lots that it would be of.
        missing: seeds; by: local date of the first sowing that lacks some.
    """

    crop: str
    variety: str | None
    lots: tuple[str, ...]
    missing: int
    by: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSaid(Reply):
    """A plan: just worked out, just accepted, or the one that stands.

    Attributes:
        plan: its id.
        state: `proposed`, `accepted` or `stands`.
        may_accept: the speaker is a coordinator.
        replaces: accepting it replaces (or replaced) an earlier plan.
        late: (crop, variety, last date) of crops too late this season.
        fullest: (Monday, places taken, places) of the fullest weeks.
        notes: `space_known`, `guessed_shelves`, `gap`, `moves`, `assurance`, `frost`, `lots`,
            `without_lot`, `own_up`, `own_losses`, `short_season`; see core/plan/body.py.
        seed_short: seed to be bought for it, as far as lots have amounts.
    """

    group_id: int
    plan: int
    state: str
    may_accept: bool
    replaces: bool
    sowings: tuple[SowingPlanned, ...]
    direct: tuple[DirectPlanned, ...]
    late: tuple[tuple[str, str | None, date], ...]
    fullest: tuple[tuple[date, int, int], ...]
    notes: Mapping[str, Any] = field(default_factory=dict)
    seed_short: tuple[SeedShort, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDoesNotFit(Reply):
    """Too few places.

    Attributes:
        crop, variety: the crop to look at first.
        places: lacking in the worst week; weeks: (Monday, places lacking).
        exact: False = less might do, time ran out.
        ways: `fewer_plants` (crop, variety, plants), `fewer_of_all` (percent), `more_places`
            (shelf, places, more); each with the request to ask instead.
        also: further changes nobody can type: (`later_pot_up` or `no_pot_up`, crop, weeks).
        guessed_shelves: shelves whose places nobody gave.
    """

    crop: str
    variety: str | None
    places: int
    weeks: tuple[tuple[date, int], ...]
    exact: bool
    ways: tuple[Option, ...]
    also: tuple[tuple[str, str, int], ...] = ()
    guessed_shelves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanNoWindow(Reply):
    """A crop has no week at all.

    Attributes:
        sowing: 1, 2, ... of `item.sowings`.
        fault: `closed`, `frost` or `spacing`.
        sow: its sowing window by the schedule.
        ways: `fewer_sowings` or `without`, with the request to ask instead.
    """

    item: PlanItem
    sowing: int
    fault: str
    sow: tuple[date, date]
    ways: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDropped(Reply):
    """A plan is gone; `stood`: it had been accepted, so its reminders end."""

    plan: int
    stood: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonLine:
    """One sowing of the season, planned, under way or finished; dates still ahead or past."""

    crop: str
    variety: str | None
    sowing: str | None
    sow_on: date
    pot_on: date | None
    harden_from: date | None
    plant_out: date | None
    lost_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSaid(Reply):
    """The season in lines; `planned`: a plan stands; `finished`: planted or lost lately."""

    group_id: int
    lines: tuple[SeasonLine, ...]
    direct: tuple[DirectPlanned, ...]
    planned: bool
    finished: tuple[SeasonLine, ...] = ()
