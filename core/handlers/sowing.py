"""Sowing; the day of a report and the window of a sowing, as other handlers say them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.cells import Cell, cells_text
from core.errors import (
    CellsTaken,
    DateInFuture,
    DateTooOld,
    LotUnknown,
    NoRoom,
)
from core.folding import fold
from core.group import outlook
from core.group.garden import Garden, LotOf, TrayOf, sowing_code
from core.group.standing import free_cells, free_text, taken_cells, tray_named
from core.group.to_sow import packets
from core.handlers.aim import variety_of
from core.handlers.doers import doer, named
from core.handlers.lots import left_of
from core.records import models as m
from core.records import rows, snapshot
from core.records.acts import write_act
from core.replies.base import Choice, Option, Reply
from core.replies.reports import Sown
from core.report_kinds import ReportKind
from core.requests import Report, Sow
from core.scene import Scene
from core.shown.windows import said_window
from core.trade.crops.table import Crop, crop_by_id
from core.trade.seed.stock import Stock

OLDEST = timedelta(days=400)
"""A report of a day longer ago than this is taken for a slip."""


LATE_DAYS, EARLY_DAYS = 28, 84
"""A sowing so long after or before a planned one stands for it; from memory."""

IN_TWO_GOES = timedelta(days=3)
"""Two sowings of a crop so close together are one; from memory."""

TYPED_TWICE = timedelta(minutes=10)
"""The same sowing told again so soon may be the same one; from memory."""


def day_of(request: Report, scene: Scene, *, earliest: date | None = None, what: str = "") -> date:
    """Return the date a report is of; raise DateInFuture or DateTooOld."""
    on = request.on or scene.today
    if on > scene.today:
        raise DateInFuture(given=on, today=scene.today)
    least = earliest or scene.today - OLDEST
    if on < least:
        raise DateTooOld(given=on, earliest=least, what=what or "today")
    return on


def sow(request: Sow, scene: Scene, session: Session) -> Reply:
    """Record a sowing in free cells.

    Raises TrayUnknown, CellOutside, CellsTaken, NoRoom, LotUnknown, DateInFuture, DateTooOld.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    lot = _lot(garden, request)
    crop = crop_by_id(request.crop or (lot.crop if lot else ""))
    if not request.where.trays:
        return _which_tray(garden, request)
    tray = tray_named(garden, request.where.trays[0])
    cells = cells_meant(garden, tray, request)
    on = day_of(request, scene)
    per_cell = request.seeds_per_cell or 1
    twin = (
        None
        if request.again
        else _twin(session, scene, garden, request, (crop.id, tray.code, on, len(cells)))
    )
    if twin is not None:
        return twin
    did, for_name = doer(garden, request.for_whom)
    group = session.get_one(m.Group, scene.group_id)
    act = write_act(
        session,
        scene,
        ReportKind.SOW,
        did=did,
        for_name=for_name,
        summary={
            "crop": crop.id,
            "tray": tray.code,
            "cells": cells_text(cells),
            "sowing": sowing_code(group.next_sowing),
        },
    )
    row = m.Sowing(
        group_id=scene.group_id,
        act_id=act.id,
        number=group.next_sowing,
        crop=crop.id,
        variety=request.variety or (lot.variety if lot else None),
        lot_id=lot.id if lot else None,
        tray_id=tray.id,
        cells=" ".join(cell.label for cell in cells),
        sown_on=on,
        seeds_per_cell=per_cell,
        depth_mm=request.depth_mm,
        plan_item=_plan_item(
            garden, crop.id, request.variety or (lot.variety if lot else None), on
        ),
        speed_ratio=None,
        speed_seeds=None,
        closed_on=None,
        void=False,
    )
    group.next_sowing += 1
    session.add(row)
    session.flush()
    sowing = rows.sowing_values(row, tray.code, lot.code if lot else None, (), act.did_id)
    first = not any(other.crop == crop.id for other in garden.sowings)
    hazards = tuple(hazard.value for hazard in crop.hazards) if first else ()  # said once
    treated = lot is not None and lot.treated
    return Sown(
        act=act.number,
        for_name=for_name or named(garden, did),
        cautions=(*(("treated_seed",) if treated else ()), *hazards),
        sowing=sowing.code,
        crop=crop.id,
        variety=sowing.variety,
        lot=sowing.lot,
        tray=tray.code,
        cells=cells_text(cells),
        cell_count=len(cells),
        seeds=sowing.seeds,
        on=on,
        window=said_window(garden, sowing, scene.today),
        depth_mm=_depth(crop),
        germination_light=crop.germination_light.value,
        free_after=len(free_cells(garden, tray)) - len(cells),
        hints=_timing(garden, crop, on),
        sown_deep_mm=_too_deep(crop, request.depth_mm),
        stock=_stock(session, garden, lot),
    )


def _stock(session: Session, garden: Garden, lot: LotOf | None) -> Stock | None:
    """Return what is left of the lot sown of, where its amount was told."""
    if lot is None or (lot.seeds is None and lot.grams is None):
        return None
    return left_of(lot, snapshot.sown_of_lots(session, garden.site.group_id).get(lot.id, 0))


def _twin(
    session: Session,
    scene: Scene,
    garden: Garden,
    request: Sow,
    meant: tuple[str, str, date, int],
) -> Choice | None:
    """Ask when the very same sowing was told a moment ago: two people may have told of one.

    `meant`: crop, tray, day and number of cells.
    """
    per_cell = request.seeds_per_cell or 1
    for sowing in reversed(garden.sowings):
        same = (sowing.crop, sowing.tray, sowing.sown_on, len(sowing.cells)) == meant
        same = same and sowing.seeds_per_cell == per_cell
        if not same or request.lot not in (None, sowing.lot):
            continue
        if request.variety not in (None, sowing.variety):
            continue
        told = session.get_one(m.Act, sowing.act).recorded_at
        if scene.now - told <= TYPED_TWICE:
            return Choice(
                question="sown_twice",
                options=(Option(kind="another", request=replace(request, again=True)),),
                values={"sowing": sowing.code, "crop": sowing.crop, "cells": len(sowing.cells)},
            )
    return None


DEEP_TIMES, DEEP_MM = 2.0, 10.0
"""A depth is doubted from so many times the crop's own, and so much more. From memory."""


def _too_deep(crop: Crop, depth_mm: float | None) -> float | None:
    most = crop.sow_depth_mm_max
    if depth_mm is None or most is None or depth_mm <= max(DEEP_TIMES * most, most + DEEP_MM):
        return None
    return depth_mm


def _lot(garden: Garden, request: Sow) -> LotOf | None:
    if request.lot is None:
        return _lot_of_variety(garden, request)
    lot = garden.lots.get(request.lot.upper())
    if lot is None or (request.crop is not None and lot.crop != request.crop):
        raise LotUnknown(lot=request.lot, known=tuple(garden.lots))
    return lot


def _lot_of_variety(garden: Garden, request: Sow) -> LotOf | None:
    """Return the only lot in use of the variety named; None where there are none or several."""
    if request.variety is None or request.crop is None:
        return None
    codes = packets(garden, request.crop, request.variety)
    return garden.lots[codes[0]] if len(codes) == 1 else None


def cells_meant(garden: Garden, tray: TrayOf, request: Sow) -> tuple[Cell, ...]:
    """Return the free cells that a request names or counts; raise CellsTaken, NoRoom."""
    free = free_cells(garden, tray)
    if request.cell_count:
        if request.cell_count > len(free):
            raise NoRoom(tray=tray.code, asked=request.cell_count, free=len(free))
        return tuple(free[: request.cell_count])
    if request.where.cells is None:
        if not free:
            raise NoRoom(tray=tray.code, asked=tray.cells, free=0)
        return tuple(free)
    cells = request.where.cells.within(tray.code, tray.rows, tray.cols)
    taken = taken_cells(garden, tray.code)
    held = [cell for cell in cells if cell in taken]
    if held:
        sowing = taken[held[0]]
        raise CellsTaken(
            tray=tray.code,
            cells=cells_text(held),
            sowing=sowing.code,
            crop=sowing.crop,
            free=free_text(garden, tray),
        )
    return cells


def _which_tray(garden: Garden, request: Sow) -> Choice:
    wanted = request.cell_count or 1
    fits = [
        (tray, len(free))
        for tray in garden.trays.values()
        if len(free := free_cells(garden, tray)) >= wanted
    ]
    return Choice(
        question="tray",
        options=tuple(
            Option(
                kind="tray",
                request=replace(request, where=replace(request.where, trays=(tray.code,))),
                values={"tray": tray.code, "free": free},
            )
            for tray, free in fits[:8]
        ),
        values={"crop": request.crop, "any": bool(garden.trays)},
    )


def _depth(crop: Crop) -> tuple[float, float] | None:
    if crop.sow_depth_mm_min is None or crop.sow_depth_mm_max is None:
        return None
    return crop.sow_depth_mm_min, crop.sow_depth_mm_max


def _plan_item(garden: Garden, crop: str, variety: str | None, on: date) -> str | None:
    """Return the plan's sowing that this one fulfils: the nearest open one of the crop.

    A line of a named variety is not fulfilled by another one. Seed sown weeks early stands for the
    planned one too. What is sown in two goes within a few days is one planned sowing, not the
    next as well.
    """
    named = fold(variety or "")
    entries = (garden.plan or {}).get("sowings", ())
    open_ = [
        e
        for e in entries
        if e["crop"] == crop
        and e["id"] not in garden.sown_items
        and (not named or fold(e.get("variety") or "") in ("", named))
    ]
    ahead = {str(e["id"]): (date.fromisoformat(e["sow_on"]) - on).days for e in open_}
    near = [(abs(n), id_) for id_, n in ahead.items() if -LATE_DAYS <= n <= EARLY_DAYS]
    just = [
        sowing.plan_item
        for sowing in garden.sowings
        if sowing.crop == crop
        and sowing.plan_item
        and abs(sowing.sown_on - on) <= IN_TWO_GOES
        and fold(variety_of(garden, sowing) or "") == named
    ]
    if just and (not near or min(near)[0] > IN_TWO_GOES.days):
        return just[-1]
    return min(near)[1] if near else None


def _timing(garden: Garden, crop: Crop, on: date) -> tuple[str, ...]:
    """Say when a sowing is more than two weeks outside the crop's dates here."""
    from core.errors import UserError

    try:
        dates = outlook.schedule_of(garden, crop.id, on)
    except UserError:
        return ()
    if dates is None or dates.indoors is None:
        return ()
    slack = timedelta(days=14)
    if on < dates.indoors.sow.earliest - slack:
        return ("too_early",)
    if on > dates.indoors.sow.latest + slack:
        return ("too_late",)
    return ()
