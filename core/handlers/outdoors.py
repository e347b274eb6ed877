"""Hardening off and planting out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.errors import CellsEmpty, CountTooHigh, ValueAbsurd
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage
from core.group.standing import Standing, standing
from core.handlers.aim import choose, one_sowing, source_values, sowings_meant, where_of
from core.handlers.closing import close_if_gone
from core.handlers.doers import doer, named
from core.handlers.growing_on import learn
from core.handlers.potting import plants_meant
from core.handlers.sowing import day_of
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Option, Reply
from core.replies.reports import HardenRecorded, OutRecorded, PlantedRecorded
from core.report_kinds import ReportKind
from core.requests import Harden, Out, Planted, Where
from core.scene import Scene
from core.trade.crops.table import crop_by_id
from core.trade.frost.seasons import season_year
from core.trade.hardening.plan import lowest_safe

NEAR = timedelta(days=30)
"""Plants whose planting out is nearer than this may be meant by `out` without a place."""

DOUBTED_BEFORE = timedelta(days=7)
"""Hours outside so long before hardening off is to begin are asked about; from memory."""


def out(request: Out, scene: Scene, session: Session) -> Reply:
    """Record hours outside for the sowings named; nothing named = those hardening or about to,
    and when there is none of these, the member is asked.

    Hours outside long before a sowing's time are doubted: hardening off is a decision.
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
    early = [] if request.once else [pair for pair in found if _too_early(garden, pair, on)]
    if early:
        return _doubted(garden, request, found, early)
    did, for_name = doer(garden, request.for_whom)
    values = {"hours": request.hours, "overnight": request.overnight}
    if request.once:
        values["once"] = True
    act = write_act(
        session,
        scene,
        ReportKind.OUT,
        tuple(
            Entry(
                kind=ReportKind.OUT,
                on=on,
                sowing=sowing.id,
                values={**values, **_whole(growing)},
            )
            for sowing, growing in found
        ),
        did=did,
        for_name=for_name,
        summary={"targets": _codes(found), "hours": request.hours},
    )
    after = snapshot.garden(session, scene.group_id, scene.today)
    return OutRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        targets=_codes(found),
        hours=request.hours,
        overnight=request.overnight,
        on=on,
        days=() if request.once else _days(after, found, scene.today),
        once=_codes(found) if request.once else (),
    )


def _codes(found: Sequence[Standing]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sowing.code for sowing, _ in found))


def _whole(growing: Growing) -> dict[str, str | None]:
    """Return the part a report is about, where a sowing stands in several."""
    return {"from": growing.tray} if growing.parts > 1 else {}


def _days(
    after: Garden, found: Sequence[Standing], today: date
) -> tuple[tuple[str, str, int, int, float | None, str, float], ...]:
    places = {(sowing.code, growing.tray) for sowing, growing in found}
    return tuple(
        day
        for sowing, growing in standing(after)
        if (sowing.code, growing.tray) in places
        for day in _day(after, sowing, growing, today)
    )


def _going_out(garden: Garden, request: Out | Harden, today: date) -> list[Standing] | Choice:
    meant = sowings_meant(garden, request.where)
    found = [pair for pair in meant if pair[1].up > 0 and pair[1].alive > 0]
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


def _too_early(garden: Garden, pair: Standing, on: date) -> bool:
    """Whether hours outside on a day come long before a sowing is to be hardened off."""
    sowing, growing = pair
    if growing.stage is Stage.HARDENING:
        return False
    begin = _begin(garden, sowing, on)
    return begin is not None and on < begin - DOUBTED_BEFORE


def _begin(garden: Garden, sowing: SowingOf, today: date) -> date | None:
    out_on = outlook.plant_out_on(garden, sowing, today)
    if out_on is None:
        return None
    return out_on - timedelta(days=outlook.harden_days(garden, crop_by_id(sowing.crop)))


def _doubted(garden: Garden, request: Out, found: list[Standing], early: list[Standing]) -> Choice:
    """Ask whether it was an outing, or hardening off begins now."""
    begins = {s.code: _begin(garden, s, s.sown_on) for s, _ in early}
    first = min((day for day in begins.values() if day is not None), default=None)
    where = request.where
    if where.empty:
        where = Where(sowing=found[0][0].code) if len(found) == 1 else Where(everything=True)
    harden_ = Harden(where=where, on=request.on, for_whom=request.for_whom)
    others = [pair for pair in found if pair not in early]
    options = [
        Option(kind="once", request=replace(request, where=where, once=True)),
        Option(kind="harden", request=harden_),
    ]
    if others and len(others) <= 3:
        options += [
            Option(
                kind="only",
                request=replace(request, where=where_of(sowing, growing)),
                values={"sowing": sowing.code, "crop": sowing.crop},
            )
            for sowing, growing in others
        ]
    return Choice(
        question="out_early",
        options=tuple(options),
        values={
            "what": tuple(dict.fromkeys((s.code, s.crop) for s, _ in early)),
            "limit_c": max(
                lowest_safe(crop_by_id(s.crop).hardiness_class.value, s.crop).limit_c
                for s, _ in early
            ),
            "begin": first,
        },
    )


def harden(request: Harden, scene: Scene, session: Session) -> Reply:
    """Record the decision that hardening off begins for the sowings named.

    Raises NoSuchSowing, CellsEmpty.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    found = _going_out(garden, request, scene.today)
    if isinstance(found, Choice):
        return found
    on = day_of(request, scene, earliest=min(s.sown_on for s, _ in found))
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.HARDEN,
        tuple(
            Entry(kind=ReportKind.HARDEN, on=on, sowing=sowing.id, values=_whole(growing))
            for sowing, growing in found
        ),
        did=did,
        for_name=for_name,
        summary={"targets": list(_codes(found))},
    )
    after = snapshot.garden(session, scene.group_id, scene.today)
    return HardenRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        targets=_codes(found),
        on=on,
        days=_days(after, found, scene.today),
    )


def _day(
    garden: Garden, sowing: SowingOf, growing: Growing, today: date
) -> list[tuple[str, str, int, int, float | None, str, float]]:
    course = outlook.hardening(garden, sowing, growing, today)
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
    count = plants_meant(garden, growing, request.where, request.count)
    if count > growing.alive:
        raise CountTooHigh(sowing=sowing.code, given=count, most=growing.alive, of="alive")
    did, for_name = doer(garden, request.for_whom)
    entry = Entry(
        kind=ReportKind.PLANTED,
        on=on,
        sowing=sowing.id,
        values={
            "count": count,
            "to": request.to_whom,
            **source_values(garden, growing, request.where),
        },
    )
    act = write_act(
        session,
        scene,
        ReportKind.PLANTED,
        (entry,),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    learn(session, garden, sowing)
    after = close_if_gone(session, sowing, entry, scene)
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
        left=after.alive,
        on=on,
        to_whom=request.to_whom,
        risk=chance.fitted if chance else None,
        risk_basis=frost.basis.value if frost and chance else None,
        water_in=request.to_whom is None,
    )
