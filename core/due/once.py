"""What is said once: a first warm spell, the last day to sow again, a tray that is complete."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from statistics import median

from core.due.items import Item, Work
from core.errors import UserError
from core.group import outlook
from core.group.coming_up import usual_temp
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import Growing, follow
from core.group.standing import standing
from core.requests import TempKind
from core.trade.crops.table import crop_by_id
from core.trade.dates.resow import latest_resow
from core.trade.stage import TrayStage
from core.trade.water import interval as wt

DOUBLED = 2.0
"""Water use against the usual from which a spell is told of: a look a day is then too few."""

USUAL_OF = timedelta(days=21)
"""So far back the readings reach that say what is usual; choice."""

TOLD_WITHIN = timedelta(days=1)
"""A spell, or a tray that is complete, is told of at the first look after it is known."""

WELL_DONE_FOR = timedelta(days=7)
"""So long a well-done waits for a message with more in it; choice."""


def warm_spell(garden: Garden, today: date) -> Iterator[Item]:
    """The first days, as far back as readings reach, on which trays use twice their usual water.

    By the model of core/trade/water/interval.py, from the readings of trays, shelves and room.
    """
    hot: dict[date, list[str]] = {}
    for code in garden.trays:
        for day in _doubled_on(garden, code):
            hot.setdefault(day, []).append(code)
    if not hot:
        return
    first = min(hot)
    if first <= today <= first + TOLD_WITHIN:
        yield Item(kind=Work.WARM, since=first, values={"trays": hot[first]})


def _doubled_on(garden: Garden, tray: str) -> list[date]:
    living = outlook.in_tray(garden, tray)
    temps = _temps(garden, tray)
    found = []
    for day in sorted(temps):
        stage = outlook.tray_stage(living, day)
        if not living or stage is TrayStage.BEFORE_EMERGENCE:
            continue
        before = [t for on, at in temps.items() if timedelta(1) < day - on <= USUAL_OF for t in at]
        usual = median(before) if before else usual_temp(garden, tray)[0]
        air = outlook.tray_air(garden, tray, day, stage)
        lasts = [
            wt.prior_interval(replace(air, air_temp_c=min(45.0, max(0.0, temp))))
            for temp in (usual, max(temps[day]))
        ]
        if lasts[0] >= DOUBLED * lasts[1]:
            found.append(day)
    return found


def _temps(garden: Garden, tray: str) -> dict[date, list[float]]:
    """Return the temperatures read about a tray, in it or in its room, by day, °C."""
    shelf = garden.trays[tray].shelf
    reports: list[Happening] = [
        *garden.tray_reports.get(tray, ()),
        *garden.shelf_reports.get(shelf or "", ()),
        *(r for r in garden.site_reports if r.values.get("of") == TempKind.AIR),
    ]
    found: dict[date, list[float]] = {}
    for report in reports:
        of = report.values.get("of", TempKind.MIX)
        if report.kind == "temp" and of in (TempKind.MIX, TempKind.AIR):
            found.setdefault(report.on, []).append(float(report.values["temp_c"]))
    return found


def last_resow(garden: Garden, today: date) -> Iterator[Item]:
    """What was lost whole and may be sown again today for the last time.

    Where nobody can get in on the last day, on the one before that.
    """
    for sowing in garden.lately_closed:
        growing = follow(sowing)
        if growing.planted or not (growing.lost or growing.seeds_failed):
            continue
        again = any(
            other.crop == sowing.crop and other.sown_on > sowing.sown_on
            for other in (*garden.sowings, *garden.lately_closed)
        )
        last = None if again else _last_open_day(garden, sowing, today)
        if last == today:
            yield Item(
                kind=Work.RESOW,
                since=today,
                tray=sowing.tray,
                sowing=sowing.code,
                crop=sowing.crop,
                variety=sowing.variety,
            )


def _last_open_day(garden: Garden, sowing: SowingOf, today: date) -> date | None:
    try:
        dates = outlook.schedule_of(garden, sowing.crop, today)
    except UserError:
        return None
    if dates is None:
        return None
    first_frost = outlook.frost_of(garden, "first")
    last = latest_resow(crop_by_id(sowing.crop), dates, first_frost=first_frost).on
    while last > today and garden.closed(last):
        last -= timedelta(days=1)
    return last


def complete(garden: Garden, today: date) -> Iterator[Item]:
    """Trays that have a plant in every cell sown, since that was counted."""
    for code in garden.trays:
        here = [(s, g) for s, g in standing(garden) if g.tray == code]
        days = [_full_on(sowing, growing) for sowing, growing in here]
        known = [day for day in days if day is not None]
        if not days or len(known) < len(days):
            continue
        if today - WELL_DONE_FOR < max(known) <= today:
            yield Item(kind=Work.WELL, since=max(known), tray=code)


def _full_on(sowing: SowingOf, growing: Growing) -> date | None:
    """Return when every cell of a sowing had a plant; None while that is not sure, or no longer so.

    A total tells of seeds, not of cells: with several seeds a cell it is sure only of so many
    that no cell can be without one.
    """
    cells = len(sowing.cells)
    sure = (cells - 1) * sowing.seeds_per_cell + 1
    if not cells or growing.alive < cells:
        return None
    return next((on for on, up in growing.counts if up >= sure), None)
