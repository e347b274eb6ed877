"""Write what a member said: an act with its reports; take an act back."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import bindparam, insert, select, update
from sqlalchemy.orm import Session
from sqlalchemy.orm.attributes import set_committed_value

from core.records import models as m
from core.records.prepared import table
from core.report_kinds import ReportKind
from core.scene import Scene

NOON = time(12)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One report to write, about one sowing, tray or shelf (row ids) or the site."""

    kind: ReportKind
    on: date
    values: Mapping[str, Any] = field(default_factory=dict)
    sowing: int | None = None
    tray: int | None = None
    shelf: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An act just written: its row, its number within the group, and the member who did it."""

    id: int
    number: int
    did_id: int | None


_LOCKED = (
    select(m.Group)
    .where(m.Group.id == bindparam("group"))
    .with_for_update()
    .execution_options(populate_existing=True)
)
_ACT = insert(table(m.Act)).returning(table(m.Act).c.id)
_REPORTS = insert(table(m.Report))
_COUNTED = (
    update(table(m.Group))
    .where(table(m.Group).c.id == bindparam("group"))
    .values(next_act=bindparam("next"))
)


def lock_group(session: Session, group_id: int) -> m.Group:
    """Return the group's row, held until the transaction ends: one writer a group at a time.

    It is read anew: another process may have changed it while this one waited. On SQLite a
    transaction is the only writer from its beginning, and what it has read stands.
    """
    if session.get_bind().dialect.name == "sqlite":
        return session.get_one(m.Group, group_id)
    return session.scalars(_LOCKED, {"group": group_id}).one()


def write_act(
    session: Session,
    scene: Scene,
    kind: ReportKind,
    entries: tuple[Entry, ...] = (),
    *,
    did: int | None = None,
    for_name: str | None = None,
    summary: Mapping[str, Any] | None = None,
) -> Written:
    """Write one act with its reports; the group is locked (`lock_group`).

    `did` is the member who did the work (the speaker unless told); `for_name` a helper without
    an account; `summary` what the undo list shows.
    """
    if scene.group_id is None:
        raise ValueError("an act needs a group")
    group = session.get_one(m.Group, scene.group_id)
    session.flush()  # statements of tables do not do so by themselves
    number = group.next_act
    did_id = scene.member_id if did is None and for_name is None else did
    connection = session.connection()
    act_id = connection.execute(
        _ACT,
        {
            "group_id": group.id,
            "number": number,
            "kind": kind,
            "by_id": scene.member_id,
            "did_id": did_id,
            "for_name": for_name,
            "recorded_at": scene.now,
            "summary": dict(summary or {}),
        },
    ).scalar_one()
    connection.execute(_COUNTED, {"group": group.id, "next": number + 1})
    set_committed_value(group, "next_act", number + 1)
    if entries:
        reports = [
            {
                "group_id": group.id,
                "act_id": act_id,
                "kind": entry.kind,
                "sowing_id": entry.sowing,
                "tray_id": entry.tray,
                "shelf_id": entry.shelf,
                "on_day": entry.on,
                "at": _instant(entry.on, scene),
                "values": dict(entry.values),
                "undone": False,
            }
            for entry in entries
        ]
        connection.execute(_REPORTS, reports)
    return Written(id=act_id, number=number, did_id=did_id)


def _instant(on: date, scene: Scene) -> datetime:
    """Now for today's; noon on the wall for another day, whose hour nobody said."""
    if on == scene.today:
        return scene.now
    return datetime.combine(on, NOON, ZoneInfo(scene.zone)).astimezone(UTC)


def take_back(session: Session, act: m.Act, member_id: int | None, now: datetime) -> None:
    """Mark an act and its reports undone; a sowing it made is void from now."""
    act.undone_at = now
    act.undone_by_id = member_id
    session.execute(update(m.Report).where(m.Report.act_id == act.id).values(undone=True))
    session.execute(
        update(m.Sowing).where(m.Sowing.act_id == act.id).values(void=True, closed_on=now.date())
    )
    session.flush()


def act_numbered(session: Session, group_id: int, number: int) -> m.Act | None:
    """Return one act of a group by its number."""
    return session.scalars(
        select(m.Act).where(m.Act.group_id == group_id, m.Act.number == number)
    ).one_or_none()


def recent_acts(session: Session, group_id: int, limit: int = 5) -> list[m.Act]:
    """Return the last live acts of a group, newest first."""
    return list(
        session.scalars(
            select(m.Act)
            .where(m.Act.group_id == group_id, m.Act.undone_at.is_(None))
            .order_by(m.Act.recorded_at.desc(), m.Act.number.desc())
            .limit(limit)
        )
    )


def doers_of(session: Session, acts: Collection[int]) -> dict[int, tuple[int | None, str | None]]:
    """Return (member id, helper's name) of who did what acts tell of, by their row ids."""
    if not acts:
        return {}
    rows = session.execute(select(m.Act.id, m.Act.did_id, m.Act.for_name).where(m.Act.id.in_(acts)))
    return {row.id: (row.did_id, row.for_name) for row in rows}
