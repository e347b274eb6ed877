"""Who did it, when, how many: questions that the group's own records answer in a line or two."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.folding import fold
from core.group import outlook
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import Growing, follow
from core.group.standing import Standing, standing, tray_named
from core.handlers.aim import sowings_meant, trays_meant
from core.records.acts import doers_of
from core.replies.trouble import Differs, Found, LookedUpSaid
from core.requests import Where
from core.trouble.looked_up import Sought

MOST = 6  # lines shown of one answer


def look_up(
    session: Session, garden: Garden, sought: Sought, where: Where, text: str, today: date
) -> LookedUpSaid:
    """Return what the records say; raise TrayUnknown, NoTraysYet, NoSuchSowing, SowingUnknown."""
    said = _looked_up(garden, sought, where, text, today)
    doers = doers_of(session, {one.act for one in said.found if one.act is not None})
    found = []
    for one in said.found:
        did, by = doers.get(one.act or 0, (None, None))
        found.append(replace(one, did=did, by=by))
    return replace(said, found=tuple(found))


def _looked_up(
    garden: Garden, sought: Sought, where: Where, text: str, today: date
) -> LookedUpSaid:
    match sought:
        case Sought.WATERED | Sought.FED:
            return _said(sought, _cared_for(garden, sought, where))
        case Sought.SOWN:
            return _said(sought, (_sown(s, g) for s, g in _wholes(garden, where)))
        case Sought.AGE:
            return _said(sought, (_age(s, g, today) for s, g in _wholes(garden, where)))
        case Sought.UP:
            return _said(sought, (_up(s, g) for s, g in _wholes(garden, where)))
        case Sought.LOST:
            return _said(sought, _lost(garden, where))
        case Sought.DRY:
            return _dry(garden, where, today)
        case Sought.DUTY:
            return _duty(garden, text, today)
        case Sought.UNSOWN:
            return _said(sought, _unsown(garden, where))
        case Sought.DIFFERENT:
            return _different(garden, where)


def _said(sought: Sought, found: Iterable[Found]) -> LookedUpSaid:
    every = tuple(found)
    return LookedUpSaid(sought=sought, found=every[:MOST], more=max(0, len(every) - MOST))


def _cared_for(garden: Garden, sought: Sought, where: Where) -> list[Found]:
    """Return the last watering or feed of each tray meant; of those with plants if none is named.

    Plants in loose pots are asked about by their crop or sowing.
    """
    trays = trays_meant(garden, where)
    if where.empty:
        growing = {part.tray for _, part in standing(garden)}
        trays = tuple(code for code in trays if code in growing) or trays
    found = [_done(_last(_of_tray(garden, code, sought)), Found(tray=code)) for code in trays]
    if not trays:
        found = [
            _done(_last(h for h in s.happenings if h.kind == sought), _named(s))
            for s, _ in _wholes(garden, where)
        ]
    return sorted(found, key=lambda one: one.on or date.min, reverse=True)


def _of_tray(garden: Garden, tray: str, kind: str) -> list[Happening]:
    """Return what of a kind was reported of a tray, or of the sowings that stand in it."""
    own = [h for h in garden.tray_reports.get(tray, ()) if h.kind == kind]
    inside = {s.id: s for s, part in standing(garden) if part.tray == tray}.values()
    return own + [h for s in inside for h in s.happenings if h.kind == kind and h.tray is None]


def _last(happenings: Iterable[Happening]) -> Happening | None:
    return max(happenings, key=lambda h: (h.on, h.at), default=None)


def _done(last: Happening | None, about: Found) -> Found:
    if last is None:
        return about
    return replace(about, on=last.on, act=last.act)


def _wholes(garden: Garden, where: Where) -> list[Standing]:
    """Return the sowings meant, each once however many parts stand, living ones."""
    meant = {s.id: s for s, _ in sowings_meant(garden, where)}
    return [(sowing, follow(sowing)) for sowing in meant.values()]


def _named(sowing: SowingOf, growing: Growing | None = None) -> Found:
    tray = growing.tray if growing is not None else None
    return Found(tray=tray, sowing=sowing.code, crop=sowing.crop, variety=sowing.variety)


def _sown(sowing: SowingOf, growing: Growing) -> Found:
    return replace(_named(sowing, growing), on=sowing.sown_on, act=sowing.act)


def _age(sowing: SowingOf, growing: Growing, today: date) -> Found:
    first = growing.first_up_on
    return replace(
        _named(sowing, growing),
        on=sowing.sown_on,
        days=(today - sowing.sown_on).days,
        days_up=(today - first).days if first is not None else None,
    )


def _up(sowing: SowingOf, growing: Growing) -> Found:
    return replace(_named(sowing, growing), on=growing.counted_on, n=growing.up, of=sowing.seeds)


def _lost(garden: Garden, where: Where) -> list[Found]:
    """Return the losses of each sowing that stands or was closed of late, the latest first."""
    every = {s.id: s for s in (*garden.sowings, *garden.lately_closed)}.values()
    found = []
    for sowing in every:
        losses = [h for h in sowing.happenings if h.kind == "lost"]
        growing = follow(sowing)
        fits = (
            (where.crop is None or sowing.crop == where.crop)
            and (where.sowing is None or sowing.code == where.sowing.upper())
            and (not where.trays or {sowing.tray, growing.tray} & set(where.trays))
        )
        last = _last(losses)
        if last is None or not fits:
            continue
        why = last.values.get("cause")
        found.append(
            replace(
                _named(sowing, growing),
                tray=growing.tray or sowing.tray,
                on=last.on,
                n=growing.lost or None,
                why=str(why) if why else None,
            )
        )
    return sorted(found, key=lambda one: one.on or date.min, reverse=True)


def _dry(garden: Garden, where: Where, today: date) -> LookedUpSaid:
    """Return the trays that were last said to be dry, and those due for a look."""
    found, due = [], []
    for code in trays_meant(garden, where):
        told = [h for h in garden.tray_reports.get(code, ()) if h.kind in ("watered", "moist")]
        last = _last(told)
        if last is not None and last.kind == "moist" and last.values.get("level") == "dry":
            found.append(_done(last, Found(tray=code)))
            continue
        check = outlook.tray_check_on(garden, code, today)
        if check is not None and check <= today:
            due.append(code)
    said = _said(Sought.DRY, found)
    return replace(said, due=tuple(due))


def _duty(garden: Garden, text: str, today: date) -> LookedUpSaid:
    words = set(fold(text).split())
    ahead = not words & {"today", "hoy"}
    day = today + timedelta(days=1 if ahead else 0)
    return LookedUpSaid(
        sought=Sought.DUTY, on=day, people=garden.on_duty(day), closed=garden.closed(day)
    )


def _unsown(garden: Garden, where: Where) -> list[Found]:
    """Return what the accepted plan still has to be sown, the next first."""
    entries = (garden.plan or {}).get("sowings", ())
    return sorted(
        (
            Found(
                crop=entry["crop"],
                variety=entry.get("variety"),
                on=date.fromisoformat(entry["sow_on"]),
            )
            for entry in entries
            if entry["id"] not in garden.sown_items
            and (where.crop is None or entry["crop"] == where.crop)
        ),
        key=lambda one: one.on or date.max,
    )


def _different(garden: Garden, where: Where) -> LookedUpSaid:
    left, right = (tray_named(garden, code).code for code in where.trays[:2])
    ours, theirs = _facts(garden, left), _facts(garden, right)
    return LookedUpSaid(
        sought=Sought.DIFFERENT,
        trays=(left, right),
        differs=tuple(
            Differs(what=what, left=ours[what], right=theirs[what])
            for what in ours
            if ours[what] != theirs[what]
        ),
    )


def _facts(garden: Garden, tray: str) -> dict[str, str | float | date | None]:
    """Return what was done in a tray, by the names of `Differs`; its oldest sowing speaks."""
    sowing, growing = next(((s, g) for s, g in standing(garden) if g.tray == tray), (None, None))
    reports = garden.tray_reports.get(tray, ())
    since = sowing.sown_on if sowing is not None else date.min
    counts = {
        kind: len({h.on for h in _of_tray(garden, tray, kind) if h.on >= since})
        for kind in ("watered", "fed")
    }
    temps = [float(h.values["temp_c"]) for h in reports if h.kind == "temp" and h.on >= since]
    return {
        "shelf": garden.trays[tray].shelf,
        "crop": sowing.crop if sowing else None,
        "lot": sowing.lot if sowing else None,
        "sown_on": sowing.sown_on if sowing else None,
        "depth_mm": sowing.depth_mm if sowing else None,
        "seeds_per_cell": sowing.seeds_per_cell if sowing else None,
        "temp_c": round(sum(temps) / len(temps), 1) if temps else None,
        "watered": counts["watered"],
        "fed": counts["fed"],
        "potted": growing.potted_on if growing else None,
    }
