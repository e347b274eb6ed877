"""A `Done` button: record what the notice asked for, once, whoever presses first."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core import outlook
from core.due import Work
from core.errors import NotMember, ReportUnknown
from core.garden import Garden
from core.growing import follow
from core.handlers.doers import named
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Reply
from core.replies.reports import Done as DoneSaid
from core.requests import Done
from core.scene import Scene


def done(request: Done, scene: Scene, session: Session) -> Reply:
    """Record the watering and the hours outside that a notice asked for.

    Raises ReportUnknown for a notice of another group.
    """
    assert scene.group_id is not None
    notice = session.get(m.Notice, request.notice)
    if notice is None or notice.group_id != scene.group_id:
        raise ReportUnknown(report=str(request.notice))
    if scene.member_id is None:
        raise NotMember()
    garden = snapshot.garden(session, scene.group_id, scene.today)
    targets = tuple(notice.body.get("trays", ()))
    if notice.answered_at is not None:
        return DoneSaid(
            acts=(),
            targets=targets,
            kind="again",
            again=True,
            by=named(garden, notice.answered_by_id),
        )
    notice.answered_at = scene.now
    notice.answered_by_id = scene.member_id
    kinds = set(notice.body.get("kinds", ()))
    acts: list[int] = []
    if Work.WATER in kinds:
        watered = tuple(code for key in notice.body["keys"] if (code := _tray(key)) in garden.trays)
        entries = tuple(
            Entry(kind="watered", on=scene.today, tray=garden.trays[code].id) for code in watered
        )
        if entries:
            act = write_act(session, scene, "watered", entries, summary={"targets": list(watered)})
            acts.append(act.number)
    if Work.OUT in kinds or Work.HARDEN in kinds:
        acts += _out(session, scene, garden, notice)
    return DoneSaid(acts=tuple(acts), targets=targets, kind="done", again=False, by=None)


def _tray(key: str) -> str:
    kind, where, *_ = key.split(":")
    return where if kind == Work.WATER else ""


def _out(session: Session, scene: Scene, garden: Garden, notice: m.Notice) -> list[int]:
    """The hours that the day's plan names, for each sowing the notice spoke of."""
    codes = {
        key.split(":")[1]
        for key in notice.body["keys"]
        if key.split(":")[0] in (Work.OUT, Work.HARDEN)
    }
    entries = []
    for sowing in garden.sowings:
        if sowing.code not in codes:
            continue
        course = outlook.hardening(garden, sowing, follow(sowing), scene.today)
        if course is None or not course.coming or course.coming[0].day > scene.today:
            continue
        hours = course.coming[0].plan.hours
        values = {"hours": hours, "overnight": course.coming[0].night_out}
        entries.append(Entry(kind="out", on=scene.today, values=values, sowing=sowing.id))
    if not entries:
        return []
    act = write_act(session, scene, "out", tuple(entries), summary={"targets": sorted(codes)})
    return [act.number]


HANDLERS = {Done: done}
