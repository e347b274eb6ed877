"""A loss to something that spreads: what stands beside is looked at the day after."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from core.due.items import Item, Work
from core.group.garden import Garden, SowingOf
from core.group.losses import beside

LOOK_AFTER = timedelta(days=1)
"""Damping off shows in the next cells within a day or two; common practice."""

LOOK_FOR = timedelta(days=2)
"""It is on the list of that one day: whoever waters later sees what there is; choice."""

_LOOKED = frozenset({"moist", "lost", "note"})


def look_beside(garden: Garden, today: date) -> Iterator[Item]:
    """Trays beside one that lost plants to something that spreads, until somebody has looked."""
    told: set[str] = set()
    for sowing in (*garden.sowings, *garden.lately_closed):
        for report in sowing.happenings:
            if report.kind != "lost" or not report.values.get("spreads"):
                continue
            first = report.on + LOOK_AFTER
            if not first <= today < report.on + LOOK_FOR or sowing.tray in told:
                continue
            trays = [
                code for code in beside(garden, sowing.tray) if not _looked(garden, code, first)
            ]
            if trays:
                told.add(sowing.tray)
                yield _item(sowing, first, trays)


def _looked(garden: Garden, tray: str, since: date) -> bool:
    reports = garden.tray_reports.get(tray, ())
    return any(r.kind in _LOOKED and r.on >= since for r in reports)


def _item(sowing: SowingOf, since: date, trays: list[str]) -> Item:
    return Item(
        kind=Work.BESIDE,
        since=since,
        tray=sowing.tray,
        values={"trays": trays},
    )
