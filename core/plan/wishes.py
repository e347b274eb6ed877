"""What a season plan is asked: wishes, windows, shelves and closures, in whole weeks.

Weeks are numbered from 0, the week of `first_monday`. Space is counted in places (one tray of
the 1020 footprint each) and, where small sowings share a tray, in twelfths of a place (a pack of
six out of 72 cells).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

UNITS_PER_PLACE = 12
"""Twelfths: the smallest part of a tray that a sowing takes when trays are shared."""

CLOSED_DAYS = 4
"""Closed days of a week from which nothing is sown, potted or planted out in it: more
than half of it; own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWish:
    """One crop of the plan.

    Attributes:
        crop: name of the wish; unique in the plan.
        plants: plants wanted in all, >= 1, split evenly over the sowings.
        sowings: number of sowings, >= 1, each at least `gap_weeks` after the one before; their
            windows and targets move by `gap_weeks` a sowing.
        cells_per_plant: cells sown for each plant wanted, >= 1.
        tray_cells: cells a place holds while sown.
        pot_cells: pots a place holds after potting up; None = stays in its cells.
        pot_up_weeks: weeks from sowing to potting up; None = never.
        pots_per_plant: plants potted for each wanted, >= 1.
        sow_earliest, sow_target, sow_latest: weeks of the first sowing, in that order.
        weeks_min, weeks_max: age at planting out, weeks from sowing, 1 <= min <= max.
        frost_risk: chance of a killing frost after planting out in week 0, 1, ...; 0..1, the
            last value holds for later weeks; empty = none.
        risk_max: planting out is not allowed in weeks with a greater risk.
        fine_seed: must not emerge in a closed week.
        emerge_weeks: first and last week after sowing in which it may emerge.
        pinned: somebody set the sowing dates: closed weeks do not move them.
        warm: wants the warmer shelf (True) or the cooler one (False); None = either.
    """

    crop: str
    plants: int
    sowings: int = 1
    gap_weeks: int = 2
    cells_per_plant: float = 1.0
    tray_cells: int = 72
    pot_cells: int | None = None
    pot_up_weeks: int | None = None
    pots_per_plant: float = 1.0
    sow_earliest: int
    sow_target: int
    sow_latest: int
    weeks_min: int
    weeks_max: int
    frost_risk: tuple[float, ...] = ()
    risk_max: float = 1.0
    fine_seed: bool = False
    emerge_weeks: tuple[int, int] = (1, 2)
    pinned: bool = False
    warm: bool | None = None

    @property
    def weeks_usual(self) -> int:
        """Usual age at planting out: the middle of the range, rounded down."""
        return (self.weeks_min + self.weeks_max) // 2

    def risk(self, week: int) -> float:
        """Return the frost risk of planting out in `week`."""
        if not self.frost_risk:
            return 0.0
        return self.frost_risk[min(max(week, 0), len(self.frost_risk) - 1)]

    def plants_in(self, sowing: int) -> int:
        """Return the plants wanted from sowing 0, 1, ...; the first take any remainder."""
        each, left = divmod(self.plants, self.sowings)
        return each + (sowing < left)

    def cells_in(self, sowing: int) -> int:
        """Return the cells sown in a sowing."""
        return math.ceil(self.plants_in(sowing) * self.cells_per_plant - 1e-9)

    def pots_in(self, sowing: int) -> int:
        """Return the pots filled from a sowing; 0 without potting up."""
        if self.pot_cells is None or self.pot_up_weeks is None:
            return 0
        return math.ceil(self.plants_in(sowing) * self.pots_per_plant - 1e-9)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanShelf:
    """A shelf: tray places, and those already taken in week 0, 1, ... (later weeks: none).

    `warm_c` is what its mix usually shows, °C; None where nobody said.
    """

    name: str
    places: int
    taken: tuple[int, ...] = ()
    warm_c: float | None = None

    def free(self, week: int) -> int:
        """Return the free places in a week, >= 0."""
        taken = self.taken[week] if week < len(self.taken) else 0
        return max(0, self.places - taken)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWeights:
    """What a plan is charged for, in weeks of lateness (all choices, not measurements).

    Attributes:
        late: each week a sowing is planted out after its target.
        frost: frost risk of 1 at planting out; 10 makes a risk of 1 in 10 worth a week.
        early: each week it is sown before its target.
        age: each week its age at planting out differs from the usual.
    """

    late: float = 1.0
    frost: float = 10.0
    early: float = 0.25
    age: float = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanInstance:
    """A whole question.

    Attributes:
        first_monday: Monday of week 0, local date.
        closed_on: dates on which nobody can get in.
        share_trays: small sowings share trays (twelfths: packs and pots stand in one flat);
            otherwise each takes whole trays.
    """

    first_monday: date
    wishes: tuple[PlanWish, ...]
    shelves: tuple[PlanShelf, ...]
    closed_on: frozenset[date] = frozenset()
    share_trays: bool = False
    weights: PlanWeights = PlanWeights()

    @property
    def weeks(self) -> int:
        """Number of weeks after which everything is planted out."""
        return max((_last_out(wish) for wish in self.wishes), default=0)

    def monday(self, week: int) -> date:
        """Return the Monday of a week."""
        return self.first_monday + timedelta(weeks=week)

    def closed(self, week: int) -> bool:
        """Say whether at least `CLOSED_DAYS` days of the week are closed."""
        monday = self.monday(week)
        days = (monday + timedelta(days=day) for day in range(7))
        return sum(day in self.closed_on for day in days) >= CLOSED_DAYS

    def first_open(self, week: int) -> date:
        """Return the first day of the week that is not closed; the Monday if none is."""
        monday = self.monday(week)
        days = [monday + timedelta(days=day) for day in range(7)]
        return next((day for day in days if day not in self.closed_on), monday)

    def free_places(self, week: int) -> int:
        """Return the free places of all shelves in a week."""
        return sum(shelf.free(week) for shelf in self.shelves)


def check_instance(instance: PlanInstance) -> None:
    """Raise ValueError naming the first wish whose numbers contradict each other."""
    if instance.first_monday.weekday() != 0:
        raise ValueError(f"{instance.first_monday} is not a Monday")
    names = [wish.crop for wish in instance.wishes]
    if len(set(names)) != len(names):
        raise ValueError("two wishes share a name")
    for wish in instance.wishes:
        good = wish.plants >= wish.sowings >= 1
        good &= 0 <= wish.sow_earliest <= wish.sow_target <= wish.sow_latest
        good &= 1 <= wish.weeks_min <= wish.weeks_max
        good &= wish.gap_weeks >= 1 and wish.cells_per_plant >= 1 and wish.pots_per_plant >= 1
        good &= wish.tray_cells >= 1 and (wish.pot_cells is None or wish.pot_cells >= 1)
        good &= wish.pot_up_weeks is None or wish.pot_up_weeks >= 1
        good &= all(0 <= risk <= 1 for risk in wish.frost_risk)
        if not good:
            raise ValueError(f"wish {wish.crop!r} contradicts itself")


def _last_out(wish: PlanWish) -> int:
    return wish.sow_latest + (wish.sowings - 1) * wish.gap_weeks + wish.weeks_max
