"""What stands beside a tray that lost plants."""

from __future__ import annotations

from core.group.garden import Garden
from core.group.standing import standing


def beside(garden: Garden, tray: str) -> tuple[str, ...]:
    """Return the trays that hold plants and stand with a tray on its shelf, itself included.

    Without a shelf only the tray itself, while something lives in it.
    Checked by: tests/core/due/test_due_rules.py.
    """
    living = {growing.tray for _, growing in standing(garden) if growing.tray is not None}
    found = garden.trays.get(tray)
    shelf = None if found is None else found.shelf
    return tuple(
        code
        for code, row in garden.trays.items()
        if code in living and (code == tray or (shelf is not None and row.shelf == shelf))
    )
