"""Potting up and moving: which plants, into what, and where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.cells import Cell, cells_text
from core.errors import CellsEmpty, CountTooHigh, NoRoom, ShelfUnknown, ValueAbsurd
from core.group.frames import COLD_FRAME
from core.group.garden import Garden, TrayOf
from core.group.growing import Growing
from core.group.pots import LEAST_MM, MOST_MM, USUAL_MM, places_taken, pots_a_flat, pots_grid
from core.group.standing import Standing, standing, tray_named
from core.handlers.aim import named_cells, one_sowing, source_values, where_of
from core.handlers.doers import doer, named
from core.handlers.growing_on import learn
from core.handlers.sowing import cells_meant, day_of
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Option, Reply
from core.replies.reports import MovedRecorded, PottedRecorded
from core.report_kinds import ReportKind
from core.requests import Move, Potted, Sow, Where
from core.scene import Scene


def potted(request: Potted, scene: Scene, session: Session) -> Reply:
    """Record potting up: into the free cells of another tray, or into pots, whose tray is made.

    Raises CountTooHigh, TrayUnknown, CellOutside, CellsTaken, NoRoom, CellsEmpty, ValueAbsurd,
    ShelfUnknown.
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
    count = plants_meant(garden, growing, request.where, request.count)
    if count > growing.alive or count == 0:
        raise CountTooHigh(sowing=sowing.code, given=count, most=growing.alive, of="alive")
    pots: _Pots | None = None
    if request.into_tray is None:
        made = _pots_for(garden, session, request, aimed, count)
        if isinstance(made, Choice):
            return made
        pots = made
        into, cells = made.code, made.cells(count)
    else:
        tray = tray_named(garden, request.into_tray)
        into, cells = tray.code, _cells_in(garden, tray, request, count)
    did, for_name = doer(garden, request.for_whom)
    entry = Entry(
        kind=ReportKind.POTTED,
        on=on,
        sowing=sowing.id,
        values={
            **source_values(garden, growing, request.where),
            "count": count,
            "tray": into,
            "cells": " ".join(cell.label for cell in cells),
        },
    )
    act = write_act(
        session,
        scene,
        ReportKind.POTTED,
        (entry,),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "count": count},
    )
    if pots is not None:
        pots.make(session, scene.group_id, act.id, garden)
    learn(session, garden, sowing)
    stay = growing.alive - count
    freed = named_cells(garden, growing, request.where) or (growing.cells if stay == 0 else ())
    return PottedRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        count=count,
        from_tray=growing.tray,
        into_tray=into,
        into_cells=cells_text(cells),
        on=on,
        stay=stay,
        freed=cells_text(freed),
        freed_all=len(freed) == len(growing.cells),
        pot_mm=pots.pot_mm if pots else None,
        shelf=pots.shelf if pots else None,
    )


def plants_meant(garden: Garden, growing: Growing, where: Where, count: int | None) -> int:
    """Return how many plants a report is of: those said, else all in the cells it names.

    Of cells that nobody counted by themselves their share of the part is taken.
    """
    if count is not None:
        return count
    cells = named_cells(garden, growing, where)
    if not cells:
        return growing.alive
    share = growing.alive * len(cells) / len(growing.cells)
    return min(growing.alive, max(1, int(share + 0.5)))


def _cells_in(garden: Garden, tray: TrayOf, request: Potted, count: int) -> tuple[Cell, ...]:
    where = Where(trays=(tray.code,), cells=request.into_cells)
    asked = Sow(where=where, cell_count=0 if request.into_cells else count)
    cells = cells_meant(garden, tray, asked)
    if len(cells) < count:
        raise NoRoom(tray=tray.code, asked=count, free=len(cells))
    return cells[:count]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pots:
    """A tray of pots to be made."""

    code: str
    rows: int
    cols: int
    pot_mm: float
    shelf: str | None

    def cells(self, count: int) -> tuple[Cell, ...]:
        every = (Cell(row, col) for row in range(self.rows) for col in range(self.cols))
        return tuple(every)[:count]

    def make(self, session: Session, group_id: int, act_id: int, garden: Garden) -> None:
        shelf = garden.shelves.get(self.shelf or "")
        session.add(
            m.Tray(
                group_id=group_id,
                code=self.code,
                rows=self.rows,
                cols=self.cols,
                cell_ml=None,
                shelf_id=shelf.id if shelf else None,
                retired_on=None,
                pot_mm=self.pot_mm,
                act_id=act_id,
            )
        )
        session.flush()


def _pots_for(
    garden: Garden, session: Session, request: Potted, aimed: Standing, count: int
) -> _Pots | Choice:
    """Return the tray of pots to make; ask where it stands when there are several shelves."""
    pot_mm = request.pot_mm or USUAL_MM
    if not LEAST_MM <= pot_mm <= MOST_MM:
        raise ValueAbsurd(quantity="pot", given=pot_mm, lo=LEAST_MM, hi=MOST_MM, unit="mm")
    if request.onto_shelf is None and len(garden.shelves) > 1:
        return _where_pots_stand(garden, request, aimed, count, pot_mm)
    shelf = request.onto_shelf
    if shelf is None:
        shelf = next(iter(garden.shelves), None)
    elif shelf not in garden.shelves:
        raise ShelfUnknown(shelf=shelf, known=tuple(garden.shelves))
    codes = set(session.scalars(select(m.Tray.code).where(m.Tray.group_id == garden.site.group_id)))
    number = next(n for n in range(1, len(codes) + 2) if f"T{n}" not in codes)
    rows, cols = pots_grid(count, pot_mm)
    if rows * cols < count:
        raise NoRoom(tray=f"T{number}", asked=count, free=rows * cols)
    return _Pots(code=f"T{number}", rows=rows, cols=cols, pot_mm=pot_mm, shelf=shelf)


def _where_pots_stand(
    garden: Garden, request: Potted, aimed: Standing, count: int, pot_mm: float
) -> Choice:
    places = -(-count // pots_a_flat(pot_mm))
    where = where_of(*aimed)
    if request.where.cells is not None and aimed[1].tray is not None:
        where = replace(where, trays=(aimed[1].tray,), cells=request.where.cells)
    return Choice(
        question="pots_shelf",
        options=tuple(
            Option(
                kind="pots_shelf",
                request=replace(request, where=where, onto_shelf=code),
                values={"shelf": code, "free": free_places(garden, code)},
            )
            for code in list(garden.shelves)[:8]
        ),
        values={"count": count, "places": places},
    )


def free_places(garden: Garden, shelf: str) -> int | None:
    """Return the places of a shelf that nothing living stands on; None when nobody gave them."""
    places = garden.shelves[shelf].places
    if places is None:
        return None
    used = {growing.tray for _, growing in standing(garden) if growing.tray is not None}
    taken = sum(
        places_taken(garden, code)
        for code in used
        if code in garden.trays and garden.trays[code].shelf == shelf
    )
    return max(0, places - taken)


def move(request: Move, scene: Scene, session: Session) -> Reply:
    """Record that a sowing, or cells of it, or whole trays, stand somewhere else now.

    Raises CellsTaken, NoRoom, TrayUnknown, ShelfUnknown, CellOutside.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request.into_tray is None:
        return _onto_shelf(garden, request, scene, session)
    aimed = one_sowing(garden, request)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    tray = tray_named(garden, request.into_tray)
    leaving = named_cells(garden, growing, request.where) or growing.cells
    where = Where(trays=(tray.code,), cells=request.into_cells)
    asked = Sow(where=where, cell_count=0 if request.into_cells else len(leaving))
    cells = cells_meant(garden, tray, asked)
    if len(cells) < len(leaving):
        raise NoRoom(tray=tray.code, asked=len(leaving), free=len(cells))
    cells = cells[: len(leaving)]
    on = day_of(request, scene, earliest=sowing.sown_on, what=sowing.code)
    count = plants_meant(garden, growing, request.where, None) if growing.alive else 0
    act = _write_move(
        session, scene, garden, request, on,
        (
            Entry(
                kind=ReportKind.MOVED, on=on, sowing=sowing.id,
                values={
                    **source_values(garden, growing, request.where), "count": count,
                    "tray": tray.code, "cells": " ".join(cell.label for cell in cells),
                },
            ),
        ),
        (sowing.code,),
    )  # fmt: skip
    return MovedRecorded(
        act=act,
        for_name=_for(garden, request),
        targets=(sowing.code,),
        crop=sowing.crop,
        into=tray.code,
        into_cells=cells_text(cells),
        shelf=tray.shelf,
        on=on,
    )


def _onto_shelf(garden: Garden, request: Move, scene: Scene, session: Session) -> Reply:
    shelf = request.onto_shelf or ""
    if shelf == COLD_FRAME and shelf not in garden.shelves:
        garden = _with_frame(session, scene)
    if shelf not in garden.shelves:
        raise ShelfUnknown(shelf=shelf, known=tuple(garden.shelves))
    codes = _trays_of(garden, request.where)
    on = day_of(request, scene)
    before = {code: garden.trays[code].shelf for code in codes}
    for code in codes:
        session.get_one(m.Tray, garden.trays[code].id).shelf_id = garden.shelves[shelf].id
    entries = tuple(
        Entry(
            kind=ReportKind.MOVED,
            on=on,
            tray=garden.trays[code].id,
            values={"shelf": shelf, "before": before[code]},
        )
        for code in codes
    )
    act = _write_move(session, scene, garden, request, on, entries, codes)
    return MovedRecorded(
        act=act,
        for_name=_for(garden, request),
        targets=codes,
        crop=None,
        into=None,
        into_cells="",
        shelf=shelf,
        on=on,
    )


def _with_frame(session: Session, scene: Scene) -> Garden:
    """Make the group's cold frame and return the garden with it."""
    assert scene.group_id is not None
    session.add(
        m.Shelf(
            group_id=scene.group_id,
            code=COLD_FRAME,
            lamp="window",
            tubes=None,
            height_mm=None,
            on_at=None,
            off_at=None,
            places=None,
            heat_mat=False,
            timer=None,
            usual_temp_c=None,
        )
    )
    session.flush()
    return snapshot.garden(session, scene.group_id, scene.today)


def _trays_of(garden: Garden, where: Where) -> tuple[str, ...]:
    from core.handlers.aim import trays_meant

    return trays_meant(garden, where)


def _write_move(
    session: Session,
    scene: Scene,
    garden: Garden,
    request: Move,
    on: date,
    entries: Sequence[Entry],
    targets: tuple[str, ...],
) -> int:
    did, for_name = doer(garden, request.for_whom)
    summary = {"targets": list(targets), "tray": request.into_tray, "shelf": request.onto_shelf}
    return write_act(
        session,
        scene,
        ReportKind.MOVED,
        tuple(entries),
        did=did,
        for_name=for_name,
        summary=summary,
    ).number


def _for(garden: Garden, request: Move) -> str | None:
    did, for_name = doer(garden, request.for_whom)
    return for_name or named(garden, did)
