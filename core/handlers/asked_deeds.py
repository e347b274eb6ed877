"""What was done, by whom and when: events of the records, and those a question is about."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from core.errors import NoTraysYet
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import follow
from core.group.standing import standing, tray_named
from core.handlers.aim import sowings_meant, trays_meant
from core.replies.looked_up import Found, LookedUpSaid
from core.report_kinds import ReportKind as K
from core.requests import Where
from core.trouble.days_asked import Days
from core.trouble.looked_up import Sought

MOST = 6
MOST_TOLD = 10  # lines of a history

KINDS: Mapping[Sought, tuple[str, ...]] = {
    Sought.WATERED: (K.WATERED,),
    Sought.FED: (K.FED,),
    Sought.SOWN: (K.SOW,),
    Sought.COUNTED: (K.UP,),
    Sought.MOVED: (K.MOVED,),
    Sought.POTTED: (K.POTTED,),
    Sought.THINNED: (K.THINNED,),
    Sought.PLANTED: (K.PLANTED,),
    Sought.HARDENED: (K.HARDEN, K.OUT),
    Sought.MEASURED: (K.TEMP, K.LIGHT, K.MOIST),
    Sought.NOTED: (K.NOTE,),
}
"""The reports that tell of each deed."""

OFTEN = (K.WATERED, K.MOIST, K.TEMP, K.OUT, K.FED)
"""Done so often that a history tells only how often, and the last."""

Doers = Mapping[int, tuple[int | None, str | None]]
"""Who did what an act tells of: member id, or a helper's name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One report, with what it was of."""

    on: date
    order: tuple[object, ...]
    act: int
    kind: str
    about: Found
    values: Mapping[str, object]

    def found(self) -> Found:
        """Return the line that tells it."""
        v = self.values
        count = v.get("count", v.get("total", v.get("per_cell")))
        to = v.get("shelf") or v.get("tray") or v.get("to")
        temp = v.get("temp_c")
        return replace(
            self.about,
            on=self.on,
            act=self.act,
            kind=self.kind,
            n=int(str(count)) if count is not None else None,
            to=str(to) if to else None,
            text=str(v["text"]) if v.get("text") else None,
            level=str(v["level"]) if v.get("level") else None,
            temp_c=float(str(temp)) if temp is not None else None,
            why=str(v["cause"]) if v.get("cause") else None,
        )


def events(garden: Garden, where: Where) -> list[Event]:
    """Return every report of what is meant, oldest first; of everything where nothing is named."""
    sowings, trays = _meant(garden, where)
    found = [one for sowing in sowings for one in _of_sowing(sowing)]
    for code in trays:
        found += [_event(h, Found(tray=code)) for h in garden.tray_reports.get(code, ())]
    if where.empty or where.shelf is not None:
        shelves = [where.shelf] if where.shelf is not None else list(garden.shelves)
        for shelf in shelves:
            about = Found(shelf=shelf)
            found += [_event(h, about) for h in garden.shelf_reports.get(shelf, ())]
    if where.empty:
        found += [_event(h, Found()) for h in garden.site_reports]
    return sorted(found, key=lambda one: (one.on, one.order))


def _meant(garden: Garden, where: Where) -> tuple[list[SowingOf], tuple[str, ...]]:
    """Return the sowings and trays meant, those closed of late too; raise as `sowings_meant`."""
    every = [*garden.lately_closed, *garden.sowings]
    if where.empty:
        return every, tuple(garden.trays)
    if where.trays:
        codes = tuple(tray_named(garden, code).code for code in where.trays)
        inside = [s for s in every if {s.tray, follow(s).tray} & set(codes)]
        return inside, codes
    if where.shelf is not None:
        codes = trays_meant(garden, where)
        return [s for s in every if follow(s).tray in codes], codes
    closed = [
        s
        for s in garden.lately_closed
        if (where.crop is None or s.crop == where.crop)
        and (where.sowing is None or s.code == where.sowing.upper())
    ]
    living = [] if closed and not _stands(garden, where) else sowings_meant(garden, where)
    once = {s.id: s for s in (*closed, *(s for s, _ in living))}
    trays = dict.fromkeys(growing.tray for _, growing in living if growing.tray is not None)
    return list(once.values()), tuple(trays)


def _stands(garden: Garden, where: Where) -> bool:
    return any(
        (where.crop is None or s.crop == where.crop)
        and (where.sowing is None or s.code == where.sowing.upper())
        for s in garden.sowings
    )


def _of_sowing(sowing: SowingOf) -> Iterable[Event]:
    tray = follow(sowing).tray or sowing.tray
    about = Found(tray=tray, sowing=sowing.code, crop=sowing.crop, variety=sowing.variety)
    values = {"count": len(sowing.cells)}
    yield Event(
        on=sowing.sown_on, order=(0, 0), act=sowing.act, kind=K.SOW, values=values,
        about=replace(about, tray=sowing.tray),
    )  # fmt: skip
    for happening in sowing.happenings:
        yield _event(happening, about)


def _event(happening: Happening, about: Found) -> Event:
    return Event(
        on=happening.on,
        order=(1, happening.id),
        act=happening.act,
        kind=happening.kind,
        about=about,
        values=happening.values,
    )


def _within(one: Event, days: Days | None) -> bool:
    return days is None or days[0] <= one.on <= days[1]


def _by(one: Event, doers: Doers, garden: Garden, whom: str | None) -> bool:
    if whom is None:
        return True
    member, helper = doers.get(one.act, (None, None))
    known = garden.members.get(member) if member is not None else None
    return (known.name if known is not None else helper) == whom


def told(
    garden: Garden,
    sought: Sought,
    where: Where,
    doers: Doers,
    days: Days | None,
    whom: str | None,
) -> LookedUpSaid:
    """Return who did a thing last and when, by tray or sowing; within the days or of the member
    asked about, every time."""
    if not garden.trays:
        raise NoTraysYet()
    every = [one for one in events(garden, where) if one.kind in KINDS[sought]]
    fit = [one for one in every if _within(one, days) and _by(one, doers, garden, whom)]
    bounded = days is not None or whom is not None
    none_then = bounded and not fit
    lines = [one.found() for one in (fit if bounded and fit else _last_each(every))]
    if not bounded or (none_then and not lines and not where.empty):
        lines += _untold(garden, sought, where, {line.tray for line in lines})
    lines.sort(key=lambda one: one.on or date.min, reverse=True)
    lines = list(dict.fromkeys(lines))
    return LookedUpSaid(
        sought=sought,
        found=tuple(lines[:MOST]),
        more=max(0, len(lines) - MOST),
        since=days[0] if days else None,
        until=days[1] if days else None,
        whom=whom,
        none_then=none_then,
    )


def _untold(
    garden: Garden, sought: Sought, where: Where, told_of: Collection[str | None]
) -> list[Found]:
    """Return what is meant and has no such report: trays of what trays get, else sowings."""
    if sought not in (Sought.WATERED, Sought.FED):
        if where.empty or told_of:
            return []
        living = {s.id: s for s, _ in sowings_meant(garden, where)}.values()
        return [
            Found(tray=follow(s).tray, sowing=s.code, crop=s.crop, variety=s.variety)
            for s in living
        ]
    trays = trays_meant(garden, where)
    if where.empty:
        growing = {part.tray for _, part in standing(garden)}
        trays = tuple(code for code in trays if code in growing) or trays
    return [Found(tray=code) for code in trays if code not in told_of]


def _last_each(every: list[Event]) -> list[Event]:
    """Return the last event of each thing reported of."""
    last: dict[tuple[str | None, ...], Event] = {}
    for one in every:
        last[(one.about.sowing, one.about.tray, one.about.shelf)] = one
    return list(last.values())


def history(
    garden: Garden, where: Where, doers: Doers, days: Days | None, whom: str | None
) -> LookedUpSaid:
    """Return what happened, oldest first: what is done often as how often, and the last."""
    every = [
        one for one in events(garden, where) if _within(one, days) and _by(one, doers, garden, whom)
    ]
    lines = [one.found() for one in every if one.kind not in OFTEN]

    def what(one: Event) -> tuple[str, str, str]:
        about = one.about
        return one.kind, about.tray or about.shelf or "", about.sowing or ""

    often = sorted((one for one in every if one.kind in OFTEN), key=what)
    for _, group in groupby(often, key=what):
        of_kind = list(group)
        lines.append(replace(of_kind[-1].found(), days=len({one.on for one in of_kind})))
    lines.sort(key=lambda one: one.on or date.min)
    return LookedUpSaid(
        sought=Sought.HISTORY,
        found=tuple(lines[-MOST_TOLD:]),
        more=max(0, len(lines) - MOST_TOLD),
        since=days[0] if days else None,
        until=days[1] if days else None,
        whom=whom,
        none_then=not lines,
    )
