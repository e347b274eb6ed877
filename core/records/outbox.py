"""The durable outbox: one row a message, with a natural key, written with what it speaks of."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring


def put(
    session: Session,
    key: str,
    chat_id: int,
    body: dict[str, Any],
    due_at: datetime,
    *,
    notice_id: int | None = None,
) -> None:
    """Add a message unless one of that key is there."""
    session.execute(
        ignoring(session, m.Outbox),
        {
            "key": key,
            "chat_id": chat_id,
            "notice_id": notice_id,
            "body": body,
            "due_at": due_at,
            "state": "due",
            "tries": 0,
        },
    )


def due(session: Session, now: datetime, limit: int = 100) -> list[m.Outbox]:
    """Return the messages due, oldest first."""
    return list(
        session.scalars(
            select(m.Outbox)
            .where(m.Outbox.state == "due", m.Outbox.due_at <= now)
            .order_by(m.Outbox.due_at, m.Outbox.id)
            .limit(limit)
        )
    )


def next_due_at(session: Session) -> datetime | None:
    """Return the instant of the earliest message waiting."""
    return session.scalars(
        select(m.Outbox.due_at).where(m.Outbox.state == "due").order_by(m.Outbox.due_at).limit(1)
    ).first()


def settle(row: m.Outbox, now: datetime, message: str | None) -> None:
    """The message was delivered."""
    row.state = "sent"
    row.sent_at = now
    row.platform_message = message
    row.lease_until = None
