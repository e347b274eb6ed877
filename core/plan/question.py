"""A season's wishes joined with a group's records: the question the solver answers.

Windows come from the crop's schedule at this site, cells and seeds from what is believed of the
seed, space from the shelves less what stands on them, closed days from the closures.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from core.errors import NoFrostYet
from core.folding import fold
from core.group import outlook
from core.group.frames import COLD_FRAME
from core.group.garden import Garden
from core.plan.space import POTS_A_PLACE, plan_shelves, usual_tray_cells
from core.plan.wishes import PlanInstance, PlanShelf, PlanWish
from core.plan_errors import PlanTooLate, SeedTooPoor
from core.requests import PlanItem
from core.trade.crops.row import Season
from core.trade.crops.table import crop_by_id, is_fine
from core.trade.dates.schedule import Indoors, Schedule
from core.trade.frost.dates import FrostDates
from core.trade.seed.amounts import SowingSize, sowing_size
from core.trade.statistics.intervals import Beta

GAP_WEEKS = 2
"""Weeks between two sowings of one crop: common practice."""

LONGER_WEEKS = 2
"""How long a sowing pinned too early may wait beyond the first week it can go out. Own choice."""

PIN_WITHIN = timedelta(days=120)
"""A pinned date is late for the growing year so long after its dates, not early for the next. Own
choice."""

HORIZON_WEEKS = 90
"""How far ahead closed days are read; twenty sowings two weeks apart and a long-raised crop."""

NEVER, MOST_RISK = 1.0, 0.99
"""Risk of a week in which planting out is not allowed, and the most of one in which it is."""

NO_SHELF = ""
ROOM_UNKNOWN = 10_000
"""Places taken for a group without shelves, whose space nobody knows: the plan says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedTaken:
    """What is believed of the seed of one wish.

    Attributes:
        belief: chance of a seed; survival: of a seedling to planting out, 0..1.
        lot: the lot it is about; None = fresh seed of the kind.
        own_up, own_losses: the group's own finished sowings count in the one, in the other.
    """

    belief: float | Beta
    survival: float
    lot: str | None = None
    own_up: bool = False
    own_losses: bool = False


Believe = Callable[[PlanItem], SeedTaken]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanCrop:
    """A wish that takes space, in the order of the instance's wishes.

    Attributes:
        key: name of the wish in the instance.
        size: cells and seeds of one sowing.
        behind_days: days by which its usual sowing date has passed, >= 0.
    """

    key: str
    item: PlanItem
    seed: SeedTaken
    size: SowingSize
    schedule: Schedule
    indoors: Indoors
    behind_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectCrop:
    """A wish sown where it will grow: outdoor dates, no space."""

    item: PlanItem
    schedule: Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanQuestion:
    """The solver's question, and what it leaves out.

    Attributes:
        late: (item, last date it could be sown) of crops too late this season.
        space_known: shelves are set up; without any, space is not limited.
        guessed_shelves: shelves whose places nobody gave.
        kept: entries of the plan in force that are sown; their plants are not planned again.
    """

    instance: PlanInstance
    crops: tuple[PlanCrop, ...]
    direct: tuple[DirectCrop, ...]
    late: tuple[tuple[PlanItem, date], ...]
    space_known: bool
    guessed_shelves: tuple[str, ...]
    kept: tuple[Mapping[str, Any], ...]


def plan_question(
    garden: Garden,
    items: tuple[PlanItem, ...],
    today: date,
    *,
    believe: Believe,
    sown: frozenset[str] = frozenset(),
) -> PlanQuestion:
    """Return the question for a list of wishes.

    Args:
        believe: what is known of the seed of a wish.
        sown: ids of the entries of the plan in force that were sown.

    Weeks count from the Monday of this week, or the next from Friday on. Frost counts as a risk
    only beyond the chance on the crop's own planting-out date, so that a hardy crop is not held
    back by frosts it bears; a week before its first planting-out date, or with a greater chance
    of frost than its class accepts, is not allowed.
    Raises NoFrostYet, PlanTooLate when no crop is left, SeedTooPoor, and what the schedule
    raises for a crop without times.
    Checked by: tests/core/handlers/test_plans.py.
    """
    frost = outlook.frost_of(garden)
    if frost is None:
        raise NoFrostYet()
    kept, wanted = _less_kept(garden.plan, merged(items), sown)
    monday = first_monday(today)
    closed = _closed_days(garden, monday, today)
    blank = PlanInstance(first_monday=monday, wishes=(), shelves=(), closed_on=closed)
    crops: list[PlanCrop] = []
    wishes: list[PlanWish] = []
    direct: list[DirectCrop] = []
    late: list[tuple[PlanItem, date]] = []
    cells = usual_tray_cells(garden)
    for item in wanted:
        schedule = outlook.schedule_of(garden, item.crop, _year_of(item, today), item.variety)
        assert schedule is not None
        if schedule.indoors is None:
            assert schedule.outdoors is not None
            if schedule.outdoors.sow.latest < today and item.sow_on is None:
                late.append((item, schedule.outdoors.sow.latest))
            else:
                direct.append(DirectCrop(item=item, schedule=schedule))
            continue
        if _floor_week(schedule.indoors.sow.latest, monday) < 0 and item.sow_on is None:
            late.append((item, schedule.indoors.sow.latest))
            continue
        crop = _crop(item, schedule, schedule.indoors, believe(item), today)
        crops.append(crop)
        wishes.append(_wish(crop, frost, blank, cells))
    if not crops and not direct and not kept:
        raise PlanTooLate(crops=tuple((i.crop, i.variety, day) for i, day in late))
    return PlanQuestion(
        instance=PlanInstance(
            first_monday=monday,
            wishes=tuple(wishes),
            shelves=_shelves(garden, monday, today),
            closed_on=closed,
            share_trays=True,
        ),
        crops=tuple(crops),
        direct=tuple(direct),
        late=tuple(late),
        space_known=any(code != COLD_FRAME for code in garden.shelves),
        guessed_shelves=tuple(
            code
            for code, shelf in garden.shelves.items()
            if shelf.places is None and code != COLD_FRAME
        ),
        kept=kept,
    )


def key_of(item: PlanItem) -> str:
    """Return the name of a wish in the instance."""
    return f"{item.crop} {item.variety}" if item.variety else item.crop


def merged(items: tuple[PlanItem, ...]) -> tuple[PlanItem, ...]:
    """Return the items with those of one crop and variety added up, in the order named."""
    found: dict[tuple[str, str], PlanItem] = {}
    for item in items:
        key = (item.crop, fold(item.variety or ""))
        before = found.get(key)
        plants = item.plants + (before.plants if before else 0)
        found[key] = PlanItem(
            crop=item.crop,
            plants=plants,
            sowings=min(plants, max(item.sowings, before.sowings if before else 1)),
            variety=before.variety if before else item.variety,
            sow_on=item.sow_on or (before.sow_on if before else None),
        )
    return tuple(found.values())


def first_monday(today: date) -> date:
    """Return the Monday of this week, from Friday on of the next: too little of it is left."""
    monday = today - timedelta(days=today.weekday())
    return monday if today.weekday() <= 3 else monday + timedelta(weeks=1)


def _less_kept(
    plan: Mapping[str, Any] | None, items: tuple[PlanItem, ...], sown: frozenset[str]
) -> tuple[tuple[Mapping[str, Any], ...], tuple[PlanItem, ...]]:
    """Return the sown entries that the items would plan again, and what is left to plan."""
    kept: list[Mapping[str, Any]] = []
    left: list[PlanItem] = []
    for item in items:
        fits = [
            entry
            for entry in (plan or {}).get("sowings", ())
            if entry["id"] in sown
            and entry["crop"] == item.crop
            and fold(entry.get("variety") or "") == fold(item.variety or "")
        ]
        kept += fits
        plants = item.plants - sum(int(entry["plants"]) for entry in fits)
        if plants > 0:
            sowings = min(plants, max(1, item.sowings - len(fits)))
            pin = None if item.sow_on is None else _next_pin(item.sow_on, len(fits))
            left.append(replace(item, plants=plants, sowings=sowings, sow_on=pin))
    return tuple(kept), tuple(left)


def _year_of(item: PlanItem, today: date) -> date:
    """Return a day in the growing year that a line is of: that of its pinned date."""
    return today if item.sow_on is None else max(today, item.sow_on - PIN_WITHIN)


def _next_pin(sow_on: date, sown: int) -> date:
    """Return the date of the first sowing left of a pinned line."""
    return sow_on + timedelta(weeks=GAP_WEEKS * sown)


def _closed_days(garden: Garden, monday: date, today: date) -> frozenset[date]:
    """Return the closed days ahead, and those of the first week that have passed."""
    days = (monday + timedelta(days=n) for n in range(7 * HORIZON_WEEKS))
    return frozenset(day for day in days if day < today or garden.closed(day))


def _shelves(garden: Garden, monday: date, today: date) -> tuple[PlanShelf, ...]:
    if all(code == COLD_FRAME for code in garden.shelves):
        return (PlanShelf(name=NO_SHELF, places=ROOM_UNKNOWN),)
    return plan_shelves(garden, monday, HORIZON_WEEKS, today)


def _crop(
    item: PlanItem, schedule: Schedule, indoors: Indoors, seed: SeedTaken, today: date
) -> PlanCrop:
    each = -(-item.plants // item.sowings)
    try:
        size = sowing_size(each, seed.belief, survival=seed.survival)
    except ValueError:  # every argument was checked, so it is the seed
        raise SeedTooPoor(crop=item.crop, lot=seed.lot) from None
    return PlanCrop(
        key=key_of(item),
        item=item,
        seed=seed,
        size=size,
        schedule=schedule,
        indoors=indoors,
        behind_days=0 if item.sow_on else max(0, (today - indoors.sow.target).days),
    )


def _wish(crop: PlanCrop, frost: FrostDates, blank: PlanInstance, tray_cells: int) -> PlanWish:
    row, indoors, monday = crop_by_id(crop.item.crop), crop.indoors, blank.first_monday
    latest = _floor_week(indoors.sow.latest, monday)
    earliest = min(latest, max(0, _ceil_week(indoors.sow.earliest, monday)))
    target = min(latest, max(earliest, round((indoors.sow.target - monday).days / 7)))
    pinned = crop.item.sow_on is not None
    weeks = indoors.weeks
    if pinned:  # on its own day it may be late, and then needs no large plants
        usual = row.weeks_sow_to_plantout_min or 4
        weeks = (usual, row.weeks_sow_to_plantout_max or usual)
    least = max(1, math.ceil(weeks[0]))
    most = max(least, int(weeks[1]))
    pot_up = None
    if indoors.pot_up_on is not None:
        pot_up = max(1, round((indoors.pot_up_on - indoors.sow.target).days / 7))
    if pinned:
        assert crop.item.sow_on is not None
        earliest = target = latest = max(0, _floor_week(crop.item.sow_on, monday))
        ready = _ceil_week(indoors.plant_out.earliest, monday) - earliest
        most = max(most, ready + LONGER_WEEKS)  # sown early it stands until it can go out
    cells = crop.size.chosen.cells / crop.size.plants
    last_week = latest + (crop.item.sowings - 1) * GAP_WEEKS + most
    low, high = row.emergence_days_min, row.emergence_days_max
    return PlanWish(
        crop=crop.key,
        plants=crop.item.plants,
        sowings=crop.item.sowings,
        gap_weeks=GAP_WEEKS,
        cells_per_plant=max(1.0, cells),
        tray_cells=tray_cells,
        pot_cells=POTS_A_PLACE if pot_up is not None else None,
        pot_up_weeks=pot_up,
        pots_per_plant=max(1.0, min(cells, 1 / crop.seed.survival)),
        sow_earliest=earliest,
        sow_target=target,
        sow_latest=latest,
        weeks_min=least,
        weeks_max=most,
        frost_risk=tuple(_risk(crop, frost, blank, week) for week in range(last_week + 1)),
        risk_max=MOST_RISK,
        fine_seed=is_fine(row),
        emerge_weeks=(1, 2) if low is None or high is None else (low // 7, high // 7),
        pinned=pinned,
        warm=None if row.season is None else row.season is Season.WARM,
    )


def _risk(crop: PlanCrop, frost: FrostDates, blank: PlanInstance, week: int) -> float:
    """Return the frost risk of a week as the solver weighs it; `NEVER` = not allowed."""
    day = blank.first_open(week)
    if day < crop.indoors.plant_out.earliest:
        return NEVER
    if crop.schedule.level >= 1:
        return 0.0  # frost sets this class no limit
    chance = frost.chance_on_or_after(day, year=crop.schedule.year).fitted
    if chance > crop.schedule.level + 1e-6:
        return NEVER
    return min(MOST_RISK, max(0.0, chance - crop.indoors.chance.fitted))


def _floor_week(day: date, monday: date) -> int:
    return (day - monday).days // 7


def _ceil_week(day: date, monday: date) -> int:
    return -((monday - day).days // 7)
