"""Jobs that one process at a time may do, held by lease: taken over when the holder is gone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import or_, select, update
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring

AHEAD = timedelta(minutes=1)  # a lease that ends later than that was taken before a clock went back


def take(
    session: Session,
    name: str,
    holder: str,
    now: datetime,
    until: datetime,
    *,
    gone: Callable[[str], bool] = lambda holder: False,
) -> bool:
    """Take or renew a lease; False while somebody else holds it.

    `gone` tells of a holder that it has ended, where that can be known before its lease runs out.
    """
    session.execute(ignoring(session, m.Lease).values(name=name, holder=None, until=None))
    held = session.execute(select(m.Lease.holder).where(m.Lease.name == name)).scalar_one()
    free = [
        m.Lease.holder.is_(None),
        m.Lease.holder == holder,
        m.Lease.until < now,
        m.Lease.until > until + AHEAD,
    ]
    if held is not None and held != holder and gone(held):
        free.append(m.Lease.holder == held)
    taken = session.execute(
        update(m.Lease)
        .where(m.Lease.name == name, or_(*free))
        .values(holder=holder, until=until)
        .returning(m.Lease.name)
    ).first()
    return taken is not None


def release(session: Session, holder: str) -> None:
    """Let go of all that a holder holds."""
    session.execute(update(m.Lease).where(m.Lease.holder == holder).values(holder=None, until=None))
