"""What is asked next of a report or a setting begun with its word alone, and the likely answers.

Nothing is recorded here: every button carries the next question or the whole request.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from core.cells import cells_text
from core.due.items import Item, Work
from core.due.open_work import due_items
from core.errors import ButtonOld, NoTraysYet
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing
from core.group.parts import Place
from core.group.standing import Standing, free_cells, standing, tray_named
from core.handlers.aim import sowings_meant, where_of
from core.handlers.lead_settings import of_setting
from core.records import snapshot
from core.replies.base import Option
from core.replies.leading import NextStep
from core.requests import (
    NOWHERE,
    Fed,
    Lead,
    Lost,
    Moist,
    Moisture,
    Nothing,
    Out,
    Planted,
    Potted,
    Report,
    Request,
    Sow,
    Temp,
    TempKind,
    Thinned,
    Up,
    Watered,
    Where,
)
from core.scene import Scene

MOST = 8
"""Answers offered at once; others are typed."""
DUE_FOR: Mapping[str, tuple[Work, ...]] = {
    "up": (Work.OVERDUE, Work.COUNT),
    "watered": (Work.WATER,),
    "moist": (Work.WATER,),
    "fed": (Work.FEED,),
    "thinned": (Work.THIN,),
    "potted": (Work.POT_UP,),
    "planted": (Work.PLANT,),
    "out": (Work.OUT, Work.HARDEN),
    "sow": (Work.SOW,),
}
"""Work that makes a sowing or tray the likeliest to be meant."""
BY_SOWING = ("up", "lost", "potted", "planted", "thinned", "out")
REPORTS = (*BY_SOWING, "watered", "fed", "moist", "temp", "sow")
SHARES = (0.25, 0.5, 0.75, 1.0)
HOURS = (1, 2, 3, 4, 6, 8)
TEMPS_C = (16, 18, 20, 21, 22, 24)
COMMON = ("tomato", "lettuce", "pepper", "basil", "marigold", "kale", "onion", "zinnia")
"""Crops that many groups start indoors; common practice."""


def lead(request: Lead, scene: Scene, session: Session) -> NextStep:
    """Return the next question. Raises NoTraysYet, NoSuchSowing and the like of what is named."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    stage, options = _next(request, garden, scene.today)
    found = tuple(options)
    about = _about(request, garden) if stage in ("count", "hours", "per_cell") else {}
    steps = (*_back(request), Option(kind="stop", request=Nothing()))
    return NextStep(
        question="step",
        options=(*found[:MOST], *steps),
        values={"more": max(0, len(found) - MOST), **about},
        act=request.act,
        stage=stage,
        none=not found,
    )


def _next(request: Lead, garden: Garden, today: date) -> tuple[str, Iterator[Option]]:
    """Return what is asked, and the answers offered, the likeliest first."""
    act, where = request.act, request.where
    if act in ("site", "frost", "tray", "duty"):
        return of_setting(request, garden)
    if act not in REPORTS:
        raise ButtonOld()
    if not garden.trays:
        raise NoTraysYet()
    due = [item for item in due_items(garden, today) if item.kind in DUE_FOR.get(act, ())]
    if act in ("watered", "fed"):
        return "trays", _trays_done(request, garden, due)
    if act == "sow":
        return _sow(request, garden, due)
    if act in ("moist", "temp") and where.empty:
        return "tray", _trays_read(request, garden, due)
    if act == "moist":
        return "level", (
            Option(kind="level", request=Moist(where=where, level=level), values={"level": level})
            for level in Moisture
        )
    if act == "temp":
        return "temp", _temps(where)
    found = _meant(request, garden, due)
    if len(found) != 1:
        return "sowing", _sowings(request, found)
    return _of_one(replace(request, where=where_of(*found[0])), *found[0])


def _about(request: Lead, garden: Garden) -> dict[str, Any]:
    """Return the one sowing that is asked about."""
    ((sowing, growing),) = _meant(request, garden, [])
    return {
        "sowing": sowing.code,
        "crop": sowing.crop,
        "variety": sowing.variety,
        "tray": growing.tray,
    }


def _back(request: Lead) -> Iterator[Option]:
    """Yield the way one step back, where a step was taken."""
    before: Lead | None = None
    if request.cells:
        before = replace(request, cells=0)
    elif request.number is not None:
        before = replace(request, number=None)
    elif request.who is not None:
        before = replace(request, who=None)
    elif request.act == "sow" and request.where.trays:
        before = replace(request, where=replace(request.where, trays=()))
    elif not request.where.empty:
        before = replace(request, where=NOWHERE)
    if before is not None:
        yield Option(kind="back", request=before)


# --- reports -------------------------------------------------------------------------------


def _meant(request: Lead, garden: Garden, due: list[Item]) -> list[Standing]:
    found = sowings_meant(garden, request.where)
    if request.act == "up":
        found = [one for one in found if one[1].place is Place.CELLS]
    elif request.act != "lost":
        found = [one for one in found if one[1].alive] or found
    first = [item.sowing for item in due]
    return sorted(found, key=lambda one: one[0].code not in first)


def _sowings(request: Lead, found: list[Standing]) -> Iterator[Option]:
    for sowing, growing in found:
        where = where_of(sowing, growing)
        whole: Request = replace(request, where=where)
        if request.act == "thinned":
            whole = Thinned(where=where)
        yield Option(
            kind="sowing",
            request=whole,
            values={
                "sowing": sowing.code,
                "crop": sowing.crop,
                "variety": sowing.variety,
                "tray": growing.tray,
                "sown_on": sowing.sown_on,
            },
        )


def _of_one(request: Lead, sowing: SowingOf, growing: Growing) -> tuple[str, Iterator[Option]]:
    """Return what is asked of one sowing: how many, or for how long."""
    where = request.where
    if request.act == "out":
        return "hours", (
            Option(kind="hours", request=Out(where=where, hours=hours), values={"hours": hours})
            for hours in HOURS
        )
    if request.act == "thinned":
        return "per_cell", iter((Option(kind="one", request=Thinned(where=where)),))
    return "count", _counts(request, sowing, growing)


def _counts(request: Lead, sowing: SowingOf, growing: Growing) -> Iterator[Option]:
    where = request.where
    if request.act == "up":
        up = growing.up
        if up == 0:
            yield Option(kind="none", request=Up(where=where, count=0))
        for share in SHARES:
            count = round(share * sowing.seeds)
            if count > up:
                yield Option(
                    kind="count", request=Up(where=where, count=count), values={"count": count}
                )
        return
    alive = growing.alive
    kinds: dict[str, type[Lost | Potted | Planted]] = {
        "lost": Lost, "potted": Potted, "planted": Planted,
    }  # fmt: skip
    made = kinds[request.act]
    few = (1, 2, 3, 5, 10) if request.act == "lost" else (alive // 4, alive // 2)
    whole = Option(kind="all", request=made(where=where, count=None), values={"count": alive})
    if request.act != "lost":
        yield whole
    for count in dict.fromkeys(few):
        if 0 < count < alive:
            yield Option(
                kind="count", request=made(where=where, count=count), values={"count": count}
            )
    if request.act == "lost":
        yield whole


def _trays_done(request: Lead, garden: Garden, due: list[Item]) -> Iterator[Option]:
    made: type[Report] = Watered if request.act == "watered" else Fed
    codes = tuple(dict.fromkeys(item.tray for item in due if item.tray))
    if len(codes) > 1:
        where = Where(trays=codes)
        yield Option(kind="due_trays", request=made(where=where), values={"trays": codes})
    if request.act == "watered":
        yield Option(kind="all_trays", request=made(where=Where(everything=True)))
    fed = request.act == "fed"
    standing_in = {growing.tray for _, growing in standing(garden) if growing.alive or not fed}
    rest = [code for code in garden.trays if code in standing_in and code not in codes]
    for code in (*codes, *rest):
        yield Option(kind="tray", request=made(where=Where(trays=(code,))), values={"tray": code})


def _trays_read(request: Lead, garden: Garden, due: list[Item]) -> Iterator[Option]:
    if request.act == "temp":
        for code in garden.shelves:
            yield Option(
                kind="shelf", request=replace(request, where=Where(shelf=code)),
                values={"shelf": code},
            )  # fmt: skip
    first = tuple(dict.fromkeys(item.tray for item in due if item.tray))
    held = {growing.tray for _, growing in standing(garden)}
    rest = [code for code in garden.trays if code in held and code not in first]
    for code in (*first, *rest):
        yield Option(
            kind="tray", request=replace(request, where=Where(trays=(code,))),
            values={"tray": code},
        )  # fmt: skip


def _temps(where: Where) -> Iterator[Option]:
    kind = TempKind.AIR if where.shelf else None
    for temp_c in TEMPS_C:
        yield Option(
            kind="temp",
            request=Temp(where=where, temp_c=float(temp_c), kind=kind),
            values={"temp_c": float(temp_c)},
        )


def _sow(request: Lead, garden: Garden, due: list[Item]) -> tuple[str, Iterator[Option]]:
    where = request.where
    if where.crop is None and where.lot is None:
        return "crop", _crops(request, garden, due)
    if not where.trays:
        return "tray", (
            Option(
                kind="tray",
                request=replace(request, where=replace(where, trays=(code,))),
                values={"tray": code, "free": free},
            )
            for code, tray in garden.trays.items()
            if (free := len(free_cells(garden, tray)))
        )
    return "cells", _cells(request, garden)


def _crops(request: Lead, garden: Garden, due: list[Item]) -> Iterator[Option]:
    """Yield what the plan wants now, the lots at hand, what was sown before, what many sow."""
    said = set()
    for item in due:
        if item.crop and item.crop not in said:
            said.add(item.crop)
            where = replace(request.where, crop=item.crop)
            yield Option(
                kind="crop", request=replace(request, where=where), values={"crop": item.crop}
            )
    for lot in garden.lots.values():
        said.add(lot.crop)
        where = replace(request.where, lot=lot.code)
        yield Option(
            kind="lot",
            request=replace(request, where=where),
            values={"lot": lot.code, "crop": lot.crop, "variety": lot.variety},
        )
    for crop in (*(sowing.crop for sowing in reversed(garden.sowings)), *COMMON):
        if crop not in said:
            said.add(crop)
            where = replace(request.where, crop=crop)
            yield Option(kind="crop", request=replace(request, where=where), values={"crop": crop})


def _cells(request: Lead, garden: Garden) -> Iterator[Option]:
    """Yield a few cells, a row, two rows, and all that is free."""
    tray = tray_named(garden, request.where.trays[0])
    free = free_cells(garden, tray)
    for count in dict.fromkeys((6, tray.cols, 2 * tray.cols, len(free))):
        if 0 < count <= len(free):
            yield Option(
                kind="cells_free" if count == len(free) else "cells",
                request=Sow(
                    where=Where(trays=request.where.trays),
                    crop=request.where.crop,
                    lot=request.where.lot,
                    cell_count=count,
                ),
                values={"cells": cells_text(free[:count]), "n": count},
            )
