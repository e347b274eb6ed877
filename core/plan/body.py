"""A season plan as it is kept: plain JSON values, and how it is read back.

The body of a plan: `items` asked for; `sowings`, each with an id of its own in every plan;
`direct`, crops sown outdoors; `late`; `space`, tray places by shelf and week; `notes`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from core.group import outlook
from core.group.garden import Garden
from core.plan.options import options_for
from core.plan.question import NO_SHELF, DirectCrop, PlanCrop, PlanQuestion
from core.plan.season_plan import PlannedSowing, SeasonPlan
from core.plan.wishes import PlanInstance
from core.requests import PlanItem
from core.trade.crops.table import crop_by_id
from core.trade.seed.amounts import ASSURANCE

Body = dict[str, Any]


def plan_body(
    plan_id: int,
    garden: Garden,
    items: Sequence[PlanItem],
    question: PlanQuestion,
    plan: SeasonPlan,
) -> Body:
    """Return a plan's JSON body; ids are `P<plan>-<n>`, so unique over all plans."""
    frost = outlook.frost_of(garden)
    by_key = {crop.key: (index, crop) for index, crop in enumerate(question.crops)}
    sowings = [
        _sowing(f"P{plan_id}-{n}", garden, question.instance, *by_key[planned.crop], planned)
        for n, planned in enumerate(plan.sowings, 1)
    ]
    return {
        "items": [item_values(item) for item in items],
        "sowings": [*(dict(entry) for entry in question.kept), *sowings],
        "sown": [entry["id"] for entry in question.kept],
        "direct": [_direct(crop, garden) for crop in question.direct],
        "late": [
            {"crop": item.crop, "variety": item.variety, "latest": day.isoformat()}
            for item, day in question.late
        ],
        "space": _space(question, plan),
        "notes": {
            "space_known": question.space_known,
            "guessed_shelves": list(question.guessed_shelves),
            "gap": round(plan.gap, 4),
            "moves": plan.shelf_moves,
            "assurance": ASSURANCE,
            "lots": sorted({c.seed.lot for c in question.crops if c.seed.lot}),
            "without_lot": any(c.seed.lot is None for c in question.crops),
            "own_up": any(c.seed.own_up for c in question.crops),
            "own_losses": any(c.seed.own_losses for c in question.crops),
            "short_season": _short_season(question),
            "frost": frost.basis.value if frost else None,
        },
    }


def _short_season(question: PlanQuestion) -> list[Body]:
    """Return the crops that the season is too short for, and by how many days."""
    found = [(crop.item, crop.schedule) for crop in question.crops]
    found += [(crop.item, crop.schedule) for crop in question.direct]
    return [
        {"crop": item.crop, "variety": item.variety, "days": schedule.short_days}
        for item, schedule in found
        if schedule.short_days
    ]


def item_values(item: PlanItem) -> Body:
    """Return a wish as JSON values."""
    return {
        "crop": item.crop,
        "plants": item.plants,
        "sowings": item.sowings,
        "variety": item.variety,
        "sow_on": item.sow_on.isoformat() if item.sow_on else None,
    }


def fullest_weeks(body: Mapping[str, Any], most: int = 3) -> tuple[tuple[date, int, int], ...]:
    """Return the weeks in which most places are taken: (Monday, taken, places), by date.

    Only weeks that take as much as the third fullest, at most `most`; none without shelves.
    """
    space = body.get("space", {})
    shelves = space.get("shelves", {})
    places = sum(int(shelf["places"]) for shelf in shelves.values())
    weeks = [date.fromisoformat(day) for day in space.get("weeks", ())]
    used = [sum(shelf["used"][n] for shelf in shelves.values()) for n in range(len(weeks))]
    order = sorted(range(len(weeks)), key=lambda n: (-used[n], weeks[n]))[:most]
    return tuple((weeks[n], used[n], places) for n in sorted(order) if used[n])


def why_moved(instance: PlanInstance, index: int, planned: PlannedSowing) -> str | None:
    """Return why a sowing is not in its target week: `space`, `closed` or `frost`; else None.

    `space` when its own cheapest week is another one, so that only the other crops hold it off
    (a choice not proven best counts as that); `closed` when it would be with every day open.
    """
    if planned.moved_weeks == 0:
        return None
    if not _cheapest(instance, index, planned):
        return "space"
    opened = replace(instance, closed_on=frozenset())
    return "frost" if _cheapest(opened, index, planned) else "closed"


def _cheapest(instance: PlanInstance, index: int, planned: PlannedSowing) -> bool:
    options = options_for(instance, index, planned.sowing - 1)
    own = [option.cost for option in options if option.sow_week == planned.sow_week]
    best = min((option.cost for option in options), default=0.0)
    return bool(own) and min(own) <= best + 1e-9


def _sowing(
    entry_id: str,
    garden: Garden,
    instance: PlanInstance,
    index: int,
    crop: PlanCrop,
    planned: PlannedSowing,
) -> Body:
    wish = instance.wishes[index]
    latest = wish.sow_latest + (planned.sowing - 1) * wish.gap_weeks
    first = [stand for stand in planned.stands if stand.week == planned.sow_week]
    shelf = max(first, key=lambda stand: stand.places).shelf if first else NO_SHELF
    frost = outlook.frost_of(garden)
    assert frost is not None
    chance = frost.chance_on_or_after(planned.out_on, year=crop.schedule.year).fitted
    sow_on = planned.sow_on
    if crop.item.sow_on is not None:
        sow_on = crop.item.sow_on + timedelta(weeks=wish.gap_weeks * (planned.sowing - 1))
    harden = min(crop.indoors.harden_days, (planned.out_on - planned.sow_on).days)
    return {
        "id": entry_id,
        "crop": crop.item.crop,
        "variety": crop.item.variety,
        "plants": planned.plants,
        "sow_on": sow_on.isoformat(),
        "pinned": crop.item.sow_on is not None,
        "usual_first": crop.indoors.sow.earliest.isoformat(),
        "usual_last": crop.indoors.sow.latest.isoformat(),
        "latest": max(sow_on, instance.monday(latest)).isoformat(),
        "cells": planned.cells,
        "seeds_per_cell": crop.size.chosen.seeds_per_cell,
        "trays": round(planned.trays, 2),
        "pots": planned.pots,
        "pot_trays": round(planned.pot_trays, 2),
        "pot_on": planned.pot_on.isoformat() if planned.pot_on else None,
        "harden_from": (planned.out_on - timedelta(days=harden)).isoformat(),
        "plant_out": planned.out_on.isoformat(),
        "shelf": shelf or None,
        "frost_chance": round(chance, 4),
        "frost_limits": crop.schedule.level < 1,
        "lot": crop.seed.lot,
        "moved_weeks": planned.moved_weeks,
        "why": why_moved(instance, index, planned),
        "late_weeks": planned.late_weeks,
        "behind_days": crop.behind_days if planned.sowing == 1 else 0,
    }


def _direct(crop: DirectCrop, garden: Garden) -> Body:
    outdoors = crop.schedule.outdoors
    assert outdoors is not None
    return {
        "crop": crop.item.crop,
        "variety": crop.item.variety,
        "plants": crop.item.plants,
        "earliest": outdoors.sow.earliest.isoformat(),
        "sow_on": (crop.item.sow_on or outdoors.sow.target).isoformat(),
        "latest": outdoors.sow.latest.isoformat(),
        "frost_chance": round(outdoors.chance.fitted, 4),
        "frost_limits": crop.schedule.level < 1,
        "soil_c": crop_by_id(crop.item.crop).min_soil_plantout_c,
    }


def _space(question: PlanQuestion, plan: SeasonPlan) -> Body:
    """Return the places taken in each week by what grows now and by the plan."""
    instance = question.instance
    if not question.space_known:
        return {"weeks": [], "shelves": {}}
    planned = {(each.shelf, each.week): each.places for each in plan.shelf_weeks}
    last = 1 + max(
        [week for _, week in planned]
        + [n for shelf in instance.shelves for n, taken in enumerate(shelf.taken) if taken],
        default=0,
    )

    def used(shelf_index: int) -> Iterable[int]:
        shelf = instance.shelves[shelf_index]
        for week in range(last):
            taken = shelf.taken[week] if week < len(shelf.taken) else 0
            yield taken + planned.get((shelf.name, week), 0)

    return {
        "weeks": [instance.monday(week).isoformat() for week in range(last)],
        "shelves": {
            shelf.name: {"places": shelf.places, "used": list(used(index))}
            for index, shelf in enumerate(instance.shelves)
        },
    }
