"""Hardening off, planting out, losses."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.errors import CellsEmpty, CountTooHigh, UserError, ValueAbsurd
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage, follow
from core.handlers.aim import choose, one_sowing, sowings_meant
from core.handlers.doers import doer, named
from core.handlers.growing_on import learn
from core.handlers.sowing import day_of
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Reply
from core.replies.reports import LostRecorded, OutRecorded, PlantedRecorded
from core.report_kinds import ReportKind
from core.requests import Lost, Out, Planted
from core.scene import Scene
from core.trade.crops.table import crop_by_id
from core.trade.dates.resow import latest_resow
from core.trade.frost.seasons import season_year

NEAR = timedelta(days=30)
"""Plants whose planting out is nearer than this may be meant by `out` without a place."""


def out(request: Out, scene: Scene, session: Session) -> Reply:
    """Record hours outside for the sowings named; nothing named = those hardening or about to,
    and when there is none of these, the member is asked.

    Raises ValueAbsurd, NoSuchSowing, CellsEmpty.
    """
    assert scene.group_id is not None
    if request.hours is not None and not 0 < request.hours <= 24:
        raise ValueAbsurd(quantity="hours", given=request.hours, lo=0.5, hi=24, unit="h")
    garden = snapshot.garden(session, scene.group_id, scene.today)
    found = _going_out(garden, request, scene.today)
    if isinstance(found, Choice):
        return found
    on = day_of(request, scene, earliest=min(s.sown_on for s, _ in found))
    did, for_name = doer(garden, request.for_whom)
    values = {"hours": request.hours, "overnight": request.overnight}
    act = write_act(
        session,
        scene,
        ReportKind.OUT,
        tuple(Entry(kind=ReportKind.OUT, on=on, values=values, sowing=s.id) for s, _ in found),
        did=did,
        for_name=for_name,
        summary={"targets": [s.code for s, _ in found], "hours": request.hours},
    )
    after = snapshot.garden(session, scene.group_id, scene.today)
    return OutRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        hours=request.hours,
        overnight=request.overnight,
        on=on,
        days=tuple(
            day
            for sowing in after.sowings
            if sowing.code in {s.code for s, _ in found}
            for day in _day(after, sowing, scene.today)
        ),
    )


def _going_out(
    garden: Garden, request: Out, today: date
) -> list[tuple[SowingOf, Growing]] | Choice:
    meant = sowings_meant(garden, request.where)
    found = [pair for pair in meant if pair[1].up > 0]
    if not found:
        tray = meant[0][1].tray if len({growing.tray for _, growing in meant}) == 1 else None
        raise CellsEmpty(tray=tray or "", cells="")
    if not request.where.empty:
        return found
    hardening = [pair for pair in found if pair[1].stage is Stage.HARDENING]
    due = hardening or [pair for pair in found if _near(garden, pair[0], today)]
    return due or choose(request, found)


def _near(garden: Garden, sowing: SowingOf, today: date) -> bool:
    out_on = outlook.plant_out_on(garden, sowing, today)
    return out_on is not None and out_on - today <= NEAR


def _day(
    garden: Garden, sowing: SowingOf, today: date
) -> list[tuple[str, str, int, int, float | None, str, float]]:
    course = outlook.hardening(garden, sowing, follow(sowing), today)
    if course is None:
        return []
    tomorrow = next((day for day in course.coming if day.day > today), None)
    plan = tomorrow.plan if tomorrow else None
    return [
        (
            sowing.code,
            sowing.crop,
            course.done,
            course.of,
            tomorrow.hours if tomorrow else None,
            plan.exposure.value if plan else "",
            plan.lowest_safe_c if plan else 0.0,
        )
    ]


def planted(request: Planted, scene: Scene, session: Session) -> Reply:
    """Record plants that left the trays; the sowing closes with the last one.

    Raises CountTooHigh, CellsEmpty.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    aimed = one_sowing(garden, request)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    if growing.alive == 0:
        raise CellsEmpty(tray=growing.tray or "", cells="")
    on = day_of(request, scene, earliest=growing.first_up_on, what=sowing.code)
    count = growing.alive if request.count is None else request.count
    if count > growing.alive:
        raise CountTooHigh(sowing=sowing.code, given=count, most=growing.alive, of="alive")
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.PLANTED,
        (
            Entry(
                kind=ReportKind.PLANTED,
                on=on,
                sowing=sowing.id,
                values={"count": count, "to": request.to_whom},
            ),
        ),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    learn(session, garden, sowing)
    _close_if_finished(session, sowing, growing.alive - count, on)
    frost = outlook.frost_of(garden)
    tender = crop_by_id(sowing.crop).hardiness_class in ("tender", "very_tender", "half_hardy")
    chance = None
    if frost is not None and tender and request.to_whom is None:
        year = season_year(on, frost.hemisphere, frost.side)
        chance = frost.chance_on_or_after(on, year=year)
    return PlantedRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=count,
        left=growing.alive - count,
        on=on,
        to_whom=request.to_whom,
        risk=chance.fitted if chance else None,
        risk_basis=frost.basis.value if frost and chance else None,
    )


def _close_if_finished(session: Session, sowing: SowingOf, left: int, on: date) -> None:
    if left == 0:
        session.get_one(m.Sowing, sowing.id).closed_on = on


def lost(request: Lost, scene: Scene, session: Session) -> Reply:
    """Record losses; a sowing of which nothing is left closes, with the date to resow by.

    Raises CountTooHigh, NoSuchSowing.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    aimed = one_sowing(garden, request)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    on = day_of(request, scene, earliest=sowing.sown_on, what=sowing.code)
    count = request.count
    if count is None and request.where.cells is not None and growing.up:
        tray = garden.trays[growing.tray or ""]
        meant = request.where.cells.within(tray.code, tray.rows, tray.cols)
        inside = len(set(meant) & set(growing.cells))
        count = min(growing.alive, inside) if inside < len(growing.cells) else None
    if count is not None and growing.up and count > growing.alive:
        raise CountTooHigh(sowing=sowing.code, given=count, most=growing.alive, of="alive")
    if count is not None and not growing.up:
        if count not in (len(sowing.cells), sowing.seeds):  # a few plants, of a sowing with none
            raise CountTooHigh(sowing=sowing.code, given=count, most=0, of="up")
        count = None
    everything = count is None or count == growing.alive
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
                values={"count": count, "all": everything, "cause": request.cause},
            ),
        ),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    if growing.up:
        learn(session, garden, sowing)
    left = 0 if everything else growing.alive - (count or 0)
    if everything:
        _close_if_finished(session, sowing, 0, on)
    resow_by, basis = _resow(garden, sowing.crop, scene.today) if everything else (None, None)
    return LostRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=growing.alive if everything and growing.up else count,
        left=left,
        on=on,
        cause=request.cause,
        resow_by=resow_by,
        resow_basis=basis,
    )


def _resow(garden: Garden, crop_id: str, today: date) -> tuple[date | None, str | None]:
    try:
        dates = outlook.schedule_of(garden, crop_id, today)
    except UserError:
        return None, None
    if dates is None:
        return None, None
    latest = latest_resow(crop_by_id(crop_id), dates, first_frost=outlook.frost_of(garden, "first"))
    return latest.on, latest.basis.value
