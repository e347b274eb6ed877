"""Which sowings and trays a member means by what they named."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.cells import Cell
from core.errors import NoSuchSowing, NoTraysYet, ShelfUnknown, SowingUnknown
from core.folding import fold
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing
from core.group.standing import Standing, standing, tray_named
from core.replies.base import Choice, Option
from core.requests import Report, Where


def trays_meant(garden: Garden, where: Where) -> tuple[str, ...]:
    """Return the codes of the trays named by tray, shelf, crop, sowing or `all`.

    Raises TrayUnknown, ShelfUnknown, NoTraysYet, NoSuchSowing.
    """
    if not garden.trays:
        raise NoTraysYet()
    if where.trays:
        trays = [tray_named(garden, code) for code in where.trays]
        if where.cells is not None:
            for tray in trays:
                where.cells.within(tray.code, tray.rows, tray.cols)  # cells that are not there
        return tuple(tray.code for tray in trays)
    if where.shelf is not None:
        if where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=where.shelf, known=tuple(garden.shelves))
        return tuple(code for code, tray in garden.trays.items() if tray.shelf == where.shelf)
    if any((where.crop, where.sowing, where.lot, where.variety)):
        found = [growing.tray for _, growing in sowings_meant(garden, where)]
        return tuple(dict.fromkeys(tray for tray in found if tray is not None))
    return tuple(garden.trays)


def sowings_meant(garden: Garden, where: Where) -> list[Standing]:
    """Return the unfinished sowings that fit everything named, oldest first.

    Nothing named = all of them. Raises SowingUnknown, TrayUnknown, CellOutside, and
    NoSuchSowing when nothing fits.
    """
    found = standing(garden)
    if where.sowing is not None:
        found = [pair for pair in found if pair[0].code == where.sowing.upper()]
        if not found:
            raise SowingUnknown(
                sowing=where.sowing, known=tuple(s.code for s, _ in standing(garden))
            )
    if where.crop is not None:
        found = [pair for pair in found if pair[0].crop == where.crop]
    if where.shelf is not None:
        if where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=where.shelf, known=tuple(garden.shelves))
        on_shelf = {code for code, tray in garden.trays.items() if tray.shelf == where.shelf}
        found = [pair for pair in found if pair[1].tray in on_shelf]
    if where.lot is not None:
        found = [pair for pair in found if pair[0].lot == where.lot]
    if where.variety is not None:
        wanted = fold(where.variety)
        found = [pair for pair in found if fold(variety_of(garden, pair[0]) or "") == wanted]
    if where.trays:
        trays = [tray_named(garden, code) for code in where.trays]
        codes = {tray.code for tray in trays}
        found = [pair for pair in found if pair[1].tray in codes]
        if where.cells is not None and len(trays) == 1:
            meant = set(where.cells.within(trays[0].code, trays[0].rows, trays[0].cols))
            found = [pair for pair in found if meant & set(pair[1].cells)]
    elif where.cells is not None:
        found = [pair for pair in found if _cells_in(garden, pair[1], where)]
    if not found:
        raise NoSuchSowing(
            crop=where.crop,
            variety=where.variety,
            tray=where.trays[0] if where.trays else None,
            cells=where.cells.text if where.cells else None,
        )
    return found


def variety_of(garden: Garden, sowing: SowingOf) -> str | None:
    """Return the variety of a sowing: its own, else its lot's."""
    lot = garden.lots.get(sowing.lot or "")
    return sowing.variety or (lot.variety if lot else None)


def _cells_in(garden: Garden, growing: Growing, where: Where) -> set[Cell]:
    """Return the cells of a part that are named; none where it stands in no tray."""
    tray = garden.trays.get(growing.tray or "")
    if tray is None or where.cells is None:
        return set()
    return set(where.cells.within(tray.code, tray.rows, tray.cols)) & set(growing.cells)


def named_cells(garden: Garden, growing: Growing, where: Where) -> tuple[Cell, ...]:
    """Return the cells of a part that a member named; empty when they meant all of it."""
    inside = _cells_in(garden, growing, where)
    return () if inside >= set(growing.cells) else tuple(sorted(inside))


def source_values(garden: Garden, growing: Growing, where: Where) -> dict[str, Any]:
    """Return what a report keeps of the part it is about: its tray, and cells if not all."""
    cells = named_cells(garden, growing, where)
    values: dict[str, Any] = {"from": growing.tray}
    if cells:
        values["from_cells"] = " ".join(cell.label for cell in cells)
    return values


def where_of(sowing: SowingOf, growing: Growing) -> Where:
    """Return the shortest naming of one part of a sowing."""
    if growing.parts > 1 and growing.tray is not None:
        return Where(sowing=sowing.code, trays=(growing.tray,))
    return Where(sowing=sowing.code)


def one_sowing(garden: Garden, request: Report) -> Standing | Choice:
    """Return the one part of a sowing meant, or the choice to put to the member.

    Of several parts of one sowing the only one that holds so many plants is meant.
    """
    found = sowings_meant(garden, request.where)
    if len(found) > 1 and len({sowing.id for sowing, _ in found}) == 1:
        count = getattr(request, "count", None) or 0
        found = [pair for pair in found if count and pair[1].alive >= count] or found
    if len(found) == 1:
        return found[0]
    return choose(request, found)


def choose(request: Report, found: list[Standing]) -> Choice:
    """Ask which of several is meant; each option is the same report of one of them."""
    cells = request.where.cells
    return Choice(
        question="sowing",
        options=tuple(
            Option(
                kind="sowing",
                request=replace(
                    request,
                    where=where_of(sowing, growing)
                    if cells is None or growing.tray is None
                    else Where(sowing=sowing.code, trays=(growing.tray,), cells=cells),
                ),
                values={
                    "sowing": sowing.code,
                    "crop": sowing.crop,
                    "variety": sowing.variety,
                    "tray": growing.tray,
                    "sown_on": sowing.sown_on,
                },
            )
            for sowing, growing in found[:8]
        ),
        values={"more": max(0, len(found) - 8)},
    )
