"""Where things stand, what is in them, how many are left, what is planned, whose turn it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, follow
from core.group.standing import standing, tray_named
from core.handlers.aim import sowings_meant, trays_meant, variety_of
from core.replies.looked_up import Found, LookedUpSaid
from core.report_kinds import ReportKind
from core.requests import Where
from core.trouble.concepts import fold
from core.trouble.days_asked import days_asked
from core.trouble.looked_up import Sought

MOST = 6  # lines shown of one answer
MOST_TRAYS = 12  # trays shown of a shelf
MOST_DAYS = 7  # days of a rota shown
AHEAD = 60  # days looked ahead for a member's next turn
TURNS = 3  # of their next turns shown


def said(sought: Sought, found: Iterable[Found], most: int = MOST) -> LookedUpSaid:
    """Return an answer of at most so many lines."""
    every = tuple(found)
    return LookedUpSaid(sought=sought, found=every[:most], more=max(0, len(every) - most))


def named(sowing: SowingOf, growing: Growing | None = None) -> Found:
    """Return a line about a sowing, or one part of it."""
    tray = growing.tray if growing is not None else None
    return Found(tray=tray, sowing=sowing.code, crop=sowing.crop, variety=sowing.variety)


def where_stands(garden: Garden, where: Where) -> LookedUpSaid:
    """Return where a tray, sowing or crop stands; raise as `sowings_meant` and `tray_named`."""
    if where.crop is not None and not where.trays:
        where = replace(where, shelf=None)  # it is asked for, or was wrongly thought of
    if where.trays or where.empty or where.shelf is not None:
        return said(Sought.WHERE, (_place(garden, code) for code in trays_meant(garden, where)))
    return said(
        Sought.WHERE,
        (
            replace(
                _placed(garden, part.tray, named(sowing, part)),
                n=part.alive or None,
                place="" if part.tray else "pots",
            )
            for sowing, part in sowings_meant(garden, where)
        ),
    )


def _placed(garden: Garden, tray: str | None, about: Found) -> Found:
    shelf = garden.trays[tray].shelf if tray in garden.trays and tray else None
    mat = garden.shelves[shelf].heat_mat if shelf in garden.shelves and shelf else None
    return replace(about, tray=tray, shelf=shelf, mat=mat)


def _place(garden: Garden, tray: str) -> Found:
    """Return where a tray stands, what is in it, and when it was moved last."""
    crops = dict.fromkeys(s.crop for s, part in standing(garden) if part.tray == tray)
    moved = [h for h in garden.tray_reports.get(tray, ()) if h.kind == ReportKind.MOVED]
    found = _placed(garden, tray, Found(crops=tuple(crops)))
    if moved:
        found = replace(found, on=moved[-1].on, act=moved[-1].act)
    return found


_EMPTY = frozenset({"empty", "free", "unused", "vacia", "vacias", "libre", "libres"})


def on_shelf(garden: Garden, where: Where, text: str) -> LookedUpSaid:
    """Return the trays of a shelf, of those with a mat or a window, or all; with what is in them.

    Raises ShelfUnknown, NoTraysYet.
    """
    codes = trays_meant(garden, Where(shelf=where.shelf) if where.shelf else Where())
    words = set(fold(text).split())
    if where.shelf is None:
        shelves = None
        if words & {"mat", "mats", "manta", "tapete", "alfombrilla"}:
            shelves = {code for code, row in garden.shelves.items() if row.heat_mat}
        elif words & {"window", "windows", "windowsill", "sill", "ventana"}:
            shelves = {code for code, row in garden.shelves.items() if row.lamp == "window"}
        if shelves is not None:
            codes = tuple(code for code in codes if garden.trays[code].shelf in shelves)
    places = [_place(garden, code) for code in codes]
    if words & _EMPTY:
        places = [one for one in places if not one.crops]
    made = said(Sought.SHELF, places, MOST_TRAYS)
    return replace(made, whom=where.shelf)


def contents(garden: Garden, where: Where) -> LookedUpSaid:
    """Return the lot, variety and age of the seed that stands in what is meant."""
    if where.trays:
        codes = [tray_named(garden, code).code for code in where.trays]
        if not any(part.tray in codes for _, part in standing(garden)):
            return LookedUpSaid(sought=Sought.CONTENTS, trays=tuple(codes))
    found = []
    for sowing, part in sowings_meant(garden, where):
        lot = garden.lots.get(sowing.lot or "")
        about = replace(named(sowing, part), variety=variety_of(garden, sowing))
        found.append(
            replace(
                about,
                lot=sowing.lot,
                packed_for=lot.packed_for if lot else None,
                on=sowing.sown_on,
                n=len(part.cells) or None,
            )
        )
    return said(Sought.CONTENTS, found)


def amounts(garden: Garden, sought: Sought, where: Where) -> LookedUpSaid:
    """Return how many live, were potted up, or went out, of each sowing meant."""
    if sought is Sought.LEFT:
        wholes = {s.id: s for s, _ in sowings_meant(garden, where)}.values()
        lines = []
        for sowing in wholes:
            growing = follow(sowing)
            up = growing.first_up_on is not None
            lines.append(
                replace(
                    named(sowing, growing),
                    n=growing.alive if up else None,
                    of=sowing.seeds,
                    on=growing.counted_on,
                )
            )
        return said(sought, lines)
    kind = ReportKind.POTTED if sought is Sought.POTTED_N else ReportKind.PLANTED
    every = {s.id: s for s in (*garden.lately_closed, *garden.sowings) if _fits(s, where)}
    if not every and not where.empty:
        sowings_meant(garden, where)  # says what is not there
    lines = []
    for sowing in every.values():
        done = [h for h in sowing.happenings if h.kind == kind]
        if done or not where.empty:
            count = sum(int(h.values.get("count") or 0) for h in done)
            last = done[-1].on if done else None
            lines.append(replace(named(sowing), tray=follow(sowing).tray, n=count, on=last))
    return said(sought, lines)


def _fits(sowing: SowingOf, where: Where) -> bool:
    return (
        (where.crop is None or sowing.crop == where.crop)
        and (where.sowing is None or sowing.code == where.sowing.upper())
        and (not where.trays or bool({sowing.tray, follow(sowing).tray} & set(where.trays)))
    )


def came_up(garden: Garden, where: Where) -> LookedUpSaid:
    """Return the day of the first seedling of each sowing meant."""
    wholes = {s.id: s for s, _ in sowings_meant(garden, where)}.values()
    return said(
        Sought.CAME, (replace(named(s, follow(s)), on=follow(s).first_up_on) for s in wholes)
    )


def planned(garden: Garden, where: Where) -> LookedUpSaid | None:
    """Return the dates the accepted plan has for a crop; None = it has none."""
    entries = [
        entry
        for entry in (garden.plan or {}).get("sowings", ())
        if where.crop is not None and entry["crop"] == where.crop
    ]
    lines = [
        Found(
            crop=entry["crop"],
            variety=entry.get("variety"),
            n=entry.get("plants"),
            on=date.fromisoformat(entry["sow_on"]),
            pot_on=date.fromisoformat(entry["pot_on"]) if entry.get("pot_on") else None,
            out_on=date.fromisoformat(entry["plant_out"]) if entry.get("plant_out") else None,
            place="sown" if entry["id"] in garden.sown_items else "",
        )
        for entry in entries
    ]
    return (
        said(Sought.PLANNED, sorted(lines, key=lambda one: one.on or date.min)) if lines else None
    )


def wanted(garden: Garden, where: Where) -> LookedUpSaid:
    """Return how many plants of each crop the accepted plan is for."""
    items = (garden.plan or {}).get("items", ())
    return said(
        Sought.WANTED,
        (
            Found(crop=item["crop"], variety=item.get("variety"), n=int(item["plants"]))
            for item in items
            if where.crop is None or item["crop"] == where.crop
        ),
        MOST_TRAYS,
    )


_BACK = frozenset(
    {"was", "were", "had", "did", "last", "yesterday", "ayer", "estuvo", "estaba", "toco"}
    | {"tocaba", "pasado", "pasada"}
)
_TURN = frozenset({"turn", "turns", "shift", "duty", "next", "toca", "turno", "turnos"})
_MINE = frozenset({"i", "my", "me", "am", "im", "mi", "mis"})


def duty(garden: Garden, text: str, today: date, member: int | None) -> LookedUpSaid:
    """Return who is on duty on the days asked about, or the speaker's next turns."""
    words = set(fold(text).split())
    days = days_asked(text, today, ahead=not words & _BACK)
    if words & _MINE and member is not None:
        return _own_turns(garden, days, today, member)
    said_names = f" {fold(text)} "
    for other in garden.members.values():
        if f" {fold(other.name)} " in said_names and words & _TURN:
            return replace(_own_turns(garden, days, today, other.id), whom=other.name)
    if days is None:
        days = (today, today) if words & _BACK or "now" in words else (today, today + timedelta(1))
    span = min((days[1] - days[0]).days + 1, MOST_DAYS)
    rota = tuple(
        (day, garden.on_duty(day), garden.closed(day))
        for day in (days[0] + timedelta(days=n) for n in range(span))
    )
    return LookedUpSaid(sought=Sought.DUTY, rota=rota)


def _own_turns(
    garden: Garden, days: tuple[date, date] | None, today: date, member: int
) -> LookedUpSaid:
    first, last = days or (today, today + timedelta(days=AHEAD))
    every = [
        day
        for day in (first + timedelta(days=n) for n in range((last - first).days + 1))
        if member in garden.on_duty(day) and not garden.closed(day)
    ]
    shown = every[: TURNS if days is None else MOST_DAYS]
    return LookedUpSaid(
        sought=Sought.DUTY,
        mine=True,
        rota=tuple((day, (member,), False) for day in shown),
        since=days[0] if days else None,
        until=days[1] if days else None,
    )
