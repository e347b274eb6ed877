"""How the queues stand: what waits and for how long, what was set aside, who was last heard."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from core.records import marks
from core.records import models as m


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """Rows waiting and set aside; `oldest_s` is how long the oldest has waited, 0 without any."""

    waiting: int
    oldest_s: float
    parked: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Both queues, and the seconds since the platform was last heard; None = never."""

    inbox: Queue
    outbox: Queue
    heard_s: float | None


def standing(session: Session, heard: str, now: datetime) -> Standing:
    """Return how it all stands at `now`; `heard` names the mark of the platform."""
    mark = marks.get(session, heard)
    inbox = session.execute(
        select(func.count(), func.min(m.Inbox.received_at)).where(m.Inbox.state == "new")
    ).one()
    outbox = session.execute(
        select(func.count(), func.min(m.Outbox.due_at)).where(
            m.Outbox.state.in_(("due", "sending")), m.Outbox.due_at <= now
        )
    ).one()
    inbox_parked = session.scalar(select(func.count()).where(m.Inbox.state == "parked")) or 0
    outbox_parked = session.scalar(select(func.count()).where(m.Outbox.state == "parked")) or 0
    return Standing(
        inbox=Queue(waiting=inbox[0], oldest_s=_since(inbox[1], now), parked=inbox_parked),
        outbox=Queue(waiting=outbox[0], oldest_s=_since(outbox[1], now), parked=outbox_parked),
        heard_s=None if mark is None else _since(mark.at, now),
    )


def _since(at: datetime | None, now: datetime) -> float:
    return 0.0 if at is None else max(0.0, (now - at).total_seconds())
