"""What is due in a group on a day: a pure function of its records."""

from __future__ import annotations

from datetime import date

from core.due.items import Item, Work
from core.due.rules import RULES
from core.group.garden import Garden


def due_items(garden: Garden, today: date) -> tuple[Item, ...]:
    """Return all open work of a day, most pressing first, then by tray and sowing."""
    order = {work: place for place, work in enumerate(Work)}
    items = [item for rule in RULES for item in rule(garden, today)]
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
