"""What is due in a group on a day: a pure function of its records."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.due.items import COLD, Item, Work
from core.due.once import complete
from core.due.rules import RULES
from core.group.garden import Garden
from core.group.pauses import tray_rests


def due_items(garden: Garden, today: date) -> tuple[Item, ...]:
    """Return all open work of a day, most pressing first, then by tray and sowing."""
    key = ("due_items", today)
    if key not in garden.worked_out:
        items = [item for rule in RULES for item in rule(garden, today)]
        garden.worked_out[key] = _in_order(items)
    found: tuple[Item, ...] = garden.worked_out[key]
    return found


def told_items(garden: Garden, today: date) -> tuple[Item, ...]:
    """Return all that may be told unasked: the open work, and what went well."""
    return _in_order([*due_items(garden, today), *complete(garden, today)])


def _in_order(items: list[Item]) -> tuple[Item, ...]:
    order = {work: place for place, work in enumerate(Work)}
    return tuple(
        sorted(
            items,
            key=lambda i: (
                order[i.kind],
                i.shelf or "",
                len(i.tray or ""),
                i.tray or "",
                int((i.sowing or "S0")[1:]),
                i.crop or "",
            ),
        )
    )


def awake(garden: Garden, today: date, item: Item) -> Item | None:
    """Return what is left of a piece of work without the trays whose reminders rest.

    None = nothing is. A cold night is told of plants outside whatever rests.
    """
    if item.kind in COLD:
        return item
    if tray_rests(garden, item.tray, today):
        return None
    left = [tray for tray in item.trays if not tray_rests(garden, tray, today)]
    if len(left) == len(item.trays):
        return item
    if not left:
        return None
    rest = {
        name: [tray for tray in item.values[name] if tray in left]
        for name in ("trays", "dry")
        if item.values.get(name)
    }
    return replace(item, values={**item.values, **rest})
