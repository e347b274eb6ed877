"""Keep notices by their natural key; read a group's day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import bindparam, func, select
from sqlalchemy.orm import Session

from core.due.day import GROUP, Day, Notice, Said
from core.due.kinds import NoticeKind
from core.due.ticks import Doer
from core.records import models as m
from core.records import snapshot
from core.records.inbox import ignoring
from core.records.prepared import rows, table
from core.scene import local_date

SAID_DAYS = timedelta(days=40)  # as far back as silence is counted


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
                **({"values": dict(notice.values)} if notice.values else {}),
            },
        )
    )
    row = session.scalars(select(m.Notice).where(*where)).one()
    return row if row.made_at == now else None


LIVING = (
    NoticeKind.ROUND,
    NoticeKind.NUDGE,
    NoticeKind.AGAIN,
    NoticeKind.STAND_IN,
    NoticeKind.RISE,
    NoticeKind.ALARM,
    NoticeKind.DUSK,
)
"""What changes where it stands as its work is done."""

_NOTICE = table(m.Notice).c
_LIVING = (
    select(_NOTICE.id)
    .where(
        _NOTICE.group_id == bindparam("group"),
        _NOTICE.on_day == bindparam("today"),
        _NOTICE.kind.in_(LIVING),
        _NOTICE.recipient.in_((GROUP, bindparam("member"))),
    )
    .order_by(_NOTICE.id)
)
"""Asked with every report."""


def living(session: Session, group_id: int, today: date, member: int | None) -> list[m.Notice]:
    """Return today's messages to the group and to one member that change as work is done."""
    found = rows(session, _LIVING, group=group_id, today=today, member=member or GROUP)
    return [session.get_one(m.Notice, row.id) for row in found]


def acts_since(
    session: Session, group_id: int, since: datetime
) -> dict[int, tuple[Doer, datetime]]:
    """Return the live acts recorded from an instant on, by id, with who did them and when."""
    rows = session.execute(
        select(m.Act.id, m.Act.did_id, m.Act.for_name, m.Act.recorded_at)
        .where(
            m.Act.group_id == group_id,
            m.Act.recorded_at >= since,
            m.Act.undone_at.is_(None),
        )
        .order_by(m.Act.id)
    )
    return {row.id: ((row.did_id, row.for_name), row.recorded_at) for row in rows}


def brought_in(session: Session, group_id: int, today: date) -> Doer | None:
    """Return who pressed that the plants are in for the night."""
    rows = session.scalars(
        select(m.Notice).where(
            m.Notice.group_id == group_id,
            m.Notice.on_day == today,
            m.Notice.kind.in_((NoticeKind.ALARM, NoticeKind.DUSK)),
            m.Notice.answered_at.is_not(None),
        )
    )
    return next(
        ((row.answered_by_id, None) for row in rows if "in" in row.body.get("done", ())), None
    )


def alerted(session: Session, values: Mapping[str, Any]) -> dict[int, int]:
    """Return member id → account of those whom a notice of these values names aloud."""
    wanted = values.get("alert", ())
    found = session.scalars(select(m.Member).where(m.Member.id.in_(wanted)))
    return {member.id: member.person_id for member in found if member.person_id is not None}


def last_press(session: Session, row: m.Notice) -> int | None:
    """Return the number of the newest live report that a press of a notice recorded."""
    numbers = [n for part in row.body.get("acts", {}).values() for n in part]
    return session.scalars(
        select(m.Act.number)
        .where(m.Act.group_id == row.group_id, m.Act.number.in_(numbers), m.Act.undone_at.is_(None))
        .order_by(m.Act.number.desc())
        .limit(1)
    ).first()


def helped(session: Session, group_id: int, now: datetime) -> tuple[int, ...]:
    """Return who reported work in the last seven days, the busiest first."""
    rows = session.execute(
        select(m.Act.did_id, func.count())
        .where(
            m.Act.group_id == group_id,
            m.Act.recorded_at > now - timedelta(days=7),
            m.Act.recorded_at <= now,
            m.Act.undone_at.is_(None),
            m.Act.did_id.is_not(None),
        )
        .group_by(m.Act.did_id)
        .order_by(func.count().desc(), m.Act.did_id)
    )
    return tuple(member for member, _ in rows if member is not None)


def read_day(session: Session, group: m.Group, now: datetime) -> Day:
    """Return a group as a look needs it."""
    today = local_date(now, group.zone)
    heard, heard_at = _heard(session, group, today)
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
        helped=helped(session, group.id, now),
        heard=heard,
        heard_at=heard_at,
        looked_at=group.looked_at,
    )


def _heard(session: Session, group: m.Group, today: date) -> tuple[frozenset[int], datetime | None]:
    """Return who reported anything today, and when anybody last did; a press counts."""
    acts = session.execute(
        select(m.Act.by_id, m.Act.did_id, m.Act.recorded_at)
        .where(m.Act.group_id == group.id)
        .order_by(m.Act.id.desc())
        .limit(100)
    ).all()
    pressed = session.scalars(
        select(func.max(m.Notice.answered_at)).where(m.Notice.group_id == group.id)
    ).one()
    last = max((at for _, _, at in acts), default=None)
    if pressed is not None and (last is None or pressed > last):
        last = pressed
    who = {
        member
        for by, did, at in acts
        if local_date(at, group.zone) == today
        for member in (by, did)
        if member is not None
    }
    return frozenset(who), last
