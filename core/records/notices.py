"""Keep notices by their natural key; read a group's day."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.notices import Day, Notice, Said
from core.records import models as m
from core.records import snapshot
from core.records.inbox import ignoring
from core.scene import local_date

SAID_DAYS = timedelta(days=8)


def keep(session: Session, notice: Notice, now: datetime) -> m.Notice | None:
    """Store a notice; None when one of that natural key is there already."""
    where = (
        m.Notice.group_id == notice.group_id,
        m.Notice.recipient == notice.recipient,
        m.Notice.kind == notice.kind,
        m.Notice.subject == notice.subject,
        m.Notice.on_day == notice.on,
    )
    if session.scalars(select(m.Notice.id).where(*where)).first() is not None:
        return None
    session.execute(
        ignoring(session, m.Notice).values(
            group_id=notice.group_id,
            recipient=notice.recipient,
            kind=notice.kind,
            subject=notice.subject,
            on_day=notice.on,
            made_at=now,
            body={
                "keys": [item.key for item in notice.items],
                "kinds": sorted({i.kind.value for i in notice.items}),
            },
        )
    )
    row = session.scalars(select(m.Notice).where(*where)).one()
    return row if row.made_at == now else None


def read_day(session: Session, group: m.Group, now: datetime) -> Day:
    """Return a group as a look needs it."""
    today = local_date(now, group.zone)
    said = session.scalars(
        select(m.Notice)
        .where(m.Notice.group_id == group.id, m.Notice.on_day >= today - SAID_DAYS)
        .order_by(m.Notice.id)
    )
    return Day(
        garden=snapshot.garden(session, group.id, today),
        now=now,
        today=today,
        said=tuple(
            Said(
                id=row.id,
                recipient=row.recipient,
                kind=row.kind,
                subject=row.subject,
                on=row.on_day,
                made_at=row.made_at,
                body=row.body,
                answered=row.answered_at is not None,
            )
            for row in said
        ),
        looked_at=group.looked_at,
    )
