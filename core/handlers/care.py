"""Watering, how the mix looks, feeding, notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from core.cells import cells_text
from core.errors import NoSuchSowing, NoTraysYet, SowingUnknown, ValueAbsurd
from core.group import outlook
from core.group.garden import Garden, Happening, SowingOf
from core.group.parts import Place
from core.group.standing import planted_out, standing, taken_cells
from core.handlers.aim import sowings_meant, trays_meant
from core.handlers.doers import doer, named
from core.handlers.sowing import day_of
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Reply
from core.replies.reports import CareRecorded
from core.report_kinds import ReportKind
from core.requests import Fed, Moist, Note, Report, Watered
from core.scene import Scene

CLOSE_DAYS = 1
"""Watered again within so many days: said, because two keen people drown a tray."""


def watered(request: Watered, scene: Scene, session: Session) -> Reply:
    """Record watering of the trays named; nothing named = those due, else all that hold plants."""
    garden = _garden(session, scene)
    on = day_of(request, scene)
    beds = _in_beds(garden, request, scene.today)
    codes = () if beds else _to_water(garden, request, scene.today)
    again = tuple(
        code
        for code in codes
        if any(
            0 <= (on - r.on).days < CLOSE_DAYS and r.kind == "watered"
            for r in garden.tray_reports.get(code, ())
        )
    )
    values: dict[str, Any] = {"from_below": request.from_below} if request.from_below else {}
    values |= _cells_named(garden, request, codes)
    return _record(
        session,
        scene,
        garden,
        request,
        ReportKind.WATERED,
        codes,
        on,
        values,
        hints=("again",) if again else (),
        beds=beds,
    )


def _cells_named(garden: Garden, request: Report, codes: tuple[str, ...]) -> dict[str, str]:
    """Return the cells a report of care is of, where a tray's cells were named and not all."""
    if request.where.cells is None or len(codes) != 1:
        return {}
    tray = garden.trays[codes[0]]
    cells = request.where.cells.within(tray.code, tray.rows, tray.cols)
    lived_in = taken_cells(garden, tray.code)
    return {} if set(cells) >= set(lived_in) else {"cells": cells_text(cells)}


def _in_beds(garden: Garden, request: Report, today: date) -> tuple[SowingOf, ...]:
    """Return the sowings meant that stand in the bed and nowhere indoors."""
    where = request.where
    if where.crop is None and where.sowing is None:
        return ()
    try:
        sowings_meant(garden, where)
    except (NoSuchSowing, SowingUnknown):
        found = [
            sowing
            for sowing, _ in planted_out(garden, today)
            if where.crop in (None, sowing.crop)
            and (where.sowing is None or where.sowing.upper() == sowing.code)
        ]
        return tuple(dict.fromkeys(found)) if found else ()
    return ()


def _to_water(garden: Garden, request: Watered, today: date) -> tuple[str, ...]:
    if not request.where.empty and not request.where.everything:
        return trays_meant(garden, request.where)
    planted = tuple(code for code in garden.trays if outlook.in_tray(garden, code))
    if request.where.everything:
        return planted or trays_meant(garden, request.where)
    checks = {code: outlook.tray_check_on(garden, code, today) for code in planted}
    due = tuple(code for code, on in checks.items() if on is not None and on <= today)
    codes = due or planted
    if not codes:
        raise NoTraysYet()
    return codes


def moist(request: Moist, scene: Scene, session: Session) -> Reply:
    """Record how the mix looked: what the watering interval of each tray learns from."""
    garden = _garden(session, scene)
    on = day_of(request, scene)
    codes = trays_meant(garden, request.where)
    if request.where.empty:
        codes = tuple(c for c in codes if outlook.in_tray(garden, c)) or codes
    values = {"level": request.level.value, **_cells_named(garden, request, codes)}
    return _record(session, scene, garden, request, ReportKind.MOIST, codes, on, values)


def fed(request: Fed, scene: Scene, session: Session) -> Reply:
    """Record feeding of the trays named, and of plants in pots without a tray.

    Raises ValueAbsurd for a strength that no feed has.
    """
    if request.ppm_n is not None and not 1 <= request.ppm_n <= MOST_PPM:
        raise ValueAbsurd(quantity="feed", given=request.ppm_n, lo=1, hi=MOST_PPM, unit="ppm")
    garden = _garden(session, scene)
    on = day_of(request, scene)
    codes = trays_meant(garden, request.where)
    if request.where.empty:
        codes = tuple(c for c in codes if outlook.in_tray(garden, c)) or codes
    pots = _in_pots(garden, request)
    if request.strength is not None and not 0 < request.strength <= MOST_STRENGTH:
        percent = 100 * request.strength
        raise ValueAbsurd(quantity="feed", given=percent, lo=1, hi=100 * MOST_STRENGTH, unit="%")
    values: dict[str, Any] = {} if request.ppm_n is None else {"ppm_n": request.ppm_n}
    if request.strength is not None:
        values["strength"] = request.strength
    values |= _cells_named(garden, request, codes)
    hints = tuple(
        hint
        for hint, there in (
            ("strong", request.ppm_n is not None and request.ppm_n > STRONG_PPM),
            ("full", request.strength is not None and request.strength > USUAL_STRENGTH),
            ("dry", any(_dry(garden, code) for code in codes)),
        )
        if there
    )
    return _record(
        session, scene, garden, request, ReportKind.FED, codes, on, values, hints=hints, pots=pots
    )


def _in_pots(garden: Garden, request: Fed) -> tuple[SowingOf, ...]:
    """Return the sowings meant that stand in pots of no tray."""
    where = request.where
    if where.trays or where.shelf is not None:
        return ()
    found = standing(garden) if where.empty or where.everything else sowings_meant(garden, where)
    return tuple(s for s, growing in found if growing.tray is None)


MOST_PPM = 2000.0
"""More is a slip of the keys or an undiluted feed, mg/l; common practice."""

MOST_STRENGTH = 4.0
"""More than so many times the label's strength is a slip; from memory."""

USUAL_STRENGTH = 0.5
"""Seedlings are fed at a quarter to half of what the label says for grown plants; common
practice."""

STRONG_PPM = 150.0
"""More nitrogen than seedlings are usually given, mg/l (VINCA 100-150 at plug stage 3)."""


def note(request: Note, scene: Scene, session: Session) -> Reply:
    """Keep a remark, on the trays or sowings named, or on the site."""
    assert scene.group_id is not None
    garden = snapshot.everyday(session, scene.group_id, scene.today, at_once=())
    on = day_of(request, scene)
    values = {"text": request.text[:500]}
    if request.where.sowing or request.where.crop:
        found = sowings_meant(garden, request.where)
        entries = tuple(
            Entry(kind=ReportKind.NOTE, on=on, values=values, sowing=s.id) for s, _ in found
        )
        targets = tuple(s.code for s, _ in found)
    elif request.where.trays:  # its words are free: what looks like a cell may be none
        targets = trays_meant(garden, replace(request.where, cells=None))
        entries = tuple(
            Entry(kind=ReportKind.NOTE, on=on, values=values, tray=garden.trays[code].id)
            for code in targets
        )
    elif request.where.shelf and request.where.shelf in garden.shelves:
        targets = (request.where.shelf,)
        entries = (
            Entry(kind=ReportKind.NOTE, on=on, values=values, shelf=garden.shelves[targets[0]].id),
        )
    else:
        targets, entries = (), (Entry(kind=ReportKind.NOTE, on=on, values=values),)
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.NOTE,
        entries,
        did=did,
        for_name=for_name,
        summary={"targets": list(targets), "text": request.text[:60]},
    )
    return CareRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        kind="note",
        targets=targets,
        on=on,
        values=values,
    )


def _garden(session: Session, scene: Scene) -> Garden:
    assert scene.group_id is not None
    return snapshot.everyday(session, scene.group_id, scene.today)


def _dry(garden: Garden, code: str) -> bool:
    """Whether the last word on a tray is that it was dry, and nobody has watered it since."""
    said = [r for r in garden.tray_reports.get(code, ()) if r.kind in ("moist", "watered")]
    return bool(said) and said[-1].values.get("level") == "dry"


def _record(
    session: Session,
    scene: Scene,
    garden: Garden,
    request: Report,
    kind: ReportKind,
    codes: tuple[str, ...],
    on: date,
    values: Mapping[str, Any],
    *,
    hints: tuple[str, ...] = (),
    pots: tuple[SowingOf, ...] = (),
    beds: tuple[SowingOf, ...] = (),
) -> CareRecorded:
    did, for_name = doer(garden, request.for_whom)
    targets = (*codes, *(sowing.code for sowing in (*pots, *beds)))
    bed_values = {**values, "place": Place.BED.value}
    act = write_act(
        session,
        scene,
        kind,
        (
            *(Entry(kind=kind, on=on, values=values, tray=garden.trays[c].id) for c in codes),
            *(Entry(kind=kind, on=on, values=values, sowing=sowing.id) for sowing in pots),
            *(Entry(kind=kind, on=on, values=bed_values, sowing=sowing.id) for sowing in beds),
        ),
        did=did,
        for_name=for_name,
        summary={"targets": list(targets), **values},
    )
    return CareRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        kind=kind,
        targets=targets,
        on=on,
        next_check=_next_checks(garden, kind, codes, scene, on, values),
        values=values,
        hints=hints,
    )


def _next_checks(
    garden: Garden,
    kind: str,
    codes: tuple[str, ...],
    scene: Scene,
    on: date,
    values: Mapping[str, Any],
) -> dict[str, date]:
    """When to look again, with the report just written counted in."""
    if kind not in ("watered", "moist"):
        return {}
    fresh = Happening(id=0, act=0, kind=kind, on=on, at=scene.now, values=values)
    reports = {
        code: (*garden.tray_reports.get(code, ()), fresh) if code in codes else rows
        for code, rows in {**dict.fromkeys(codes, ()), **garden.tray_reports}.items()
    }
    after = garden.with_reports(of_trays=reports)
    found = {code: outlook.tray_check_on(after, code, scene.today) for code in codes}
    return {code: max(day, scene.today) for code, day in found.items() if day is not None}
