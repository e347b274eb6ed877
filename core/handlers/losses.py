"""Losses: of plants, of cells before anything showed, of what stands in the bed."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from core.errors import CountTooHigh, NoSuchSowing, UserError
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing
from core.group.losses import beside
from core.group.parts import Place
from core.group.standing import Standing, planted_out
from core.handlers.aim import choose, named_cells, one_sowing, source_values, sowings_meant
from core.handlers.closing import close_if_gone
from core.handlers.doers import doer, named
from core.handlers.growing_on import learn
from core.handlers.potting import plants_meant
from core.handlers.sowing import day_of
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Reply
from core.replies.reports import LostRecorded
from core.report_kinds import ReportKind
from core.requests import Lost
from core.scene import Scene
from core.trade.crops.table import crop_by_id
from core.trade.dates.resow import latest_resow
from core.trouble.causes import CAUSES


def lost(request: Lost, scene: Scene, session: Session) -> Reply:
    """Record losses; a sowing of which nothing is left closes, with the date to resow by.

    Raises CountTooHigh, NoSuchSowing.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    try:
        aimed = _aimed(garden, request)
    except NoSuchSowing:
        beds = _beds(garden, request, scene.today)
        if not beds:
            raise
        return _lost_outside(garden, request, scene, session, beds)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    on = day_of(request, scene, earliest=sowing.sown_on, what=sowing.code)
    values, count, everything = _what(garden, request, sowing, growing)
    told = _told(request.cause)
    spreads = told is not None and CAUSES.by_id()[told].spreads
    if spreads:
        values["spreads"] = True
    did, for_name = doer(garden, request.for_whom)
    entry = Entry(
        kind=ReportKind.LOST,
        on=on,
        sowing=sowing.id,
        values={"count": count, "all": everything, "cause": request.cause, **values},
    )
    act = write_act(
        session,
        scene,
        ReportKind.LOST,
        (entry,),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    if growing.up:
        learn(session, garden, sowing)
    after = close_if_gone(session, sowing, entry, scene)
    gone = after.parts == 0
    lost = growing.lost + (growing.alive if everything else count or 0)
    again = gone and growing.planted < max(1, lost)  # else most of it lives in the beds
    resow_by, basis = resow_until(garden, sowing, scene.today) if again else (None, None)
    return LostRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=growing.alive if everything and growing.up else count,
        left=after.alive,
        on=on,
        cause=request.cause,
        told=told,
        resow_by=resow_by,
        resow_basis=basis,
        closed=gone,
        cells=str(values.get("from_cells", "")) if values.get("seeds") else "",
        beside=_beside(garden, sowing, growing.tray, gone=gone) if spreads else (),
    )


def _beside(garden: Garden, sowing: SowingOf, tray: str | None, *, gone: bool) -> tuple[str, ...]:
    """Return the trays to look at tomorrow; the tray itself while something lives in it."""
    if tray is None:
        return ()
    found = beside(garden, tray)
    alone = all(other.code == sowing.code for other, _ in outlook.in_tray(garden, tray))
    return tuple(code for code in found if code != tray or not (gone and alone))


def _aimed(garden: Garden, request: Lost) -> Standing | Choice:
    found = sowings_meant(garden, request.where)
    codes = {sowing.code for sowing, _ in found}
    if len(found) > 1 and len(codes) == 1 and request.count is None:
        return found[0]  # all of one sowing, wherever it stands
    return one_sowing(garden, request) if len(found) == 1 else choose(request, found)


def _what(
    garden: Garden, request: Lost, sowing: SowingOf, growing: Growing
) -> tuple[dict[str, Any], int | None, bool]:
    """Return (the part and cells meant, plants, whether all of the sowing is lost)."""
    count = request.count
    cells = named_cells(garden, growing, request.where)
    values = source_values(garden, growing, request.where)
    if not growing.up:
        if cells and count in (None, len(cells), len(cells) * sowing.seeds_per_cell):
            return {**values, "seeds": True}, len(cells), False
        if count is not None and count not in (len(sowing.cells), sowing.seeds):
            raise CountTooHigh(sowing=sowing.code, given=count, most=0, of="up")
        return values, None, True
    if count is None and not cells:
        whole = growing.parts == 1 or not request.where.trays
        return ({} if whole else values), None, True
    if count is None:
        return (
            {**values, "cleared": True},
            plants_meant(garden, growing, request.where, None),
            False,
        )
    if count > growing.alive:
        raise CountTooHigh(sowing=sowing.code, given=count, most=growing.alive, of="alive")
    if cells and count >= len(cells):
        values["cleared"] = True
    if count == growing.alive and growing.parts == 1:
        return values, count, True
    return values, count, False


def _beds(garden: Garden, request: Lost, today: date) -> list[tuple[SowingOf, int]]:
    """Return the sowings with plants in the bed that a loss may be about, and how many."""
    where = request.where
    if where.trays or where.shelf:
        return []
    alive: dict[str, int] = {}
    sowings: dict[str, SowingOf] = {}
    for sowing, part in planted_out(garden, today):
        if where.crop not in (None, sowing.crop) or where.lot not in (None, sowing.lot):
            continue
        if where.sowing is not None and where.sowing.upper() != sowing.code:
            continue
        sowings[sowing.code] = sowing
        alive[sowing.code] = alive.get(sowing.code, 0) + part.alive
    return [(sowings[code], plants) for code, plants in alive.items()]


def _lost_outside(
    garden: Garden,
    request: Lost,
    scene: Scene,
    session: Session,
    beds: list[tuple[SowingOf, int]],
) -> Reply:
    """Plants lost in the bed: of the sowing named, else of the one planted last."""
    sowing, alive = beds[-1]
    on = day_of(request, scene, earliest=sowing.sown_on, what=sowing.code)
    count = alive if request.count is None else request.count
    if count > alive:
        raise CountTooHigh(sowing=sowing.code, given=count, most=alive, of="alive")
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.LOST,
        (
            Entry(
                kind=ReportKind.LOST,
                on=on,
                sowing=sowing.id,
                values={"count": count, "cause": request.cause, "place": Place.BED.value},
            ),
        ),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    return LostRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=count,
        left=alive - count,
        on=on,
        cause=request.cause,
        told=_told(request.cause),
        outside=True,
    )


def _told(cause: str | None) -> str | None:
    """Return the cause a member names, as a row of the table that says what to do about it."""
    if not cause:
        return None
    from core.trouble.diagnosis import cause_told

    found = cause_told(cause)
    return found.id if found is not None else None


def resow_until(garden: Garden, sowing: SowingOf, today: date) -> tuple[date | None, str | None]:
    """Return the last day to sow again for this season and what it rests on; None = not known."""
    try:
        dates = outlook.schedule_of(garden, sowing.crop, today, sowing.variety)
    except UserError:
        return None, None
    if dates is None:
        return None, None
    first = outlook.frost_of(garden, "first")
    latest = latest_resow(crop_by_id(sowing.crop), dates, first_frost=first)
    return latest.on, latest.basis.value
