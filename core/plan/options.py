"""Every way one sowing of a plan may go: weeks of sowing, potting up and planting out."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.plan.wishes import UNITS_PER_PLACE, PlanInstance, PlanWish

POT_UP_GRACE_WEEKS = 2
"""How long potting up may wait for the building to open; from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOption:
    """One way for one sowing.

    Attributes:
        wish: index of the wish; sowing: 0, 1, ...
        sow_week, out_week: sown, planted out; the place is free from `out_week` on.
        pot_week: potted up; None = not.
        sown_units, potted_units: twelfths of a place taken before and after potting up.
        cost: by the instance's weights, >= 0.
    """

    wish: int
    sowing: int
    sow_week: int
    pot_week: int | None
    out_week: int
    sown_units: int
    potted_units: int
    cost: float

    def units(self, week: int) -> int:
        """Return the twelfths of a place taken in a week."""
        if not self.sow_week <= week < self.out_week:
            return 0
        potted = self.pot_week is not None and week >= self.pot_week
        return self.potted_units if potted else self.sown_units


def options_for(instance: PlanInstance, wish_index: int, sowing: int) -> tuple[PlanOption, ...]:
    """Return every allowed option of one sowing; empty when closures or risk leave none."""
    wish = instance.wishes[wish_index]
    shift = sowing * wish.gap_weeks
    found: list[PlanOption] = []
    for sow_week in range(wish.sow_earliest + shift, wish.sow_latest + shift + 1):
        if not wish.pinned and (
            instance.closed(sow_week) or _emerges_alone(instance, wish, sow_week)
        ):
            continue
        for age in range(wish.weeks_min, wish.weeks_max + 1):
            out_week = sow_week + age
            if instance.closed(out_week) or wish.risk(out_week) > wish.risk_max:
                continue
            allowed, pot_week = _pot_week(instance, wish, sow_week, out_week)
            if not allowed:
                continue
            found.append(
                PlanOption(
                    wish=wish_index,
                    sowing=sowing,
                    sow_week=sow_week,
                    pot_week=pot_week,
                    out_week=out_week,
                    sown_units=units_for(instance, wish.cells_in(sowing), wish.tray_cells),
                    potted_units=units_for(
                        instance, wish.pots_in(sowing), wish.pot_cells or wish.tray_cells
                    ),
                    cost=_cost(instance, wish, shift, sow_week, out_week),
                )
            )
    return tuple(found)


def units_for(instance: PlanInstance, items: int, per_place: int) -> int:
    """Return the twelfths of a place that `items` cells or pots take, rounded up."""
    if instance.share_trays:
        return math.ceil(items * UNITS_PER_PLACE / per_place - 1e-9)
    return math.ceil(items / per_place - 1e-9) * UNITS_PER_PLACE


def _emerges_alone(instance: PlanInstance, wish: PlanWish, sow_week: int) -> bool:
    if not wish.fine_seed:
        return False
    first, last = wish.emerge_weeks
    return any(instance.closed(sow_week + week) for week in range(first, last + 1))


def _pot_week(
    instance: PlanInstance, wish: PlanWish, sow_week: int, out_week: int
) -> tuple[bool, int | None]:
    """Return whether the option is allowed, and the week of potting up or None.

    Plants that go out before they would be potted up are not.
    """
    if wish.pot_cells is None or wish.pot_up_weeks is None:
        return True, None
    due = sow_week + wish.pot_up_weeks
    if due >= out_week:
        return True, None
    for week in range(due, min(due + POT_UP_GRACE_WEEKS, out_week - 1) + 1):
        if not instance.closed(week):
            return True, week
    return False, None


def _cost(
    instance: PlanInstance, wish: PlanWish, shift: int, sow_week: int, out_week: int
) -> float:
    weights = instance.weights
    target = wish.sow_target + shift
    return (
        weights.late * max(0, out_week - target - wish.weeks_usual)
        + weights.frost * wish.risk(out_week)
        + weights.early * max(0, target - sow_week)
        + weights.age * abs(out_week - sow_week - wish.weeks_usual)
    )
