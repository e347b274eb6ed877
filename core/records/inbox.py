"""The durable inbox: every update once, handled once, in order within its chat."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import Row, and_, bindparam, delete, exists, func, insert, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.prepared import table

SAID = ("text", "press", "file", "edited", "unheard", "place", "other")
"""What somebody said, of the events of an update."""


def store(
    session: Session,
    rows: Iterable[tuple[str, str, str, dict[str, Any]]],
    now: datetime,
    *,
    state: str = "new",
    error: str | None = None,
    by: str | None = None,
) -> dict[str, int]:
    """Store updates (platform, key, chat, body), those known already left as they are.

    `by` is the process that is about to handle them. `state` other than `new` sets them aside
    at once: `done`, or `parked` with its error.
    Returns the row id of each that was new, by its key.
    """
    values = [
        {
            "platform": platform,
            "update_key": key,
            "chat": chat,
            "body": body,
            "received_at": now,
            "state": state,
            "tries": 0 if by is None else 1,
            "lease_by": by,
            "error": error,
            "handled_at": None if state == "new" else now,
        }
        for platform, key, chat, body in rows
    ]
    if not values:
        return {}
    added = session.connection().execute(_stored(session.get_bind().dialect.name), values)
    return {row.update_key: row.id for row in added}


@functools.cache
def _stored(engine: str) -> Any:
    inbox = table(m.Inbox)
    return _ignoring(engine, m.Inbox).returning(inbox.c.id, inbox.c.update_key)


def queue(
    session: Session, platform: str, *, busy: Iterable[str] = (), limit: int = 200
) -> list[m.Inbox]:
    """Return updates not handled yet, leaving out the chats that are busy.

    The oldest of every chat comes before the second of any: a chat with many hides no other.
    """
    place = func.row_number().over(partition_by=m.Inbox.chat, order_by=m.Inbox.id).label("place")
    waiting = (
        select(m.Inbox.id, place)
        .where(m.Inbox.state == "new", m.Inbox.platform == platform, m.Inbox.chat.not_in(busy))
        .subquery()
    )
    found = (
        select(m.Inbox)
        .join(waiting, waiting.c.id == m.Inbox.id)
        .order_by(waiting.c.place, m.Inbox.id)
        .limit(limit)
    )
    return list(session.scalars(found))


def leave_unread(
    session: Session, platform: str, chat: str, keep: int, left: dict[str, Any], now: datetime
) -> int:
    """Settle, unread, what waits of a chat beyond the oldest `keep`; return how many.

    Only what somebody said: news of the chat itself and of who is in it are read.
    """
    mine = (m.Inbox.state == "new", m.Inbox.platform == platform, m.Inbox.chat == chat)
    last = session.scalar(
        select(m.Inbox.id).where(*mine).order_by(m.Inbox.id).offset(keep - 1).limit(1)
    )
    if last is None:
        return 0
    gone = session.execute(
        update(m.Inbox)
        .where(*mine, m.Inbox.id > last, m.Inbox.body["event"].as_string().in_(SAID))
        .values(state="done", handled_at=now, body=left)
        .execution_options(synchronize_session=False)
    )
    return int(gone.rowcount)  # type: ignore[attr-defined]


def begin(session: Session, row_ids: list[int], by: str) -> None:
    """A process is about to handle updates: should it end meanwhile, they may be why."""
    session.execute(
        update(m.Inbox)
        .where(m.Inbox.id.in_(row_ids))
        .values(lease_by=by, tries=m.Inbox.tries + 1)
        .execution_options(synchronize_session=False)
    )


def leave(session: Session, by: str) -> None:
    """A process ends as it should: what it has not handled is none of its fault."""
    session.execute(
        update(m.Inbox)
        .where(m.Inbox.state == "new", m.Inbox.lease_by == by)
        .values(lease_by=None, tries=0)
        .execution_options(synchronize_session=False)
    )


_INBOX = table(m.Inbox)
_older = _INBOX.alias("older")
_TURN = (
    select(_INBOX.c.id, _INBOX.c.chat, _INBOX.c.body)
    .where(
        _INBOX.c.id == bindparam("row"),
        _INBOX.c.state == "new",
        ~exists().where(
            _older.c.state == "new",
            _older.c.chat == _INBOX.c.chat,
            _older.c.platform == _INBOX.c.platform,
            _older.c.id < _INBOX.c.id,
        ),
    )
    .with_for_update(of=_INBOX)
)
_DONE = (
    update(_INBOX)
    .where(_INBOX.c.id == bindparam("row"))
    .values(state="done", handled_at=bindparam("at"), body=bindparam("left"))
)


def turn(session: Session, row_id: int) -> Row[Any, Any, Any] | None:
    """Return an update (id, chat, body) when it is its turn; it is locked until the end.

    None when it was handled, when an older one of its chat waits, or when another process is at
    work on that chat: several may share one PostgreSQL database. Each chat is locked for the
    transaction there, so that a process that is killed lets go of it at once.
    """
    if session.get_bind().dialect.name == "postgresql":
        place = session.execute(
            select(m.Inbox.platform, m.Inbox.chat).where(m.Inbox.id == row_id)
        ).one_or_none()
        if place is None:
            return None
        key = func.hashtextextended(f"inbox:{place.platform}:{place.chat}", 0)
        if not session.scalar(select(func.pg_try_advisory_xact_lock(key))):
            return None
    return session.execute(_TURN, {"row": row_id}).one_or_none()


def settle(session: Session, row_id: int, left: dict[str, Any], now: datetime) -> None:
    """An update was handled; of its body only `left` is kept."""
    session.execute(_DONE, {"row": row_id, "at": now, "left": left})


def forget(session: Session, before: datetime, parked_before: datetime, limit: int = 1000) -> int:
    """Delete updates settled long ago, and those parked longer still; return how many."""
    old = (
        select(m.Inbox.id)
        .where(
            or_(
                and_(m.Inbox.state == "done", m.Inbox.received_at < before),
                and_(m.Inbox.state == "parked", m.Inbox.received_at < parked_before),
            )
        )
        .order_by(m.Inbox.id)
        .limit(limit)
    )
    gone = session.execute(delete(m.Inbox).where(m.Inbox.id.in_(old)))
    return int(gone.rowcount)  # type: ignore[attr-defined]


def ignoring(session: Session, model: type[m.Base]) -> Any:
    """Return an insert that passes over rows whose natural key is there."""
    return _ignoring(session.get_bind().dialect.name, model)


@functools.cache
def _ignoring(engine: str, model: type[m.Base]) -> Any:
    match engine:
        case "sqlite":
            return sqlite.insert(table(model)).on_conflict_do_nothing()
        case "postgresql":
            return postgresql.insert(table(model)).on_conflict_do_nothing()
        case _:
            return insert(table(model))


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
