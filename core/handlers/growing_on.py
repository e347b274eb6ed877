"""Thinning and potting up; what a sowing that came up teaches about the site."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.cells import Cell, cells_text
from core.errors import CellsEmpty, CountTooHigh, NoRoom
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.standing import tray_named
from core.handlers.aim import choose, one_sowing, sowings_meant
from core.handlers.doers import doer, named
from core.handlers.sowing import cells_meant, day_of
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Reply
from core.replies.reports import CareRecorded, PottedRecorded
from core.report_kinds import ReportKind
from core.requests import Potted, Sow, Thinned, Where
from core.scene import Scene


def thinned(request: Thinned, scene: Scene, session: Session) -> Reply:
    """Record thinning of every sowing named."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    found = [p for p in sowings_meant(garden, request.where) if p[1].up > 0]
    if not found:
        found = sowings_meant(garden, request.where)
    if request.where.empty:
        many = [p for p in found if p[0].seeds_per_cell > 1 and p[1].thinned_on is None]
        found = many or found
        if len(found) > 1:
            return choose(request, found)
    on = day_of(request, scene, earliest=max(s.sown_on for s, _ in found), what="")
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.THINNED,
        tuple(
            Entry(
                kind=ReportKind.THINNED,
                on=on,
                values={"per_cell": request.per_cell},
                sowing=sowing.id,
            )
            for sowing, _ in found
        ),
        did=did,
        for_name=for_name,
        summary={"targets": [sowing.code for sowing, _ in found]},
    )
    for sowing, _ in found:
        learn(session, garden, sowing)
    return CareRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        kind="thinned",
        targets=tuple(sowing.code for sowing, _ in found),
        on=on,
        values={"per_cell": request.per_cell},
    )


def potted(request: Potted, scene: Scene, session: Session) -> Reply:
    """Record potting up, into the free cells of another tray where one is named.

    Raises CountTooHigh, TrayUnknown, CellOutside, CellsTaken, NoRoom, CellsEmpty.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    aimed = one_sowing(garden, request)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    if growing.up == 0:
        raise CellsEmpty(tray=growing.tray or "", cells=cells_text(growing.cells))
    on = day_of(request, scene, earliest=growing.first_up_on, what=sowing.code)
    most = growing.waiting or growing.alive
    count = most if request.count is None else request.count
    if count > max(most, growing.alive):
        raise CountTooHigh(sowing=sowing.code, given=count, most=most, of="alive")
    into = tray_named(garden, request.into_tray) if request.into_tray else None
    cells: tuple[Cell, ...] = ()
    if into is not None:
        where = Where(trays=(into.code,), cells=request.into_cells)
        asked = Sow(where=where, cell_count=0 if request.into_cells else count)
        cells = cells_meant(garden, into, asked)
        if len(cells) < count:
            raise NoRoom(tray=into.code, asked=count, free=len(cells))
        cells = cells[:count]
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.POTTED,
        (
            Entry(
                kind=ReportKind.POTTED,
                on=on,
                sowing=sowing.id,
                values={
                    "count": count,
                    "tray": into.code if into else None,
                    "cells": " ".join(cell.label for cell in cells),
                },
            ),
        ),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    learn(session, garden, sowing)
    return PottedRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=count,
        from_tray=growing.tray,
        into_tray=into.code if into else None,
        into_cells=cells_text(cells),
        on=on,
        left_out=max(0, most - count),
    )


def learn(session: Session, garden: Garden, sowing: SowingOf) -> None:
    """Keep how fast a sowing came up, now that its emergence is over."""
    speed = outlook.speed_of(garden, sowing, follow(sowing))
    row = session.get_one(m.Sowing, sowing.id)
    row.speed_ratio, row.speed_seeds = speed if speed is not None else (None, None)
