"""The durable inbox: every update once, handled once, in order within its chat."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import delete, func, insert, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from core.records import models as m


def store(
    session: Session,
    rows: Iterable[tuple[str, str, str, dict[str, Any]]],
    now: datetime,
    *,
    state: str = "new",
    error: str | None = None,
) -> int:
    """Store updates (platform, key, chat, body), those known already left as they are.

    `state` other than `new` sets them aside at once: `done`, or `parked` with its error.
    Returns how many were new.
    """
    values = [
        {
            "platform": platform,
            "update_key": key,
            "chat": chat,
            "body": body,
            "received_at": now,
            "state": state,
            "tries": 0,
            "error": error,
            "handled_at": None if state == "new" else now,
        }
        for platform, key, chat, body in rows
    ]
    if not values:
        return 0
    before = session.scalar(select(func.max(m.Inbox.id))) or 0
    session.execute(ignoring(session, m.Inbox), values)
    return session.scalar(select(func.count()).where(m.Inbox.id > before)) or 0


def queue(
    session: Session, platform: str, *, busy: Iterable[str] = (), limit: int = 200
) -> list[m.Inbox]:
    """Return updates not handled yet, oldest first, leaving out the chats that are busy."""
    return list(
        session.scalars(
            select(m.Inbox)
            .where(m.Inbox.state == "new", m.Inbox.platform == platform, m.Inbox.chat.not_in(busy))
            .order_by(m.Inbox.id)
            .limit(limit)
        )
    )


def turn(session: Session, row: m.Inbox) -> bool:
    """Whether it is this update's turn: no older one of its chat waits, none is being handled.

    Several processes may work on one PostgreSQL database: each chat is then locked for this
    transaction, and a process that is killed lets go of it at once.
    """
    if session.get_bind().dialect.name == "postgresql":
        key = f"inbox:{row.platform}:{row.chat}"
        locked = session.scalar(
            select(func.pg_try_advisory_xact_lock(func.hashtextextended(key, 0)))
        )
        if not locked:
            return False
    older = select(m.Inbox.id).where(
        m.Inbox.state == "new",
        m.Inbox.chat == row.chat,
        m.Inbox.platform == row.platform,
        m.Inbox.id < row.id,
    )
    return session.scalar(older.limit(1)) is None


def forget(session: Session, before: datetime, limit: int = 1000) -> int:
    """Delete updates settled before an instant; return how many. Parked ones stay."""
    old = (
        select(m.Inbox.id)
        .where(m.Inbox.state == "done", m.Inbox.received_at < before)
        .order_by(m.Inbox.id)
        .limit(limit)
    )
    gone = session.execute(delete(m.Inbox).where(m.Inbox.id.in_(old)))
    return int(gone.rowcount)  # type: ignore[attr-defined]


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
