"""The durable outbox: one row a message, with a natural key, written with what it speaks of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring
from core.records.news import announce

ANSWER, UNASKED = 0, 1  # ranks: what somebody waits for goes first


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a message answers.

    Attributes:
        message: the platform's id of it, for the answer to hang on.
        thread: the topic it was said in.
        asker: who said it, named when several answers go as one message.
    """

    message: str | None = None
    thread: str | None = None
    asker: str | None = None


def put(
    session: Session,
    key: str,
    chat_id: int,
    body: dict[str, Any],
    due_at: datetime,
    *,
    notice_id: int | None = None,
    said: Said | None = None,
    silent: bool = False,
    stale_at: datetime | None = None,
) -> None:
    """Add a message unless one of that key is there.

    Answers go before what is said unasked (`notice_id`). `said` is what it answers; `stale_at`
    the instant from which it is of no use and is not sent any more.
    """
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
            "rank": ANSWER if notice_id is None else UNASKED,
            "thread": said.thread if said else None,
            "reply_to": said.message if said else None,
            "asker": said.asker[:100] if said and said.asker else None,
            "silent": silent,
            "stale_at": stale_at,
        },
    )
    announce(session)


def bodies_of(session: Session, chat_id: int, message: str) -> list[dict[str, Any]]:
    """Return what was put together into one message of a chat, by the platform's id of it."""
    found = session.scalars(
        select(m.Outbox.body).where(
            m.Outbox.chat_id == chat_id,
            m.Outbox.state == "sent",
            m.Outbox.platform_message == message,
            m.Outbox.edit_of.is_(None),
        )
    )
    return list(found)


def is_apart(session: Session, key: str) -> bool:
    """Whether the message of a key is for whoever pressed alone."""
    body = session.scalars(select(m.Outbox.body).where(m.Outbox.key == key)).first()
    return body is not None and "alone" in body


def due(session: Session, now: datetime, limit: int = 100) -> list[m.Outbox]:
    """Return the messages due, oldest first, answers before what is said unasked."""
    return list(
        session.scalars(
            select(m.Outbox)
            .where(m.Outbox.state == "due", m.Outbox.due_at <= now)
            .order_by(m.Outbox.due_at, m.Outbox.rank, m.Outbox.id)
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
