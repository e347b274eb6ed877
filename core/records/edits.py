"""A message that was sent is changed: a row of the outbox that names the one it replaces.

Only the newest state of a message is ever sent: a change that still waits is set aside by the
next, and what has not been sent yet is changed before it goes.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Row, select, update
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring
from core.records.news import announce
from core.records.outbox import UNASKED

WAITS = ("due", "sending")


def replace(session: Session, of: str, key: str, body: dict[str, Any], now: datetime) -> bool:
    """Say a message anew where it stands; return whether it can be.

    Args:
        of: key of the row that said it first.
        key: key of this change.

    False: the message is not kept any more, or was never sent and never will be.
    """
    first = session.scalars(
        select(m.Outbox).where(m.Outbox.key == of).with_for_update()
    ).one_or_none()
    if first is None or first.state in ("parked", "stale"):
        return False
    if first.state == "due" and first.part == first.unknowns == 0:
        first.body = body
        return True
    if _newest(session, first).body == body:
        return True
    session.execute(
        update(m.Outbox).where(*_of(first), m.Outbox.state == "due").values(state="stale")
    )
    session.execute(
        ignoring(session, m.Outbox),
        {
            "key": key,
            "chat_id": first.chat_id,
            "notice_id": first.notice_id,
            "body": body,
            "due_at": now,
            "state": "due",
            "tries": 0,
            "rank": UNASKED,
            "edit_of": of,
        },
    )
    announce(session)
    return True


def _of(first: m.Outbox) -> tuple[Any, ...]:
    """Return what finds the changes of a message, by the index of its chat."""
    return (m.Outbox.chat_id == first.chat_id, m.Outbox.edit_of == first.key)


def _newest(session: Session, first: m.Outbox) -> m.Outbox:
    """Return the row that says how a message stands, or will once it is sent."""
    found = session.scalars(
        select(m.Outbox)
        .where(*_of(first), m.Outbox.state.in_((*WAITS, "sent")))
        .order_by(m.Outbox.id.desc())
        .limit(1)
    ).first()
    return found or first


def targets(session: Session, taken: Sequence[Row[Any]]) -> dict[int, str]:
    """Return row id → the platform's id of the message it changes, of rows just taken in hand.

    A change without a message to change, or behind which a newer one waits, is set aside.
    """
    changes = {row.id: row for row in taken if row.edit_of is not None}
    if not changes:
        return {}
    keys = {row.edit_of for row in changes.values()}
    chats = {row.chat_id for row in changes.values()}
    said = {
        row.key: row.platform_message
        for row in session.execute(
            select(m.Outbox.key, m.Outbox.platform_message).where(
                m.Outbox.key.in_(keys), m.Outbox.platform_message.is_not(None)
            )
        )
    }
    newest: dict[str, int] = {}
    for row in session.execute(
        select(m.Outbox.id, m.Outbox.edit_of).where(
            m.Outbox.chat_id.in_(chats), m.Outbox.edit_of.in_(keys), m.Outbox.state.in_(WAITS)
        )
    ):
        newest[row.edit_of] = max(row.id, newest.get(row.edit_of, 0))
    found = {
        row.id: said[row.edit_of]
        for row in changes.values()
        if row.edit_of in said and newest.get(row.edit_of, row.id) == row.id
    }
    left = [row_id for row_id in changes if row_id not in found]
    if left:
        session.execute(
            update(m.Outbox)
            .where(m.Outbox.id.in_(left))
            .values(state="stale", lease_until=None, lease_by=None)
        )
    return found
