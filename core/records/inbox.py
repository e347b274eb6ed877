"""The durable inbox: every update once, handled once, in order within its chat."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import func, insert, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from core.records import models as m


def store(
    session: Session,
    rows: Iterable[tuple[str, str, str, dict[str, Any]]],
    now: datetime,
) -> int:
    """Store updates (platform, key, chat, body), those known already left as they are.

    Returns how many were new.
    """
    values = [
        {
            "platform": platform,
            "update_key": key,
            "chat": chat,
            "body": body,
            "received_at": now,
            "state": "new",
            "tries": 0,
        }
        for platform, key, chat, body in rows
    ]
    if not values:
        return 0
    before = session.scalar(select(func.max(m.Inbox.id))) or 0
    session.execute(ignoring(session, m.Inbox), values)
    return session.scalar(select(func.count()).where(m.Inbox.id > before)) or 0


def ignoring(session: Session, model: type[m.Base]) -> Any:
    """Return an insert that passes over rows whose natural key is there."""
    match session.get_bind().dialect.name:
        case "sqlite":
            return sqlite.insert(model).on_conflict_do_nothing()
        case "postgresql":
            return postgresql.insert(model).on_conflict_do_nothing()
        case _:
            return insert(model)


def park(session: Session, row: m.Inbox, error: str, now: datetime) -> None:
    """Set an update aside with its error; the next one goes on."""
    row.state = "parked"
    row.error = error[:2000]
    row.handled_at = now


def parked(session: Session, limit: int = 100) -> list[m.Inbox]:
    """Return the parked updates, newest first."""
    return list(
        session.scalars(
            select(m.Inbox)
            .where(m.Inbox.state == "parked")
            .order_by(m.Inbox.id.desc())
            .limit(limit)
        )
    )
