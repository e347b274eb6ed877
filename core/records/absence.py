"""When the bot was away from a group for so long that it owes it a word."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from core.records import marks
from core.records import models as m

Away = tuple[datetime, datetime]


def _name(group_id: int) -> str:
    return f"away:{group_id}"


def note(session: Session, group_id: int, since: datetime, until: datetime) -> None:
    """Remember an absence until it is told; one that is not told yet grows longer."""
    before = of(session, group_id)
    first = min(since, before[0]) if before else since
    marks.put(session, _name(group_id), first.isoformat(), until)


def note_all(session: Session, platform: str, since: datetime, until: datetime) -> None:
    """Remember an absence from every group of a messenger."""
    groups = session.scalars(
        select(m.Chat.group_id)
        .join(m.Group, m.Group.id == m.Chat.group_id)
        .where(m.Chat.platform == platform, m.Group.created_at <= since)
        .distinct()
    ).all()
    for group_id in groups:
        if group_id is not None:
            note(session, group_id, since, until)


def of(session: Session, group_id: int) -> Away | None:
    """Return (since, until) of an absence not told yet."""
    row = marks.get(session, _name(group_id))
    return None if row is None else (datetime.fromisoformat(row.value), row.at)


def told(session: Session, group_id: int) -> None:
    """The group knows."""
    session.execute(delete(m.Mark).where(m.Mark.name == _name(group_id)))
