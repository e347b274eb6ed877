"""The season plan: when to sow what, and the tray places it takes week by week.

`plan_season` is the whole of it: a `SeasonPlan` when everything fits, otherwise a
`PlanShort` with the weeks, the places lacking and ways out, or a `NoWindow` for a crop that has
no week left at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.plan.options import PlanOption
from core.plan.shelves import ShelfWeek, Stand, allot
from core.plan.solver import TIME_LIMIT_S, Budget, Choice, SolverGaveUp, choose, shortage
from core.plan.ways_out import NoWindow, PlanShort, no_window, way_out
from core.plan.wishes import UNITS_PER_PLACE, PlanInstance, check_instance

CHOOSE_SHARE, SHORTAGE_SHARE = 0.6, 0.2
"""Shares of the time limit for the best plan and for the least shortage; the rest is for ways."""

__all__ = ["NoWindow", "PlanShort", "PlannedSowing", "SeasonPlan", "plan_season"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSowing:
    """One sowing of the plan.

    Attributes:
        crop: name of the wish; sowing: 1, 2, ...
        plants: plants wanted from it; cells: cells sown; pots: pots filled, 0 without.
        sow_on, pot_on, out_on: first open day of the week; `pot_on` None without potting up.
        trays, pot_trays: places taken before and after potting up; whole trays, or twelfths
            where trays are shared.
        moved_weeks: weeks sown after (+) or before (-) the target.
        late_weeks: weeks planted out after the target, >= 0.
        frost_risk: at planting out, 0..1.
        stands: shelf and places by week.
    """

    crop: str
    sowing: int
    plants: int
    cells: int
    pots: int
    sow_week: int
    pot_week: int | None
    out_week: int
    sow_on: date
    pot_on: date | None
    out_on: date
    trays: float
    pot_trays: float
    moved_weeks: int
    late_weeks: int
    frost_risk: float
    stands: tuple[Stand, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPlan:
    """A plan that fits.

    Attributes:
        sowings: by date of sowing, then crop.
        shelf_weeks: places needed on each shelf in each week in which any is.
        shelf_moves: trays that change shelf other than at potting up.
        cost: by the instance's weights.
        gap: share by which a better plan may still exist; 0 = proven best.
    """

    sowings: tuple[PlannedSowing, ...]
    shelf_weeks: tuple[ShelfWeek, ...]
    shelf_moves: int
    cost: float
    gap: float


def plan_season(
    instance: PlanInstance, *, time_limit_s: float = TIME_LIMIT_S
) -> SeasonPlan | PlanShort | NoWindow:
    """Return the cheapest plan that fits the shelves, or why none does.

    A plan not proven best within the time limit says so by its `gap` (1.0: any plan that fits).
    Raises ValueError for wishes that contradict themselves, SolverGaveUp when the time limit
    passed before any arrangement was found.
    Source of the space rules: TRAY-GEOM; weights are stated choices (`PlanWeights`).
    Checked by: tests/core/plan/test_season_plan.py.
    """
    check_instance(instance)
    blocked = no_window(instance)
    if blocked is not None:
        return blocked
    budget = Budget(time_limit_s)
    try:
        choice = choose(instance, time_limit_s=time_limit_s * CHOOSE_SHARE)
    except SolverGaveUp:
        choice = None
    if choice is not None:
        return _plan(instance, choice)
    lacking = shortage(instance, time_limit_s=time_limit_s * SHORTAGE_SHARE)
    if lacking is None:
        raise ValueError("a crop has no window")
    if not lacking.places:
        cost = sum(option.cost for option in lacking.chosen)
        return _plan(instance, Choice(chosen=lacking.chosen, cost=cost, gap=1.0))
    return way_out(instance, lacking, budget)


def _plan(instance: PlanInstance, choice: Choice) -> SeasonPlan:
    allotted = allot(instance, choice.chosen)
    sowings = [
        _planned(instance, option, stands)
        for option, stands in zip(choice.chosen, allotted.stands, strict=True)
    ]
    return SeasonPlan(
        sowings=tuple(sorted(sowings, key=lambda s: (s.sow_on, s.crop, s.sowing))),
        shelf_weeks=allotted.shelf_weeks,
        shelf_moves=allotted.moves,
        cost=choice.cost,
        gap=choice.gap,
    )


def _planned(
    instance: PlanInstance, option: PlanOption, stands: tuple[Stand, ...]
) -> PlannedSowing:
    wish = instance.wishes[option.wish]
    target = wish.sow_target + option.sowing * wish.gap_weeks
    potted = option.pot_week is not None
    return PlannedSowing(
        crop=wish.crop,
        sowing=option.sowing + 1,
        plants=wish.plants_in(option.sowing),
        cells=wish.cells_in(option.sowing),
        pots=wish.pots_in(option.sowing) if potted else 0,
        sow_week=option.sow_week,
        pot_week=option.pot_week,
        out_week=option.out_week,
        sow_on=instance.first_open(option.sow_week),
        pot_on=None if option.pot_week is None else instance.first_open(option.pot_week),
        out_on=instance.first_open(option.out_week),
        trays=option.sown_units / UNITS_PER_PLACE,
        pot_trays=option.potted_units / UNITS_PER_PLACE if potted else 0.0,
        moved_weeks=option.sow_week - target,
        late_weeks=max(0, option.out_week - target - wish.weeks_usual),
        frost_risk=wish.risk(option.out_week),
        stands=stands,
    )
