"""Temperatures and light, and what they change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from core.due.beds import to_cover
from core.errors import ShelfUnknown, ValueAbsurd
from core.group import outlook
from core.group.frames import low_felt
from core.group.garden import Garden, Happening
from core.group.standing import standing
from core.handlers.aim import trays_meant
from core.handlers.doers import doer, named
from core.handlers.sowing import day_of
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Option, Reply
from core.replies.reports import TempRecorded, WindowSaid
from core.report_kinds import ReportKind
from core.requests import Light, Temp, TempKind, Where
from core.scene import Scene
from core.shown.shelf_light import light_of
from core.shown.windows import window
from core.trade.crops.table import crop_by_id
from core.trade.emergence.reconciled import curve_of
from core.trade.emergence.watch import window_shift
from core.trade.hardening import plan as hd

MIX_RANGE_C = (-5.0, 55.0)
OUTSIDE_RANGE_C = (-60.0, 60.0)
MOST_PPFD = 2500.0  # full sun is about 2000 (APOGEE-LUX)
MOST_LUX = 150_000.0  # full sun is about 108 000 (APOGEE-LUX)
OUTSIDE = (TempKind.OUTSIDE, TempKind.LOW, TempKind.FORECAST)


def temp(request: Temp, scene: Scene, session: Session) -> Reply:
    """Record a temperature of the mix or air of trays or a shelf, or of the open air.

    Raises ValueAbsurd, TrayUnknown, ShelfUnknown, DateInFuture.
    """
    assert scene.group_id is not None
    garden = snapshot.everyday(session, scene.group_id, scene.today)
    on = day_of(request, scene)
    kind = request.kind or TempKind.MIX
    outside = kind in OUTSIDE
    low, high = OUTSIDE_RANGE_C if outside else MIX_RANGE_C
    if not low <= request.temp_c <= high:
        raise ValueAbsurd(quantity="temp", given=request.temp_c, lo=low, hi=high, unit="c")
    values: dict[str, Any] = {"temp_c": request.temp_c, "of": kind.value}
    if kind is TempKind.FORECAST and scene.private:
        values["private"] = True  # the group has not read it: the next look alarms
        session.get_one(m.Group, scene.group_id).next_look_at = scene.now
    if outside:
        entries: tuple[Entry, ...] = (Entry(kind=ReportKind.TEMP, on=on, values=values),)
        place = None
        codes: tuple[str, ...] = ()
    elif request.where.shelf is not None:
        if request.where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=request.where.shelf, known=tuple(garden.shelves))
        place = request.where.shelf
        codes = tuple(c for c, t in garden.trays.items() if t.shelf == place)
        entries = (
            Entry(kind=ReportKind.TEMP, on=on, values=values, shelf=garden.shelves[place].id),
        )
    else:
        if request.where.empty and len(garden.trays) > 1:
            return _where_read(garden, request)
        codes = trays_meant(garden, request.where)
        place = " ".join(codes) if len(codes) < len(garden.trays) or len(codes) == 1 else "all"
        entries = tuple(
            Entry(kind=ReportKind.TEMP, on=on, values=values, tray=garden.trays[c].id)
            for c in codes
        )
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.TEMP,
        entries,
        did=did,
        for_name=for_name,
        summary={"place": place, **values},
    )
    after = _with(garden, codes, "temp", on, values, scene, outside=outside)
    return TempRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        temp_c=request.temp_c,
        kind=kind.value,
        place=place,
        shelf=not outside and request.where.shelf is not None,
        on=on,
        verdicts=()
        if outside or kind is TempKind.AIR
        else _verdicts(garden, codes, request.temp_c),
        moved={} if outside else _moved(garden, after, codes, scene.today),
        held=_held(garden, request.temp_c) if outside else (),
        cover=tuple(
            (sowing.code, sowing.crop, plants)
            for sowing, plants, _ in to_cover(garden, scene.today, request.temp_c)
        )
        if kind in (TempKind.FORECAST, TempKind.OUTSIDE)
        else (),
    )


def _where_read(garden: Garden, request: Temp) -> Choice:
    """A reading without a place may be of a shelf or of the open air."""
    inside = [
        Option(
            kind="shelf",
            request=replace(request, where=Where(shelf=code), kind=TempKind.MIX),
            values={"shelf": code},
        )
        for code in garden.shelves
    ]
    everywhere = Option(
        kind="all_trays", request=replace(request, where=Where(everything=True), kind=TempKind.MIX)
    )
    outside = Option(kind="outside", request=replace(request, where=Where(), kind=TempKind.OUTSIDE))
    return Choice(
        question="temp_place",
        options=(*inside[:6], everywhere, outside),
        values={"temp_c": request.temp_c},
    )


def _with(
    garden: Garden,
    codes: tuple[str, ...],
    kind: str,
    on: date,
    values: Mapping[str, Any],
    scene: Scene,
    *,
    outside: bool = False,
) -> Garden:
    """Return the garden with a report just written counted in."""
    fresh = Happening(id=0, act=0, kind=kind, on=on, at=scene.now, values=values)
    if outside:
        return garden.with_reports(of_site=(*garden.site_reports, fresh))
    reports = dict(garden.tray_reports)
    for code in codes:
        reports[code] = (*reports.get(code, ()), fresh)
    return garden.with_reports(of_trays=reports)


def _verdicts(garden: Garden, codes: tuple[str, ...], temp_c: float) -> tuple[tuple[str, str], ...]:
    """Say where a mix temperature lies for what has not come up there yet."""
    found: dict[str, str] = {}
    for sowing, growing in standing(garden):
        if growing.tray not in codes or growing.first_up_on is not None:
            continue
        found[sowing.crop] = curve_of(sowing.crop).verdict(temp_c).value
    return tuple(found.items())


def _moved(
    before: Garden, after: Garden, codes: tuple[str, ...], today: date
) -> dict[str, WindowSaid]:
    """Return the windows that a reading moved by more than a day."""
    found: dict[str, WindowSaid] = {}
    for sowing, growing in standing(before):
        if growing.tray not in codes or growing.first_up_on is not None:
            continue
        old = outlook.emergence(before, sowing, today)
        new = outlook.emergence(after, sowing, today)
        if window_shift(old, new) is not None:
            found[sowing.code] = window(new, "logged")
    return found


def _held(garden: Garden, temp_c: float) -> tuple[tuple[str, str, float], ...]:
    """Return what stands outside by day and must not at this temperature."""
    found = []
    for sowing, growing in standing(garden):
        felt = low_felt(garden, growing, temp_c)
        if felt is None:
            continue
        crop = crop_by_id(sowing.crop)
        limit = hd.lowest_safe(crop.hardiness_class.value, crop.id).limit_c
        if felt < limit:
            found.append((sowing.code, sowing.crop, limit))
    return tuple(found)


def light(request: Light, scene: Scene, session: Session) -> Reply:
    """Record a light reading, the lamp's height or its hours, and say what the day comes to.

    Raises ValueAbsurd, ShelfUnknown.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    shelf = _shelf_meant(garden, request)
    if isinstance(shelf, Choice):
        return shelf
    _check(request)
    on = day_of(request, scene)
    values = {
        name: value
        for name, value in (
            ("ppfd", request.ppfd),
            ("lux", request.lux),
            ("height_mm", request.height_mm),
            ("hours", request.hours),
        )
        if value is not None
    }
    row = session.get_one(m.Shelf, garden.shelves[shelf].id)
    if request.height_mm is not None:
        row.height_mm = request.height_mm
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.LIGHT,
        (Entry(kind=ReportKind.LIGHT, on=on, values=values, shelf=row.id),),
        did=did,
        for_name=for_name,
        summary={"place": shelf, **values},
    )
    after = snapshot.garden(session, scene.group_id, scene.today)
    said = light_of(after, shelf, on)
    return replace(
        said,
        act=act.number,
        for_name=for_name or named(garden, did),
        on=on,
        lux=request.lux,
    )


def _check(request: Light) -> None:
    for value, most, quantity, unit in (
        (request.ppfd, MOST_PPFD, "ppfd", "umol"),
        (request.lux, MOST_LUX, "lux", "lx"),
        (request.hours, 24.0, "hours", "h"),
        (request.height_mm, 3000.0, "height", "mm"),
    ):
        if value is not None and not 0 <= value <= most:
            raise ValueAbsurd(quantity=quantity, given=value, lo=0, hi=most, unit=unit)


def _shelf_meant(garden: Garden, request: Light) -> str | Choice:
    where = request.where
    if where.shelf is not None:
        if where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=where.shelf, known=tuple(garden.shelves))
        return where.shelf
    if not where.empty:
        codes = trays_meant(garden, where)
        shelves = {garden.trays[code].shelf for code in codes} - {None}
        if len(shelves) == 1:
            return str(shelves.pop())
    if len(garden.shelves) == 1:
        return next(iter(garden.shelves))
    if not garden.shelves:
        raise ShelfUnknown(shelf="", known=())
    return Choice(
        question="shelf",
        options=tuple(
            Option(
                kind="shelf",
                request=replace(request, where=Where(shelf=code)),
                values={"shelf": code},
            )
            for code in list(garden.shelves)[:8]
        ),
    )
