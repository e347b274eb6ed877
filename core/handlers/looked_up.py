"""Who did it, when, how many: questions that the group's own records answer in a line or two."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.group import outlook
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import Growing, follow
from core.group.standing import Standing, standing, tray_named
from core.handlers.aim import sowings_meant, trays_meant
from core.handlers.asked_deeds import KINDS, events, history, told
from core.handlers.asked_garden import (
    amounts,
    came_up,
    contents,
    duty,
    named,
    on_shelf,
    planned,
    said,
    wanted,
    where_stands,
)
from core.records.acts import doers_of
from core.replies.base import Reply
from core.replies.looked_up import Differs, Found, LookedUpSaid
from core.requests import Due, Season, SetLot, When, Where
from core.scene import Scene
from core.trouble.concepts import fold
from core.trouble.days_asked import days_asked
from core.trouble.looked_up import Sought

_NOT = frozenset({"havent", "hasnt", "not", "wasnt", "werent", "never", "no", "sin", "nunca"})


def look_up(
    session: Session, garden: Garden, sought: Sought, where: Where, text: str, scene: Scene
) -> Reply:
    """Return what the records say; raise TrayUnknown, ShelfUnknown, NoTraysYet, NoSuchSowing,
    SowingUnknown."""
    elsewhere = _answered_elsewhere(session, garden, sought, where, text, scene)
    if elsewhere is not None:
        return elsewhere
    if sought in KINDS or sought is Sought.HISTORY:
        said = _told(session, garden, sought, where, text, scene)
    else:
        said = _looked_up(garden, sought, where, text, scene)
    doers = doers_of(session, {one.act for one in said.found if one.act is not None})
    found = []
    for one in said.found:
        did, by = doers.get(one.act or 0, (None, None))
        found.append(replace(one, did=did, by=by))
    return replace(said, found=tuple(found))


def _answered_elsewhere(
    session: Session, garden: Garden, sought: Sought, where: Where, text: str, scene: Scene
) -> Reply | None:
    """Return the answer of the command that shows the same; None where there is none."""
    words = set(fold(text).split())
    match sought:
        case Sought.DUE:
            from core.handlers.looks import due

            return due(Due(mine=bool(words & {"me", "my", "mi", "mine"})), scene, session)
        case Sought.STOCK:
            from core.handlers.lots import set_lot

            return set_lot(SetLot(), scene, session)
        case Sought.PLAN:
            from core.handlers.plans import season

            return season(Season(), scene, session)
        case Sought.PLANNED if where.crop is not None and planned(garden, where) is None:
            from core.handlers.dates import when

            return when(When(crop=where.crop), scene, session)
        case Sought.PLANNED if where.crop is None:
            from core.handlers.plans import season

            return season(Season(), scene, session)
    return None


def _told(
    session: Session, garden: Garden, sought: Sought, where: Where, text: str, scene: Scene
) -> LookedUpSaid:
    every = events(garden, where)
    doers = doers_of(session, {one.act for one in every})
    days = days_asked(text, scene.today)
    helpers = {helper for _, helper in doers.values() if helper}
    whom = _named_in(text, (*(m.name for m in garden.members.values()), *sorted(helpers)))
    if sought is not Sought.HISTORY and _NOT.intersection(fold(text).split()):
        days = None  # what was not done is seen from when it was done last
    if sought is Sought.HISTORY:
        if days is None and where.empty:
            days = (scene.today - timedelta(days=7), scene.today)
        return history(garden, where, doers, days, whom)
    if sought is Sought.SOWN and days is None and whom is None and not every:
        sowings_meant(garden, where)
    return told(garden, sought, where, doers, days, whom)


def _named_in(text: str, names: Iterable[str]) -> str | None:
    """Return the one of these names that a text has, whole words only."""
    said = f" {fold(text)} "
    return next((name for name in names if f" {fold(name)} " in said), None)


def _looked_up(
    garden: Garden, sought: Sought, where: Where, text: str, scene: Scene
) -> LookedUpSaid:
    today = scene.today
    match sought:
        case Sought.AGE:
            return said(sought, (_age(s, g, today) for s, g in _wholes(garden, where)))
        case Sought.UP:
            return said(sought, (_up(s, g) for s, g in _wholes(garden, where)))
        case Sought.LEFT | Sought.POTTED_N | Sought.PLANTED_N:
            return amounts(garden, sought, where)
        case Sought.CAME:
            return came_up(garden, where)
        case Sought.LOST:
            return said(sought, _lost(garden, where))
        case Sought.DRY:
            return _dry(garden, where, today)
        case Sought.DUTY:
            return duty(garden, text, today, scene.member_id)
        case Sought.UNSOWN:
            return said(sought, _unsown(garden, where))
        case Sought.PLANNED:
            return planned(garden, where) or LookedUpSaid(sought=sought)
        case Sought.WANTED:
            return wanted(garden, where)
        case Sought.CONTENTS:
            return contents(garden, where)
        case Sought.WHERE:
            return where_stands(garden, where)
        case Sought.SHELF:
            return on_shelf(garden, where, text)
        case _:
            return _different(garden, where)


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


def _age(sowing: SowingOf, growing: Growing, today: date) -> Found:
    first = growing.first_up_on
    return replace(
        named(sowing, growing),
        on=sowing.sown_on,
        days=(today - sowing.sown_on).days,
        days_up=(today - first).days if first is not None else None,
    )


def _up(sowing: SowingOf, growing: Growing) -> Found:
    return replace(named(sowing, growing), on=growing.counted_on, n=growing.up, of=sowing.seeds)


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
                named(sowing, growing),
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
            found.append(Found(tray=code, on=last.on, act=last.act))
            continue
        check = outlook.tray_check_on(garden, code, today)
        if check is not None and check <= today:
            due.append(code)
    made = said(Sought.DRY, found)
    return replace(made, due=tuple(due))


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
    trays = where.trays
    if len(trays) < 2:
        parts = sowings_meant(garden, where)
        trays = tuple(dict.fromkeys(part.tray for _, part in parts if part.tray is not None))
        if len(trays) != 2:
            return said(Sought.UP, (_up(s, g) for s, g in _wholes(garden, where)))
    left, right = (tray_named(garden, code).code for code in trays[:2])
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
        "up": growing.up or None if growing else None,
    }
