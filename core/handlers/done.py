"""A `Done` button: record what the notice asked for, once, whoever presses first."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.due.items import Keyed, Work, keyed
from core.errors import ReportUnknown
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, follow, parts_of
from core.handlers.doers import named
from core.handlers.growing_on import learn
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Reply
from core.replies.reports import Done as DoneSaid
from core.report_kinds import ReportKind
from core.requests import Done
from core.scene import Scene


def done(request: Done, scene: Scene, session: Session) -> Reply:
    """Record the watering, the hours outside, the feed or the thinning a notice asked for.

    What somebody reported since the notice is not recorded again.
    Raises ReportUnknown for a notice of another group.
    """
    assert scene.group_id is not None
    notice = session.get(m.Notice, request.notice)
    if notice is None or notice.group_id != scene.group_id:
        raise ReportUnknown(report=str(request.notice))
    garden = snapshot.garden(session, scene.group_id, scene.today)
    told: dict[str, list[int]] = dict(notice.body.get("acts", {}))
    parts = tuple(
        part for part in notice.body.get("done", ()) if not _taken_back(session, scene, told, part)
    )
    wanted = (
        (request.part,)
        if request.part
        else tuple(part for part in PARTS if PARTS[part] is not _heard)
    )
    open_ = tuple(part for part in wanted if part not in parts)
    if not open_:
        by = notice.answered_by_id
        own = by is not None and by == scene.member_id
        return DoneSaid(acts=(), targets=(), again=True, by=named(garden, by), own=own)
    acts: list[int] = []
    targets: list[str] = []
    for part in open_:
        done_now = PARTS[part](session, scene, garden, notice)
        told[part] = [number for number, _ in done_now]
        acts += told[part]
        targets += [code for _, codes in done_now for code in codes]
    notice.body = {**notice.body, "done": [*parts, *open_], "acts": told}
    notice.answered_at = scene.now
    notice.answered_by_id = scene.member_id
    return DoneSaid(acts=tuple(acts), targets=tuple(targets), again=False, by=None)


Recorded = list[tuple[int, tuple[str, ...]]]


def _taken_back(session: Session, scene: Scene, told: dict[str, list[int]], part: str) -> bool:
    """Whether all that a press recorded was undone since, so that it may be pressed again."""
    numbers = told.get(part, [])
    undone = session.scalars(
        select(m.Act.number).where(
            m.Act.group_id == scene.group_id,
            m.Act.number.in_(numbers),
            m.Act.undone_at.is_not(None),
        )
    ).all()
    return bool(numbers) and len(undone) == len(numbers)


def _keyed(notice: m.Notice, *kinds: Work) -> list[Keyed]:
    told = (keyed(key) for key in notice.body.get("keys", ()))
    return [one for one in told if one.kind in kinds]


def _keys(notice: m.Notice, *kinds: Work) -> list[str]:
    """Return the trays or sowings that the notice named for some kinds of work."""
    return [one.place for one in _keyed(notice, *kinds)]


def _parts(garden: Garden, notice: m.Notice, *kinds: Work) -> list[tuple[SowingOf, Growing]]:
    """Return the parts of sowings that the notice named; all of a sowing whose part has moved."""
    named: dict[str, set[str | None]] = {}
    for one in _keyed(notice, *kinds):
        named.setdefault(one.place, set()).add(one.tray)
    found = []
    for sowing in garden.sowings:
        parts = [part for part in parts_of(sowing) if part.alive]
        trays = named.get(sowing.code, set())
        here = [part for part in parts if part.tray in trays]
        if trays:
            found += [(sowing, part) for part in here or parts]
    return found


def _watered(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> Recorded:
    codes = tuple(
        code
        for code in _keys(notice, Work.WATER)
        if code in garden.trays and not _seen_to(garden, code, notice, scene)
    )
    if not codes:
        return []
    entries = tuple(
        Entry(kind=ReportKind.WATERED, on=scene.today, tray=garden.trays[code].id) for code in codes
    )
    act = write_act(session, scene, ReportKind.WATERED, entries, summary={"targets": list(codes)})
    return [(act.number, codes)]


def _seen_to(garden: Garden, tray: str, notice: m.Notice, scene: Scene) -> bool:
    """Whether a tray was watered since the notice, or found moist enough to wait."""
    since = {r.kind for r in garden.tray_reports.get(tray, ()) if r.at >= notice.made_at}
    if "watered" in since:
        return True
    look_on = outlook.tray_check_on(garden, tray, scene.today)
    return "moist" in since and look_on is not None and look_on > scene.today


def _out(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> Recorded:
    """The hours that the day's plan names, for each sowing the notice spoke of."""
    entries = []
    codes = []
    for sowing, part in _parts(garden, notice, Work.OUT, Work.HARDEN):
        course = outlook.hardening(garden, sowing, part, scene.today)
        if course is None or not course.coming or course.coming[0].day > scene.today:
            continue
        coming = course.coming[0]
        values: dict[str, Any] = {"hours": coming.plan.hours, "overnight": coming.night_out}
        if part.parts > 1:
            values["from"] = part.tray
        entries.append(Entry(kind=ReportKind.OUT, on=scene.today, values=values, sowing=sowing.id))
        codes.append(sowing.code)
    codes = list(dict.fromkeys(codes))
    if not entries:
        return []
    act = write_act(session, scene, ReportKind.OUT, tuple(entries), summary={"targets": codes})
    return [(act.number, tuple(codes))]


def _fed(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> Recorded:
    """The trays in which the sowings that were to be fed stand, and those in pots of none."""
    parts = _parts(garden, notice, Work.FEED)
    codes = tuple(
        code
        for code in dict.fromkeys(part.tray for _, part in parts)
        if code is not None
        and code in garden.trays
        and not any(
            r.kind == "fed" and r.at >= notice.made_at for r in garden.tray_reports.get(code, ())
        )
    )
    pots = [
        sowing
        for sowing, part in parts
        if part.tray is None
        and not any(r.kind == "fed" and r.at >= notice.made_at for r in sowing.happenings)
    ]
    targets = (*codes, *(sowing.code for sowing in pots))
    if not targets:
        return []
    entries = (
        *(Entry(kind=ReportKind.FED, on=scene.today, tray=garden.trays[c].id) for c in codes),
        *(Entry(kind=ReportKind.FED, on=scene.today, sowing=sowing.id) for sowing in pots),
    )
    act = write_act(session, scene, ReportKind.FED, entries, summary={"targets": list(targets)})
    return [(act.number, targets)]


def _thinned(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> Recorded:
    """The sowings to be thinned to one a cell, unless that was done since."""
    wanted = _keys(notice, Work.THIN)
    found = [s for s in garden.sowings if s.code in wanted and follow(s).thinned_on is None]
    if not found:
        return []
    values = {"per_cell": 1}
    entries = tuple(
        Entry(kind=ReportKind.THINNED, on=scene.today, values=values, sowing=s.id) for s in found
    )
    codes = tuple(s.code for s in found)
    act = write_act(session, scene, ReportKind.THINNED, entries, summary={"targets": list(codes)})
    for sowing in found:
        learn(session, garden, sowing)
    return [(act.number, codes)]


def _heard(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> Recorded:
    """Plants were carried in, or reminders are to go on: nothing to record but the answer."""
    return []


PARTS = {"in": _heard, "on": _heard, "water": _watered, "out": _out, "fed": _fed, "thin": _thinned}
