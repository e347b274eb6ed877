"""What is due, the trays, one tray, the shelves."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.due.kinds import Channel
from core.due.open_work import due_items
from core.errors import NoTraysYet, ShelfUnknown
from core.group import outlook
from core.group.garden import Garden
from core.group.pauses import rests, tray_rests
from core.group.standing import standing, tray_named
from core.records import snapshot
from core.replies.base import Reply
from core.replies.looks import (
    DueSaid,
    ShelfSaid,
    SpaceSaid,
    TraySaid,
    TraysSaid,
)
from core.requests import Due, ShowShelf, ShowTray, Trays
from core.scene import Scene
from core.shown.shelf_light import light_of
from core.shown.tray_lines import sowing_line, tray_line

AHEAD = 14  # days looked ahead for the next work


def due(request: Due, scene: Scene, session: Session) -> Reply:
    """Return all open work, or the speaker's own."""
    garden = _garden(session, scene)
    items = due_items(garden, scene.today)
    if request.mine:
        items = tuple(i for i in items if scene.member_id in garden.on_duty(scene.today, i.tray))
    missing = tuple(
        what
        for what, absent in (
            ("trays", not garden.trays),
            ("sowings", not garden.sowings),
            ("frost", garden.site.frost is None),
        )
        if absent
    )
    return DueSaid(
        on=scene.today,
        items=items,
        mine=request.mine,
        duty=garden.on_duty(scene.today),
        closed=garden.closed(scene.today),
        next_on=None if items else _next_work(garden, scene.today),
        missing=missing,
        rests=rests(garden.site.paused_until, scene.today) or garden.site.channel == Channel.PAUSED,
        resting=tuple(code for code in garden.trays if tray_rests(garden, code, scene.today)),
    )


def _next_work(garden: Garden, today: date) -> date | None:
    for days in range(1, AHEAD):
        if due_items(garden, today + timedelta(days=days)):
            return today + timedelta(days=days)
    return None


def trays(request: Trays, scene: Scene, session: Session) -> Reply:
    """Return every tray in a line; raise NoTraysYet."""
    garden = _garden(session, scene)
    if not garden.trays:
        raise NoTraysYet()
    return TraysSaid(
        trays=tuple(tray_line(garden, tray, scene.today) for tray in garden.trays.values()),
        loose=tuple(
            sowing_line(garden, sowing, growing, scene.today)
            for sowing, growing in standing(garden)
            if growing.tray is None
        ),
    )


def tray(request: ShowTray, scene: Scene, session: Session) -> Reply:
    """Return one tray; raise TrayUnknown."""
    garden = _garden(session, scene)
    found = tray_named(garden, request.tray)
    line = tray_line(garden, found, scene.today)
    lasts = outlook.tray_interval(garden, found.code, scene.today)
    watered = [r for r in garden.tray_reports.get(found.code, ()) if r.kind == "watered"]
    temps = outlook.mix_readings(garden, found.code)
    last = max(temps, key=lambda t: t.on) if temps else None
    notes = [r for r in garden.tray_reports.get(found.code, ()) if r.kind == "note"]
    return TraySaid(
        group_id=garden.site.group_id,
        line=line,
        watered_on=watered[-1].on if watered else None,
        lasts=(lasts.low, lasts.usual, lasts.high) if lasts else None,
        lasts_reports=lasts.reports if lasts else 0,
        mix_temp_c=last.temp_c if last else None,
        mix_temp_on=last.on if last else None,
        notes=tuple((r.on, str(r.values["text"])) for r in notes[-3:]),
        items=tuple(i for i in due_items(garden, scene.today) if i.tray == found.code),
    )


def shelf(request: ShowShelf, scene: Scene, session: Session) -> Reply:
    """Return one shelf's log, or the space on all; raise ShelfUnknown."""
    garden = _garden(session, scene)
    if request.shelf is None or request.space:
        return SpaceSaid(
            group_id=garden.site.group_id,
            shelves=tuple(
                (
                    code,
                    sum(1 for t in garden.trays.values() if t.shelf == code),
                    row.places,
                )
                for code, row in garden.shelves.items()
            ),
            unplaced=tuple(c for c, t in garden.trays.items() if t.shelf is None),
            planned=garden.plan is not None,
        )
    if request.shelf not in garden.shelves:
        raise ShelfUnknown(shelf=request.shelf, known=tuple(garden.shelves))
    code = request.shelf
    temps: dict[date, list[float]] = {}
    trays_here = [t for t, row in garden.trays.items() if row.shelf == code]
    sources = [garden.shelf_reports.get(code, ())]
    sources += [garden.tray_reports.get(t, ()) for t in trays_here]
    for rows in sources:
        for report in rows:
            if report.kind == "temp":
                temps.setdefault(report.on, []).append(float(report.values["temp_c"]))
    light = light_of(garden, code, scene.today)
    return ShelfSaid(
        group_id=garden.site.group_id,
        shelf=code,
        light=light,
        temps=tuple(sorted((day, sum(v) / len(v)) for day, v in temps.items()))[-7:],
        usual_temp_c=garden.shelves[code].usual_temp_c,
        log=bool(temps) or light.ppfd is not None,
    )


def _garden(session: Session, scene: Scene) -> Garden:
    assert scene.group_id is not None
    return snapshot.garden(session, scene.group_id, scene.today)
