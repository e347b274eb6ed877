"""A plan changed line by line: put in, put otherwise, left out; pins carried over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from core.errors import DateTooOld, NoPlan
from core.folding import fold
from core.plan_errors import PlanLineMissing
from core.requests import MakePlan, PlanItem


def items_wanted(
    request: MakePlan, body: Mapping[str, Any] | None, today: date
) -> tuple[PlanItem, ...]:
    """Return the lines to plan: those of a request, put into the plan there is if it changes one.

    Args:
        body: of the plan in force, else of the one proposed last; None without any.

    A line named again takes the place of the one of its crop and variety, and keeps its pinned
    date unless it says another or `any day`. Raises NoPlan, PlanLineMissing, DateTooOld.
    """
    before = items_of(body) if body is not None else ()
    named = tuple(_pinned_as(item, before) for item in request.items)
    for item in named:
        if item.sow_on is not None and item.sow_on < today and item in request.items:
            raise DateTooOld(given=item.sow_on, earliest=today, what="today")
    if not request.change and not request.without:
        return named
    if body is None:
        if not named:
            raise NoPlan()
        return named
    for crop, variety in request.without:
        if not any(_is(item, crop, variety) for item in before):
            lines = tuple((item.crop, item.variety) for item in before)
            raise PlanLineMissing(crop=crop, variety=variety, known=lines)
    kept = [
        item
        for item in before
        if not any(_is(item, crop, variety) for crop, variety in request.without)
    ]
    return _put_in(kept, named)


def items_of(body: Mapping[str, Any]) -> tuple[PlanItem, ...]:
    """Return the lines that a plan was worked out for."""
    return tuple(
        PlanItem(
            crop=entry["crop"],
            plants=int(entry["plants"]),
            sowings=int(entry["sowings"]),
            variety=entry.get("variety"),
            sow_on=date.fromisoformat(entry["sow_on"]) if entry.get("sow_on") else None,
        )
        for entry in body.get("items", ())
    )


def _pinned_as(item: PlanItem, before: Sequence[PlanItem]) -> PlanItem:
    """Return a line with the pin that its crop and variety had, unless it is said otherwise."""
    if item.any_day:
        return replace(item, any_day=False, sow_on=None)
    if item.sow_on is not None:
        return item
    pins = (one.sow_on for one in before if _same(one, item))
    return replace(item, sow_on=next(pins, None))


def _put_in(kept: Sequence[PlanItem], named: Sequence[PlanItem]) -> tuple[PlanItem, ...]:
    found = list(kept)
    for item in named:
        at = next((n for n, one in enumerate(found) if _same(one, item)), None)
        if at is None:
            found.append(item)
        else:
            found[at] = item
    return tuple(found)


def _same(one: PlanItem, other: PlanItem) -> bool:
    return one.crop == other.crop and fold(one.variety or "") == fold(other.variety or "")


def _is(item: PlanItem, crop: str, variety: str | None) -> bool:
    """Whether a line is of a crop, and of a variety where one is named."""
    return item.crop == crop and (variety is None or fold(item.variety or "") == fold(variety))
