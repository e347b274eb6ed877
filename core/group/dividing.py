"""Follow a sowing's live reports into the parts it is divided into.

A report that named no part, or one that is gone since the act that made it was taken back, draws
on the others: its plants are where they were before.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.cells import Cell
from core.group.garden import Happening, SowingOf
from core.group.parts import INDOORS, Divided, Part, Place, Stage


def divide(sowing: SowingOf) -> Divided:
    """Return a sowing's parts after all its live reports.

    Checked by: tests/core/group/test_parts.py.
    """
    seed_part = Part(place=Place.CELLS, tray=sowing.tray, cells=sowing.cells)
    book = Divided(seeds=sowing.seeds, parts=[seed_part])
    for report in sowing.happenings:
        follow = _ACTS.get(report.kind)
        if follow is not None:
            follow(book, report, sowing)
    return book


def _named(values: Mapping[str, Any], key: str = "from_cells") -> tuple[Cell, ...]:
    return tuple(Cell.of(label) for label in str(values.get(key) or "").split())


def _chosen(book: Divided, values: Mapping[str, Any], *order: Place) -> list[Part]:
    """Return the parts an act may draw on, the one it names first, then by place in order.

    A part that is gone, since the act that made it was taken back, is not missed: its plants
    are where they were before.
    """
    fits = [part for place in order for part in book.parts if part.place is place]
    tray = values.get("from")
    cells = set(_named(values))
    return sorted(  # stable
        fits,
        key=lambda part: (
            part.tray != tray if tray is not None else False,
            not cells & set(part.cells) if cells else False,
        ),
    )


def _take(book: Divided, parts: list[Part], count: int) -> int:
    """Take plants out of parts in turn; those never counted must have come up. Return how many."""
    taken = 0
    for part in parts:
        some = min(part.alive, count - taken)
        part.alive -= some
        taken += some
    unseen = min(count - taken, book.not_up)
    book.came += unseen
    return taken + unseen


def _clear(book: Divided, part: Part, cells: tuple[Cell, ...], *, emptied: bool) -> None:
    """Free cells of a part; a part without plants that was emptied is gone.

    A pot holds one plant: of pots nobody named, the last ones are taken for the empty ones.
    """
    part.cells = tuple(cell for cell in part.cells if cell not in cells)
    if part.place is Place.POTS and part.tray is not None:
        part.cells = part.cells[: max(1, part.alive)]
    if part.alive == 0 and (emptied or not part.cells) and part in book.parts:
        book.parts.remove(part)


def _up(book: Divided, report: Happening, sowing: SowingOf) -> None:
    total = min(int(report.values["total"]), book.seeds - book.seeds_lost)
    book.counts.append((report.on, int(report.values["total"])))
    home = next((p for p in book.parts if p.place is Place.CELLS), None)
    if total > book.came:
        if home is None:
            home = next((p for p in book.parts if p.place is not Place.BED), None)
        if home is None:
            home = Part(place=Place.CELLS, tray=sowing.tray, cells=sowing.cells)
            book.parts.append(home)
        home.alive += total - book.came
        book.came = total
    elif home is not None:  # taken back or told lower: those potted up since stay
        fewer = min(home.alive, book.came - total)
        home.alive -= fewer
        book.came -= fewer
    if total > 0:
        book.first_up_on = book.first_up_on or report.on
        if home is not None and home.stage is Stage.SOWN:
            home.stage = Stage.UP


def _thinned(book: Divided, report: Happening, sowing: SowingOf) -> None:
    for part in _chosen(book, report.values, Place.CELLS, Place.POTS)[:1]:
        named = tuple(c for c in _named(report.values) if c in part.cells) or part.cells
        part.thinned_cells = (part.thinned_cells | frozenset(named)) & frozenset(part.cells)
        whole = part.thinned_cells >= set(part.cells)
        rest = 0 if whole else (len(part.cells) - len(part.thinned_cells)) * sowing.seeds_per_cell
        done = len(part.cells) if whole else len(part.thinned_cells)
        keep = int(report.values.get("per_cell", 1)) * max(1, done) + rest
        out = max(0, part.alive - keep)
        part.alive -= out
        book.thinned += out
        if whole:
            part.thinned_on = report.on
            part.stage = Stage.THINNED if part.stage in (Stage.SOWN, Stage.UP) else part.stage


def _potted(book: Divided, report: Happening, sowing: SowingOf) -> None:
    values = report.values
    said_from = "from" in values
    source = _chosen(book, values, Place.CELLS, Place.ASIDE, Place.POTS)
    told = None if values.get("count") is None else int(values["count"])
    if not said_from:  # an older report: where that many stood, cells first
        source.sort(key=lambda p: (p.alive < (told or 1), p.alive == 0))
    first = source[0] if source else None
    named = _named(values)
    here = first.alive if first is not None else 0
    count = here if told is None else told
    moved = _take(book, source, count)
    into = str(values["tray"]) if values.get("tray") else None
    filled = _named(values, "cells")
    same = next((p for p in book.parts if p.place is Place.POTS and p.tray == into), None)
    if first is not None and first is not same:
        emptied = first.alive == 0 and (not named or set(named) >= set(first.cells))
        if said_from or emptied or first.place is not Place.CELLS:
            _clear(book, first, first.cells if first.alive == 0 and not named else named,
                   emptied=emptied)  # fmt: skip
        else:  # the cells were told to be free, and the rest is nowhere that anybody said
            first.place, first.cells, first.tray = Place.ASIDE, (), None
    began = [p for p in (first, same) if p is not None and p.outings]
    if same is None:
        same = Part(place=Place.POTS, tray=into, since=report.on, stage=Stage.POTTED)
        book.parts.append(same)
        if first is not None:
            same.outings, same.begun_on, same.fed_on = first.outings, first.begun_on, first.fed_on
            same.thinned_on = first.thinned_on
    same.alive += moved
    same.cells = tuple(sorted({*(same.cells if same is not first else ()), *filled}))
    same.potted_on, same.since = report.on, report.on
    hardening = same.stage is Stage.HARDENING or bool(began)
    same.stage = Stage.HARDENING if hardening else Stage.POTTED
    if same.alive == 0 and not same.cells:
        book.parts.remove(same)


def _moved(book: Divided, report: Happening, sowing: SowingOf) -> None:
    """A part, or cells of it, stands in other cells now; it stays what it was."""
    values = report.values
    source = _chosen(book, values, Place.CELLS, Place.POTS)
    if not source:
        return
    first = source[0]
    named = tuple(c for c in _named(values) if c in first.cells) or first.cells
    into, filled = str(values["tray"]), _named(values, "cells")
    if set(named) >= set(first.cells):
        first.tray, first.cells, first.since = into, filled, report.on
        return
    count = min(first.alive, int(values.get("count") or 0))
    first.alive -= count
    _clear(book, first, named, emptied=False)
    book.parts.append(
        Part(
            place=first.place, tray=into, cells=filled, alive=count, since=report.on,
            stage=first.stage, thinned_on=first.thinned_on, potted_on=first.potted_on,
            fed_on=first.fed_on, outings=first.outings, begun_on=first.begun_on,
            thinned_cells=frozenset(filled) if first.thinned_on else frozenset(),
        )
    )  # fmt: skip


def _fed(book: Divided, report: Happening, sowing: SowingOf) -> None:
    for part in _meant(book, report.values):
        part.fed_on = report.on


def _watered(book: Divided, report: Happening, sowing: SowingOf) -> None:
    for part in _meant(book, report.values, bed=True):
        part.watered_on = report.on


def _out(book: Divided, report: Happening, sowing: SowingOf) -> None:
    if report.values.get("once"):
        return  # an outing, which begins nothing
    hours = report.values.get("hours")
    told = None if hours is None else float(hours)
    for part in _meant(book, report.values):
        part.outings += ((report.on, told, bool(report.values.get("overnight", False))),)
        part.stage = Stage.HARDENING


def _harden(book: Divided, report: Happening, sowing: SowingOf) -> None:
    for part in _meant(book, report.values):
        part.begun_on = report.on
        part.stage = Stage.HARDENING


def _meant(book: Divided, values: Mapping[str, Any], *, bed: bool = False) -> list[Part]:
    """Return the parts a report of care names by their tray, else all of them."""
    if values.get("place") == Place.BED:
        return [part for part in book.parts if part.place is Place.BED]
    places = (*INDOORS, Place.BED) if bed and "from" not in values else INDOORS
    fits = [part for part in book.parts if part.place in places]
    named = [part for part in fits if part.tray == values.get("from")]
    return named or fits


def _planted(book: Divided, report: Happening, sowing: SowingOf) -> None:
    values = report.values
    source = _chosen(book, values, Place.POTS, Place.CELLS, Place.ASIDE)
    first = source[0] if source else None
    here = sum(p.alive for p in source if p.place in INDOORS)
    if "from" in values and first is not None:
        here = first.alive
    count = here if values.get("count") is None else int(values["count"])
    moved = _take(book, source, count)
    book.planted += moved
    book.planted_on = report.on
    named = _named(values)
    for part in list(source):
        if part.alive == 0 or part is first:
            _clear(book, part, named if part is first else (), emptied=part.alive == 0)
    if values.get("to"):
        book.given += moved
        return
    spot = str(values["spot"]) if values.get("spot") else None
    if moved:
        book.parts.append(
            Part(
                place=Place.BED, alive=moved, since=report.on, stage=Stage.FINISHED, spot=spot,
                cover=values.get("cover"),
            )
        )  # fmt: skip


def _lost(book: Divided, report: Happening, sowing: SowingOf) -> None:
    values = report.values
    named = _named(values)
    if values.get("place") == Place.BED:
        beds = [part for part in book.parts if part.place is Place.BED]
        everything = values.get("all") or values.get("count") is None
        wanted = sum(p.alive for p in beds) if everything else int(values["count"])
        book.lost += _take_known(beds, wanted)
        book.parts = [p for p in book.parts if p.place is not Place.BED or p.alive]
        return
    source = _chosen(book, values, Place.POTS, Place.CELLS, Place.ASIDE)
    if values.get("seeds") and source:  # cells given up before anything showed in them
        first = source[0]
        gone = tuple(c for c in named if c in first.cells)
        book.seeds_lost += min(len(gone) * sowing.seeds_per_cell, book.not_up)
        _clear(book, first, gone, emptied=False)
        return
    if values.get("all") or values.get("count") is None:
        if "from" in values and source:
            source = [p for p in source if p.tray == values["from"]] or source[:1]
        book.failed = book.came == 0
        for part in source:
            book.lost += part.alive
            part.alive = 0
            book.parts.remove(part)
        return
    book.lost += _take_known(source, int(values["count"]))
    cleared = named if values.get("cleared") else ()
    for index, part in enumerate(list(source)):
        _clear(book, part, cleared if index == 0 else (),
               emptied=part.alive == 0 and book.came > 0)  # fmt: skip


def _take_known(parts: list[Part], count: int) -> int:
    taken = 0
    for part in parts:
        some = min(part.alive, count - taken)
        part.alive -= some
        taken += some
    return taken


_ACTS = {
    "up": _up,
    "thinned": _thinned,
    "potted": _potted,
    "moved": _moved,
    "fed": _fed,
    "watered": _watered,
    "out": _out,
    "harden": _harden,
    "planted": _planted,
    "lost": _lost,
}
