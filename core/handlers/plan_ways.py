"""What to ask instead when a plan does not fit, or a crop has no week."""

from __future__ import annotations

from dataclasses import replace

from core.folding import fold
from core.plan.question import PlanQuestion
from core.plan.ways_out import NoWindow, PlanShort, WayKind
from core.replies.base import Option
from core.replies.plans import PlanDoesNotFit, PlanNoWindow
from core.requests import MakePlan, PlanItem, SetShelf


def short(request: MakePlan, question: PlanQuestion, found: PlanShort) -> PlanDoesNotFit:
    """Return what is lacking, and each way out with the changed request."""
    by_key = {crop.key: crop.item for crop in question.crops}
    first = by_key[found.crop]
    ways: list[Option] = []
    also: list[tuple[str, str, int]] = []
    for way in found.ways:
        match way.kind:
            case WayKind.FEWER_PLANTS if way.crop is not None:
                item = by_key[way.crop]
                fewer = MakePlan(items=_fewer(request.items, item, way.amount))
                values = {"crop": item.crop, "variety": item.variety, "plants": way.amount}
                ways.append(Option(kind="fewer_plants", request=fewer, values=values))
            case WayKind.FEWER_OF_ALL if way.amount > 0:
                scaled = tuple(_scaled(item, way.amount) for item in request.items)
                items = tuple(item for item in scaled if item.plants)
                if items:
                    ways.append(
                        Option(
                            kind="fewer_of_all",
                            request=MakePlan(items=items),
                            values={"percent": way.amount},
                        )
                    )
            case WayKind.MORE_PLACES:
                shelf = max(question.instance.shelves, key=lambda each: each.places)
                places = shelf.places + way.amount
                ways.append(
                    Option(
                        kind="more_places",
                        request=SetShelf(code=shelf.name, places=places),
                        values={"shelf": shelf.name, "places": places, "more": way.amount},
                    )
                )
            case WayKind.LATER_POT_UP | WayKind.NO_POT_UP if way.crop is not None:
                also.append((way.kind.value, by_key[way.crop].crop, way.amount))
            case _:
                pass
    return PlanDoesNotFit(
        crop=first.crop,
        variety=first.variety,
        places=found.places,
        weeks=tuple((week.monday, week.places) for week in found.weeks),
        exact=found.exact,
        ways=tuple(ways),
        also=tuple(also),
        guessed_shelves=question.guessed_shelves,
    )


def _same(left: PlanItem, right: PlanItem) -> bool:
    return (left.crop, fold(left.variety or "")) == (
        right.crop,
        fold(right.variety or ""),
    )


def _fewer(items: tuple[PlanItem, ...], planned: PlanItem, plants: int) -> tuple[PlanItem, ...]:
    """Return the list asked for with `plants` of one crop more than what is kept of it."""
    asked = sum(item.plants for item in items if _same(item, planned))
    total = asked - planned.plants + plants
    first = next(item for item in items if _same(item, planned))
    fewer = replace(first, plants=total, sowings=min(total, first.sowings))
    return tuple(
        fewer if item is first else item
        for item in items
        if item is first or not _same(item, planned)
    )


def _scaled(item: PlanItem, percent: int) -> PlanItem:
    plants = item.plants * percent // 100
    return replace(item, plants=plants, sowings=max(1, min(plants, item.sowings)))


def no_window(request: MakePlan, question: PlanQuestion, found: NoWindow) -> PlanNoWindow:
    """Return which crop has no week and why, with what to ask instead."""
    crop = next(each for each in question.crops if each.key == found.crop)
    ways: list[Option] = []
    values = {"crop": crop.item.crop, "variety": crop.item.variety}
    if found.sowing > 1:
        once = found.sowing - 1
        items = tuple(
            replace(item, sowings=min(item.sowings, once)) if _same(item, crop.item) else item
            for item in request.items
        )
        ways.append(
            Option(
                kind="fewer_sowings",
                request=MakePlan(items=items),
                values={**values, "sowings": once},
            )
        )
    others = tuple(item for item in request.items if not _same(item, crop.item))
    if others:
        ways.append(Option(kind="without", request=MakePlan(items=others), values=values))
    return PlanNoWindow(
        item=crop.item,
        sowing=found.sowing,
        fault=found.fault.value,
        sow=(crop.indoors.sow.earliest, crop.indoors.sow.latest),
        ways=tuple(ways),
    )
