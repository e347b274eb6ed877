"""The age of messages: what is stale, what may be forgotten, what was sent just now."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from core.records import models as m

STALE_AFTER = timedelta(hours=24)
REMEMBERED = timedelta(seconds=61)  # longer than any window of the platform's limits


def mark_stale(session: Session, platform: str, now: datetime) -> int:
    """Set aside notices nobody needs any more; return how many.

    Those due more than a day ago, and those of a group's round, nudge or rise of an earlier day
    when a later one to the same people waits as well.
    """
    rows = session.execute(
        select(
            m.Outbox.id,
            m.Outbox.due_at,
            m.Outbox.part,
            m.Notice.group_id,
            m.Notice.recipient,
            m.Notice.kind,
            m.Notice.on_day,
        )
        .join(m.Notice, m.Notice.id == m.Outbox.notice_id)
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(m.Outbox.state == "due", m.Outbox.due_at <= now, m.Chat.platform == platform)
    ).all()
    newest: dict[tuple[int, int, str], date] = {}
    for row in rows:
        key = (row.group_id, row.recipient, row.kind)
        newest[key] = max(row.on_day, newest.get(key, row.on_day))
    stale = [
        row.id
        for row in rows
        if row.part == 0
        and (
            now - row.due_at > STALE_AFTER
            or row.on_day != newest[(row.group_id, row.recipient, row.kind)]
        )
    ]
    if stale:
        session.execute(update(m.Outbox).where(m.Outbox.id.in_(stale)).values(state="stale"))
    return len(stale)


def forget(session: Session, platform: str, before: datetime, limit: int = 1000) -> int:
    """Delete messages settled that fell due long ago; return how many.

    What was reported and what was due stays in the reports and notices.
    """
    old = (
        select(m.Outbox.id)
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(
            m.Outbox.state.in_(("sent", "stale", "parked")),
            m.Outbox.due_at < before,
            m.Chat.platform == platform,
        )
        .order_by(m.Outbox.due_at)
        .limit(limit)
    )
    gone = session.execute(delete(m.Outbox).where(m.Outbox.id.in_(old)))
    return int(gone.rowcount)  # type: ignore[attr-defined]


def sent_since(
    session: Session, platform: str, since: datetime
) -> list[tuple[int, bool, datetime, int]]:
    """Return (chat id, private, when, how often) of the latest sends, for the pace to remember.

    What is in doubt counts as sent, now.
    """
    rows = session.execute(
        select(
            m.Outbox.chat_id,
            m.Chat.private,
            m.Outbox.sent_at,
            m.Outbox.unknowns,
            m.Outbox.state,
        )
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(m.Outbox.state.in_(("sent", "due", "parked")), m.Chat.platform == platform)
        .order_by(m.Outbox.id.desc())
        .limit(2000)
    ).all()
    found = []
    for chat_id, private, at, unknowns, state in rows:
        if state == "sent" and at is not None and at >= since:
            found.append((chat_id, private, at, 1 + unknowns))
        elif state != "sent" and unknowns:
            found.append((chat_id, private, since + REMEMBERED, unknowns))
    return sorted(found, key=lambda send: send[2])
