"""Which sowings and trays a member means by what they named."""

from __future__ import annotations

from dataclasses import replace

from core.errors import NoSuchSowing, NoTraysYet, ShelfUnknown, SowingUnknown
from core.group.garden import Garden
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
        return tuple(tray_named(garden, code).code for code in where.trays)
    if where.shelf is not None:
        if where.shelf not in garden.shelves:
            raise ShelfUnknown(shelf=where.shelf, known=tuple(garden.shelves))
        return tuple(code for code, tray in garden.trays.items() if tray.shelf == where.shelf)
    if where.crop is not None or where.sowing is not None or where.lot is not None:
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
    if where.trays:
        trays = [tray_named(garden, code) for code in where.trays]
        codes = {tray.code for tray in trays}
        found = [pair for pair in found if pair[1].tray in codes]
        if where.cells is not None and len(trays) == 1:
            meant = set(where.cells.within(trays[0].code, trays[0].rows, trays[0].cols))
            found = [pair for pair in found if meant & set(pair[1].cells)]
    if not found:
        raise NoSuchSowing(
            crop=where.crop,
            tray=where.trays[0] if where.trays else None,
            cells=where.cells.text if where.cells else None,
        )
    return found


def one_sowing(garden: Garden, request: Report) -> Standing | Choice:
    """Return the one sowing meant, or the choice to put to the member."""
    found = sowings_meant(garden, request.where)
    if len(found) == 1:
        return found[0]
    return choose(request, found)


def choose(request: Report, found: list[Standing]) -> Choice:
    """Ask which of several sowings is meant; each option is the same report of one sowing."""
    return Choice(
        question="sowing",
        options=tuple(
            Option(
                kind="sowing",
                request=replace(request, where=Where(sowing=sowing.code)),
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
