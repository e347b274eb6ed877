"""The integer program of a season plan, solved by HiGHS through scipy.

One 0/1 variable per option; one option per sowing; in every week the space taken lies within the
free places of all shelves together. Trays of one footprint fit any place, so this total is exact
as long as trays may change shelves, which costs a walk across the room; fixing each tray to one
shelf would leave places empty that a move would fill.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from core.plan.options import PlanOption, options_for
from core.plan.wishes import UNITS_PER_PLACE, PlanInstance

TIME_LIMIT_S = 4.5
"""Longest a whole plan may take, seconds; the best found by then is returned with its gap.
Own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One option for every sowing.

    Attributes:
        chosen: in the order of wishes and sowings.
        cost: sum of their costs.
        gap: share by which a better plan may still exist; 0 = proven best.
    """

    chosen: tuple[PlanOption, ...]
    cost: float
    gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Least space lacking.

    Attributes:
        places: whole places that would make everything fit, in every week.
        units_short: twelfths of a place lacking by week, only weeks that lack any.
        chosen: the options with which it is so.
        proven: no arrangement lacks less; False when the time limit came first.
    """

    proven: bool
    places: int
    units_short: tuple[tuple[int, int], ...]
    chosen: tuple[PlanOption, ...]


class Budget:
    """Seconds left of a time limit; measures running time, never the date."""

    def __init__(self, seconds: float) -> None:
        self._until = time.perf_counter() + seconds

    def left(self) -> float:
        """Return the seconds left, >= 0."""
        return max(0.0, self._until - time.perf_counter())


class SolverGaveUp(Exception):
    """The time limit passed before any plan was found or ruled out."""


def all_options(instance: PlanInstance) -> tuple[tuple[PlanOption, ...], ...]:
    """Return the options of every sowing, in the order of wishes and sowings."""
    return tuple(
        options_for(instance, index, sowing)
        for index, wish in enumerate(instance.wishes)
        for sowing in range(wish.sowings)
    )


def choose(
    instance: PlanInstance, *, any_plan: bool = False, time_limit_s: float = TIME_LIMIT_S
) -> Choice | None:
    """Return the cheapest choice that fits, or None when nothing fits.

    Args:
        any_plan: take the first plan that fits, whatever its cost.

    Raises SolverGaveUp when the time limit leaves the question open.
    Checked by: tests/core/plan/test_season_plan.py (independent checker, exhaustive search).
    """
    groups = all_options(instance)
    if not all(groups):
        return None
    options = [option for group in groups for option in group]
    if not options:
        return Choice(chosen=(), cost=0.0, gap=0.0)
    rows = _Rows(options, groups, instance)
    costs = [0.0 if any_plan else option.cost for option in options]
    result = rows.solve(costs, integrality=[1] * len(options), time_limit_s=time_limit_s)
    if result is None:
        return None
    chosen = tuple(o for o, x in zip(options, result.x, strict=True) if x > 0.5)
    gap = float(result.mip_gap or 0.0)
    return Choice(chosen=chosen, cost=sum(o.cost for o in chosen), gap=0.0 if gap < 1e-6 else gap)


def shortage(instance: PlanInstance, *, time_limit_s: float = TIME_LIMIT_S) -> Shortage | None:
    """Return the least space lacking; None when a sowing has no week at all or they clash."""
    groups = all_options(instance)
    if not all(groups):
        return None
    options = [option for group in groups for option in group]
    rows = _Rows(options, groups, instance, slack=True)
    weeks = len(rows.weeks)
    most = 1000.0 * UNITS_PER_PLACE * max(1, weeks)
    costs = [0.0] * len(options) + [1.0] * weeks + [most]
    integrality = [1] * len(options) + [0] * weeks + [1]
    result = rows.solve(costs, integrality=integrality, time_limit_s=time_limit_s)
    if result is None:
        return None
    chosen = tuple(o for o, x in zip(options, result.x, strict=False) if x > 0.5)
    short = []
    for week in rows.weeks:
        used = sum(option.units(week) for option in chosen)
        lacking = used - instance.free_places(week) * UNITS_PER_PLACE
        if lacking > 0:
            short.append((week, lacking))
    places = max((-(-units // UNITS_PER_PLACE) for _, units in short), default=0)
    proven = result.status == 0
    return Shortage(places=places, units_short=tuple(short), chosen=chosen, proven=proven)


class _Rows:
    """The constraint rows over the options, and over slack when asked for."""

    def __init__(
        self,
        options: Sequence[PlanOption],
        groups: Sequence[Sequence[PlanOption]],
        instance: PlanInstance,
        *,
        slack: bool = False,
    ) -> None:
        self.weeks = [w for w in range(instance.weeks) if _may_overflow(groups, instance, w)]
        self.binaries = len(options)
        self.columns = len(options) + (len(self.weeks) + 1 if slack else 0)
        self.entries: list[tuple[int, int, float]] = []
        self.low: list[float] = []
        self.high: list[float] = []
        at: dict[tuple[int, int], list[int]] = {}
        for column, option in enumerate(options):
            at.setdefault((option.wish, option.sowing), []).append(column)
        for columns in at.values():
            self._row([(column, 1.0) for column in columns], 1, 1)
        for (wish, sowing), columns in at.items():
            earlier = at.get((wish, sowing - 1))
            if earlier is not None:
                weeks = [(c, float(options[c].sow_week)) for c in columns]
                weeks += [(c, -float(options[c].sow_week)) for c in earlier]
                self._row(weeks, instance.wishes[wish].gap_weeks, float("inf"))
        for index, week in enumerate(self.weeks):
            used = [(c, float(o.units(week))) for c, o in enumerate(options) if o.units(week)]
            if slack:
                over = len(options) + index
                self._row([(over, 1.0), (self.columns - 1, -UNITS_PER_PLACE)], -float("inf"), 0)
                used.append((over, -1.0))
            self._row(used, -float("inf"), instance.free_places(week) * UNITS_PER_PLACE)

    def _row(self, entries: list[tuple[int, float]], low: float, high: float) -> None:
        self.entries += [(len(self.low), column, value) for column, value in entries]
        self.low.append(low)
        self.high.append(high)

    def solve(self, costs: list[float], *, integrality: list[int], time_limit_s: float) -> Any:
        """Return scipy's result, or None when infeasible; raise SolverGaveUp at the limit."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        row, column, value = zip(*self.entries, strict=True)
        matrix = csr_array((value, (row, column)), shape=(len(self.low), self.columns))
        upper = [1.0] * self.binaries + [np.inf] * (self.columns - self.binaries)
        result = milp(
            np.array(costs),
            integrality=np.array(integrality),
            bounds=Bounds(0, np.array(upper)),
            constraints=LinearConstraint(matrix, np.array(self.low), np.array(self.high)),
            options={"time_limit": time_limit_s, "mip_rel_gap": 1e-9},
        )
        if result.x is not None:
            return result
        if result.status == 2:
            return None
        raise SolverGaveUp(result.message)


def _may_overflow(
    groups: Sequence[Sequence[PlanOption]], instance: PlanInstance, week: int
) -> bool:
    """Say whether the widest options of all sowings could exceed the week's places."""
    widest = sum(max((option.units(week) for option in group), default=0) for group in groups)
    return widest > instance.free_places(week) * UNITS_PER_PLACE
