"""When a plan does not fit: how much is lacking, in which weeks, and what would mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from core.plan.options import options_for
from core.plan.solver import Budget, Shortage, SolverGaveUp, choose
from core.plan.wishes import UNITS_PER_PLACE, PlanInstance, PlanWish

TRIED_CROPS = 6
"""Crops tried one by one for a way out, those with most places in the short weeks first."""

LATER_POT_UP_WEEKS = (1, 2)

TRIAL_S, LEAST_TRIAL_S = 0.3, 0.05
"""Longest a trial may take, and least time with which one is begun, seconds."""


class WayKind(StrEnum):
    """What to change."""

    FEWER_PLANTS = "fewer_plants"  # crop, amount = plants that fit
    FEWER_OF_ALL = "fewer_of_all"  # amount = per cent of every wish that fits
    MORE_PLACES = "more_places"  # amount = places to add
    LATER_POT_UP = "later_pot_up"  # crop, amount = weeks later
    NO_POT_UP = "no_pot_up"  # crop


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """One change with which everything fits, tried on the solver; see `WayKind`."""

    kind: WayKind
    crop: str | None = None
    amount: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortWeek:
    """A week and the whole places lacking in it."""

    week: int
    monday: date
    places: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanShort:
    """Nothing fits.

    Attributes:
        crop: the crop to look at first: the one that mends it with the smallest share of its own
            plants given up, or the greatest taker of the short weeks when no single crop would.
        weeks: weeks lacking places in the least short arrangement.
        places: places lacking in the worst of them.
        ways: changes that make it fit, each on its own; at least two.
        exact: the places are the least and the plants the most possible; False when time ran
            out first, and less might do.
    """

    crop: str
    weeks: tuple[ShortWeek, ...]
    places: int
    ways: tuple[WayOut, ...]
    exact: bool


class WindowFault(StrEnum):
    """Why a crop has no week."""

    CLOSED = "closed"
    FROST = "frost"
    SPACING = "spacing"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoWindow:
    """A crop that has no allowed week, whatever the space. `sowing` is 1, 2, ..."""

    crop: str
    sowing: int
    fault: WindowFault


def no_window(instance: PlanInstance) -> NoWindow | None:
    """Return the first crop without an allowed week, or None."""
    for index, wish in enumerate(instance.wishes):
        last_sown = -wish.gap_weeks
        for sowing in range(wish.sowings):
            options = options_for(instance, index, sowing)
            if not options:
                opened = replace(instance, closed_on=frozenset())
                fault = WindowFault.CLOSED
                if not options_for(opened, index, sowing):
                    fault = WindowFault.FROST
                return NoWindow(crop=wish.crop, sowing=sowing + 1, fault=fault)
            after = [o.sow_week for o in options if o.sow_week >= last_sown + wish.gap_weeks]
            if not after:
                return NoWindow(crop=wish.crop, sowing=sowing + 1, fault=WindowFault.SPACING)
            last_sown = min(after)
    return None


def way_out(instance: PlanInstance, lacking: Shortage, budget: Budget) -> PlanShort:
    """Return what is lacking and changes that mend it, searched within the time left."""
    search = _Search(Budget(budget.left() / 2))
    takers = _takers(instance, lacking)
    tried = takers[:TRIED_CROPS]
    kept = {c: search.most_plants(instance, c) for c in tried if search.fits(_without(instance, c))}
    wanted = {wish.crop: wish.plants for wish in instance.wishes}
    crop = max(kept, key=lambda c: kept[c] / wanted[c], default=takers[0])
    rest = _Search(budget)
    ways: list[WayOut] = []
    if kept.get(crop):
        ways.append(WayOut(kind=WayKind.FEWER_PLANTS, crop=crop, amount=kept[crop]))
    else:
        ways.append(WayOut(kind=WayKind.FEWER_OF_ALL, amount=rest.most_per_cent(instance)))
    ways.append(WayOut(kind=WayKind.MORE_PLACES, amount=lacking.places))
    potting = next(rest.potting(instance, tried), None)
    if potting is not None:
        ways.append(potting)
    return PlanShort(
        crop=crop,
        weeks=tuple(
            ShortWeek(week=week, monday=instance.monday(week), places=-(-units // UNITS_PER_PLACE))
            for week, units in lacking.units_short
        ),
        places=lacking.places,
        ways=tuple(ways),
        exact=lacking.proven and not (search.gave_up or rest.gave_up),
    )


def _takers(instance: PlanInstance, lacking: Shortage) -> list[str]:
    """Return the crops that stand in the short weeks, the greatest taker first."""
    taken: dict[str, int] = {}
    for option in lacking.chosen:
        units = sum(option.units(week) for week, _ in lacking.units_short)
        crop = instance.wishes[option.wish].crop
        taken[crop] = taken.get(crop, 0) + units
    return sorted((c for c in taken if taken[c]), key=lambda c: (-taken[c], c))


def _without(instance: PlanInstance, crop: str) -> PlanInstance:
    return replace(instance, wishes=tuple(w for w in instance.wishes if w.crop != crop))


def _with(instance: PlanInstance, wish: PlanWish) -> PlanInstance:
    wishes = tuple(wish if w.crop == wish.crop else w for w in instance.wishes)
    return replace(instance, wishes=wishes)


def _scaled(instance: PlanInstance, crop: str, plants: int) -> PlanInstance:
    """Return the instance with `plants` of a crop; sowings left without a plant are dropped."""
    if plants == 0:
        return _without(instance, crop)
    wish = next(w for w in instance.wishes if w.crop == crop)
    return _with(instance, replace(wish, plants=plants, sowings=min(wish.sowings, plants)))


class _Search:
    """Trials on the solver within a budget; a trial left open counts as not fitting."""

    def __init__(self, budget: Budget) -> None:
        self._budget = budget
        self.gave_up = False

    def fits(self, instance: PlanInstance) -> bool:
        """Say whether any plan fits; False and `gave_up` when the time did not suffice."""
        limit = min(TRIAL_S, self._budget.left())
        try:
            if limit > LEAST_TRIAL_S:
                return choose(instance, any_plan=True, time_limit_s=limit) is not None
        except SolverGaveUp:
            pass
        self.gave_up = True
        return False

    def most_plants(self, instance: PlanInstance, crop: str) -> int:
        """Return the most plants of a crop that fit; 0 is known to fit."""
        wish = next(w for w in instance.wishes if w.crop == crop)
        return self._most(wish.plants, lambda plants: _scaled(instance, crop, plants))

    def most_per_cent(self, instance: PlanInstance) -> int:
        """Return the greatest share of every wish, per cent, that fits; 0 fits."""

        def scaled(per_cent: int) -> PlanInstance:
            trial = instance
            for wish in instance.wishes:
                trial = _scaled(trial, wish.crop, wish.plants * per_cent // 100)
            return trial

        return self._most(100, scaled)

    def potting(self, instance: PlanInstance, crops: list[str]) -> Iterator[WayOut]:
        """Yield a later potting up, or none, of one crop that makes everything fit."""
        for crop in crops:
            wish = next(w for w in instance.wishes if w.crop == crop)
            if wish.pot_cells is None or wish.pot_up_weeks is None:
                continue
            for weeks in LATER_POT_UP_WEEKS:
                later = replace(wish, pot_up_weeks=wish.pot_up_weeks + weeks)
                if self.fits(_with(instance, later)):
                    yield WayOut(kind=WayKind.LATER_POT_UP, crop=crop, amount=weeks)
            if self.fits(_with(instance, replace(wish, pot_up_weeks=None))):
                yield WayOut(kind=WayKind.NO_POT_UP, crop=crop)

    def _most(self, too_many: int, trial: Callable[[int], PlanInstance]) -> int:
        """Return the greatest number below `too_many` whose trial fits, by halving."""
        fits = 0
        while too_many - fits > 1:
            middle = (fits + too_many) // 2
            if self.fits(trial(middle)):
                fits = middle
            else:
                too_many = middle
        return fits
