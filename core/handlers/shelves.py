"""Shelves and the trays on them."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.errors import ShelfUnknown, TrayUnknown, ValueAbsurd
from core.group.garden import Garden
from core.group.standing import standing
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.shelves import ShelfSaid, ShelvesListed, TraysSaid
from core.requests import SetShelf, SetTray
from core.scene import Scene
from core.set_up_errors import LampUnknown, ShelfFull, TrayInUse, TraySizeMissing, TraySizeUnknown
from core.trade.cautions import Trigger, cautions_for
from core.trade.crops.trays import TRAYS, kinds_with
from core.trade.light.lamp import LAMPS, lamp_hours

WINDOW = "window"
HEIGHT_MM = (20.0, 2000.0)  # lamp over canopy that a shelf may have
USUAL_C = (0.0, 45.0)  # temperature a mix may usually show
MOST_PLACES = 100
MOST_TUBES = 60


def set_shelf(request: SetShelf, scene: Scene, session: Session) -> Reply:
    """Add or change a shelf, or list them all. Raises LampUnknown, ValueAbsurd."""
    assert scene.group_id is not None
    if request.code is None:
        return _listed(snapshot.garden(session, scene.group_id, scene.today))
    _check_shelf(request)
    row = session.scalars(
        select(m.Shelf).where(
            m.Shelf.group_id == scene.group_id, m.Shelf.code == request.code.upper()
        )
    ).one_or_none()
    new = row is None
    if row is None:
        row = m.Shelf(
            group_id=scene.group_id,
            code=request.code.upper(),
            lamp=None,
            tubes=None,
            height_mm=None,
            on_at=None,
            off_at=None,
            places=None,
            heat_mat=None,
            timer=None,
            usual_temp_c=None,
        )
        session.add(row)
    for part in _PARTS:
        value = getattr(request, part)
        if value is not None:
            setattr(row, part, value)
    session.flush()
    garden = snapshot.garden(session, scene.group_id, scene.today)
    return _shelf_said(garden, row.code, request, new)


_PARTS = (
    "lamp", "tubes", "height_mm", "on_at", "off_at", "places", "heat_mat", "timer", "usual_temp_c",
)  # fmt: skip


def _check_shelf(request: SetShelf) -> None:
    known = (*LAMPS.by_id(), WINDOW)
    if request.lamp is not None and request.lamp not in known:
        raise LampUnknown(lamp=request.lamp, known=known)
    for quantity, given, (lo, hi), unit in (
        ("height", request.height_mm, HEIGHT_MM, "mm"),
        ("usual_temp", request.usual_temp_c, USUAL_C, "C"),
        ("places", request.places, (1, MOST_PLACES), ""),
        ("tubes", request.tubes, (1, MOST_TUBES), ""),
    ):
        if given is not None and not lo <= given <= hi:
            raise ValueAbsurd(quantity=quantity, given=given, lo=lo, hi=hi, unit=unit)


def _shelf_said(garden: Garden, code: str, request: SetShelf, new: bool) -> ShelfSaid:
    shelf = garden.shelves[code]
    lit = shelf.lamp is not None and shelf.lamp != WINDOW
    hours = lamp_hours(shelf.on_at, shelf.off_at) if shelf.on_at and shelf.off_at else None
    missing = [
        name
        for name, absent in (
            ("lamp", shelf.lamp is None),
            ("height", lit and shelf.height_mm is None),
            ("hours", lit and hours is None),
            ("temp", shelf.usual_temp_c is None),
        )
        if absent
    ]
    triggers = []
    if request.lamp is not None and request.lamp != WINDOW:
        triggers.append(Trigger.SHELF_LAMP_SET_UP)
    if request.heat_mat:
        triggers.append(Trigger.HEAT_MAT_SET_UP)
    cautions = [caution.id for trigger in triggers for caution in cautions_for(trigger)]
    return ShelfSaid(
        shelf=shelf,
        new=new,
        trays=tuple(c for c, tray in garden.trays.items() if tray.shelf == code),
        hours=hours,
        missing=tuple(missing),
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _listed(garden: Garden) -> ShelvesListed:
    return ShelvesListed(
        shelves=tuple(
            (shelf, tuple(c for c, tray in garden.trays.items() if tray.shelf == code))
            for code, shelf in garden.shelves.items()
        ),
        loose=tuple(code for code, tray in garden.trays.items() if tray.shelf is None),
    )


def standard_sizes() -> tuple[int, ...]:
    """Return the standard counts of cells, smallest first."""
    return tuple(sorted({kind.cells for kind in TRAYS.rows() if kind.usual}))


def set_tray(request: SetTray, scene: Scene, session: Session) -> Reply:
    """Add trays, change their size or shelf, or take them out of use.

    Raises TraySizeUnknown, TraySizeMissing, TrayInUse, ShelfUnknown, ShelfFull, TrayUnknown.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    codes = tuple(dict.fromkeys(code.upper() for code in request.codes))
    rows = {
        row.code: row
        for row in session.scalars(select(m.Tray).where(m.Tray.group_id == scene.group_id))
    }
    if request.retired:
        return _retire(garden, codes, rows, scene)
    size = _size(request)
    shelf = _shelf_for(garden, request, codes)
    missing = tuple(c for c in codes if c not in garden.trays)
    if size is None and missing:
        raise TraySizeMissing(trays=missing, sizes=standard_sizes())
    added: list[str] = []
    changed: list[str] = []
    for code in codes:
        row = rows.get(code)
        (changed if code in garden.trays else added).append(code)
        if row is None:
            assert size is not None
            row = m.Tray(
                group_id=scene.group_id,
                code=code,
                rows=size[0],
                cols=size[1],
                cell_ml=None,
                shelf_id=None,
                retired_on=None,
            )
            session.add(row)
        elif size is not None and (row.rows, row.cols) != size:
            _unused(garden, code, retiring=False)
            row.rows, row.cols = size
        row.retired_on = None
        if shelf is not None:
            row.shelf_id = shelf
    session.flush()
    after = snapshot.garden(session, scene.group_id, scene.today)
    sizes = {(after.trays[c].rows, after.trays[c].cols) for c in codes}
    shared = sizes.pop() if len(sizes) == 1 else (0, 0)
    return TraysSaid(
        added=tuple(added),
        changed=tuple(changed),
        rows=shared[0],
        cols=shared[1],
        shelf=request.shelf,
        example=added[0] if added else None,
    )


def _size(request: SetTray) -> tuple[int, int] | None:
    if request.rows and request.cols:
        return request.rows, request.cols
    if not request.cells:
        return None
    kinds = kinds_with(request.cells)
    if not kinds:
        raise TraySizeUnknown(cells=request.cells, sizes=standard_sizes())
    return kinds[0].rows, kinds[0].cols


def _shelf_for(garden: Garden, request: SetTray, codes: tuple[str, ...]) -> int | None:
    if request.shelf is None:
        return None
    shelf = garden.shelves.get(request.shelf.upper())
    if shelf is None:
        raise ShelfUnknown(shelf=request.shelf, known=tuple(garden.shelves))
    if shelf.places is not None:
        there = {code for code, tray in garden.trays.items() if tray.shelf == shelf.code}
        if len(there | set(codes)) > shelf.places and set(codes) - there:
            raise ShelfFull(shelf=shelf.code, places=shelf.places, asked=len(there | set(codes)))
    return shelf.id


def _retire(
    garden: Garden, codes: tuple[str, ...], rows: dict[str, m.Tray], scene: Scene
) -> TraysSaid:
    for code in codes:
        if code not in garden.trays:
            raise TrayUnknown(tray=code, known=tuple(garden.trays))
        _unused(garden, code, retiring=True)
    for code in codes:
        rows[code].retired_on = scene.today
    return TraysSaid(retired=codes)


def _unused(garden: Garden, tray: str, *, retiring: bool) -> None:
    living = tuple((s.code, s.crop) for s, growing in standing(garden) if growing.tray == tray)
    if living:
        raise TrayInUse(tray=tray, sowings=living, retiring=retiring)
