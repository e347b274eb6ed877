"""Take a report back: mark it, never erase it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from core.errors import NothingToUndo, ReportUnknown, UndoTooLate
from core.handlers.closing import retire_emptied
from core.handlers.rights import coordinators_only
from core.records import models as m
from core.records import snapshot
from core.records.acts import act_numbered, recent_acts, take_back
from core.replies.base import Reply
from core.replies.reports import ActLine, AllUndone, UndoList, Undone
from core.requests import Undo
from core.scene import Scene, local_date

WITHIN = timedelta(days=1)
"""Members take back what they said within a day; coordinators anything, at any time."""


def undo(request: Undo, scene: Scene, session: Session) -> Reply:
    """Take back the acts named, or list the last five that the speaker may take back.

    Raises ReportUnknown, NothingToUndo, UndoTooLate.
    """
    assert scene.group_id is not None
    if request.report is None:
        mine = [
            act
            for act in recent_acts(session, scene.group_id, limit=30)
            if may_undo(act, scene) is None
        ]
        if not mine:
            raise NothingToUndo()
        if request.last:
            return _take_back(session, scene, mine[0])
        return UndoList(lines=tuple(line(session, scene, act) for act in mine[:5]))
    if request.also:
        return _all_back((request.report, *request.also), scene, session)
    digits = request.report.upper().lstrip("R")
    act = act_numbered(session, scene.group_id, int(digits)) if digits.isdigit() else None
    if act is None:
        raise ReportUnknown(report=request.report)
    if act.undone_at is not None:
        return Undone(line=line(session, scene, act))
    because = may_undo(act, scene)
    if scene.coordinator and may_undo(act, replace(scene, coordinator=False)) is not None:
        coordinators_only(scene, session)
    if because is not None:
        raise UndoTooLate(report=f"R{act.number}", because=because)
    return _take_back(session, scene, act)


def _all_back(codes: tuple[str, ...], scene: Scene, session: Session) -> Reply:
    """Take several acts back, the newest first, or none: a count stands on its sowing."""
    lines = []
    with session.begin_nested():
        for code in sorted(codes, key=lambda code: -int(code[1:])):
            reply = undo(Undo(report=code), scene, session)
            assert isinstance(reply, Undone)
            lines.append(reply.line)
    return AllUndone(lines=tuple(reversed(lines)))


def may_undo(act: m.Act, scene: Scene) -> str | None:
    """Return why the speaker may not take an act back, or None."""
    if scene.coordinator:
        return None
    if scene.member_id not in (act.by_id, act.did_id):
        return "other"
    return "old" if scene.now - act.recorded_at > WITHIN else None


def _take_back(session: Session, scene: Scene, act: m.Act) -> Reply:
    if act.kind == "sow":
        later = session.scalar(
            select(
                exists().where(
                    m.Report.sowing_id == m.Sowing.id,
                    m.Sowing.act_id == act.id,
                    ~m.Report.undone,
                )
            )
        )
        if later:
            raise UndoTooLate(report=f"R{act.number}", because="rests")
    take_back(session, act, scene.member_id, scene.now)
    _reopen(session, act)
    if act.kind == "potted":
        retire_emptied(session, act.group_id, act.id, scene)
    if act.kind == "moved":
        _back_on_shelf(session, act)
    return Undone(line=line(session, scene, act))


def _reopen(session: Session, act: m.Act) -> None:
    """A sowing that the act had finished goes on, and its learned speed is forgotten."""
    rows = session.scalars(
        select(m.Sowing)
        .join(m.Report, m.Report.sowing_id == m.Sowing.id)
        .where(m.Report.act_id == act.id, ~m.Sowing.void)
        .distinct()
    )
    for row in rows:
        if act.kind in ("planted", "lost"):
            row.closed_on = None
        if act.kind in ("planted", "lost", "potted", "thinned", "up"):
            row.speed_ratio = row.speed_seeds = None
    session.flush()


def _back_on_shelf(session: Session, act: m.Act) -> None:
    """Trays that the act moved to another shelf stand where they stood before."""
    for report in session.scalars(select(m.Report).where(m.Report.act_id == act.id)):
        if report.tray_id is None or "before" not in report.values:
            continue
        shelf = session.scalars(
            select(m.Shelf.id).where(
                m.Shelf.group_id == act.group_id, m.Shelf.code == report.values["before"]
            )
        ).one_or_none()
        session.get_one(m.Tray, report.tray_id).shelf_id = shelf


def line(session: Session, scene: Scene, act: m.Act) -> ActLine:
    """Return an act as lists show it."""
    assert scene.group_id is not None
    names = snapshot.members(session, scene.group_id)
    who = names.get(act.did_id or act.by_id or 0)
    return ActLine(
        act=act.number,
        kind=act.kind,
        by=act.for_name or (who.name if who else None),
        on=local_date(act.recorded_at, scene.zone),
        summary=act.summary,
    )
