"""Take messages from the outbox for sending, and settle what became of them.

A message is `due`, then `sending` while one process holds it, then `sent`, or `parked` with the
reason, or `stale`. Within a chat the order is that of (due_at, id).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import bindparam, or_, select, update
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.prepared import rows, table

REPLY_REPEATED_WITHIN = timedelta(hours=1)
MOST_UNKNOWN = 8

_OUTBOX, _CHAT = table(m.Outbox).c, table(m.Chat).c
_HEADS = (
    select(_OUTBOX.id, _OUTBOX.chat_id)
    .select_from(table(m.Outbox).join(table(m.Chat), _CHAT.id == _OUTBOX.chat_id))
    .where(
        _OUTBOX.state == "due",
        _OUTBOX.due_at <= bindparam("now"),
        _CHAT.platform == bindparam("platform"),
        or_(_CHAT.paused_until.is_(None), _CHAT.paused_until <= bindparam("now")),
        _OUTBOX.chat_id.not_in(bindparam("busy", expanding=True)),
    )
    .order_by(_OUTBOX.due_at, _OUTBOX.id)
    .limit(bindparam("looked_at"))
)
_CLAIM = (
    update(table(m.Outbox))
    .where(_OUTBOX.id.in_(bindparam("ids", expanding=True)), _OUTBOX.state == "due")
    .values(
        state="sending",
        lease_by=bindparam("holder"),
        lease_until=bindparam("until"),
        tries=_OUTBOX.tries + 1,
    )
    .returning(
        _OUTBOX.id,
        _OUTBOX.chat_id,
        _OUTBOX.notice_id,
        _OUTBOX.body,
        _OUTBOX.due_at,
        _OUTBOX.part,
        _OUTBOX.tries,
    )
)
_CHATS = select(
    _CHAT.id,
    _CHAT.platform_chat,
    _CHAT.private,
    _CHAT.thread,
    _CHAT.dead_since,
    _CHAT.dead_because,
).where(_CHAT.id.in_(bindparam("ids", expanding=True)))
_SENT = (
    update(table(m.Outbox))
    .where(
        _OUTBOX.id == bindparam("row"),
        _OUTBOX.lease_by == bindparam("by"),
        _OUTBOX.state == "sending",
    )
    .values(
        state="sent", sent_at=bindparam("at"), platform_message=bindparam("said"), lease_until=None
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sending:
    """A message in hand.

    Attributes:
        chat: the platform's id of the chat; thread: its forum topic, if any.
        notice: it was said unasked.
        part: how many parts were delivered before.
        dead: why the chat cannot be reached, if so.
    """

    id: int
    chat_id: int
    chat: str
    private: bool
    thread: int | None
    notice: bool
    body: m.Json
    due_at: datetime
    part: int
    tries: int
    dead: str | None = None


def heads(
    session: Session, platform: str, now: datetime, *, busy: Collection[int], limit: int
) -> tuple[list[int], bool]:
    """Return the ids of messages that may go now, at most one a chat, the longest due first.

    `busy` chats are passed over, and so are those paused. Also returns whether there may be more.
    """
    looked_at = max(100, 2 * limit)
    found = rows(session, _HEADS, platform=platform, now=now, busy=list(busy), looked_at=looked_at)
    first: dict[int, int] = {}
    for row in found:
        first.setdefault(row.chat_id, row.id)
    chosen = list(first.values())
    return chosen[:limit], len(found) == looked_at or len(chosen) > limit


def claim(
    session: Session, ids: Collection[int], holder: str, now: datetime, until: datetime
) -> list[Sending]:
    """Take messages for sending until a lease ends; those taken meanwhile are left out."""
    if not ids:
        return []
    taken = rows(session, _CLAIM, ids=list(ids), holder=holder, until=until)
    chats = {chat.id: chat for chat in rows(session, _CHATS, ids=[row.chat_id for row in taken])}
    sendings = []
    for row in sorted(taken, key=lambda row: (row.due_at, row.id)):
        chat = chats[row.chat_id]
        sendings.append(
            Sending(
                id=row.id,
                chat_id=chat.id,
                chat=chat.platform_chat,
                private=chat.private,
                thread=chat.thread,
                notice=row.notice_id is not None,
                body=row.body,
                due_at=row.due_at,
                part=row.part,
                tries=row.tries,
                dead=(chat.dead_because or "gone") if chat.dead_since is not None else None,
            )
        )
    return sendings


def _in_hand(row_id: int, holder: str) -> tuple[object, ...]:
    return (m.Outbox.id == row_id, m.Outbox.lease_by == holder, m.Outbox.state == "sending")


def sent(
    session: Session, rows: Iterable[tuple[int, str | None]], holder: str, now: datetime
) -> None:
    """Settle (id, the platform's message id): delivered whole."""
    values = [{"row": row_id, "said": message} for row_id, message in rows]
    if not values:
        return
    session.connection().execute(_SENT, [{**row, "by": holder, "at": now} for row in values])


def part_sent(session: Session, row_id: int, holder: str, parts: int) -> None:
    """One part was delivered, `parts` now in all; the rest is due."""
    session.execute(
        update(m.Outbox)
        .where(*_in_hand(row_id, holder))  # type: ignore[arg-type]
        .values(state="due", part=parts, unknowns=0, lease_until=None)
    )


def again(session: Session, row_id: int, holder: str, reason: str) -> None:
    """Nothing was delivered; it is due as before."""
    session.execute(
        update(m.Outbox)
        .where(*_in_hand(row_id, holder))  # type: ignore[arg-type]
        .values(state="due", error=reason[:500], lease_until=None)
    )


def unknown(session: Session, row_id: int, holder: str, now: datetime) -> None:
    """Nobody knows whether it was delivered: repeat it, within the bounds of the policy.

    A notice is repeated until its outcome is known, at most MOST_UNKNOWN - 1 times: one said
    twice costs a glance, one never said may cost a tray. A reply is repeated in the same way,
    but only within an hour: after that the talk has moved on, and what it answered is recorded
    all the same.
    """
    row = session.get(m.Outbox, row_id, with_for_update=True)
    if row is None or row.state != "sending" or row.lease_by != holder:
        return
    row.unknowns += 1
    row.lease_until = None
    row.error = "the outcome is unknown"
    too_late = row.notice_id is None and now - row.due_at > REPLY_REPEATED_WITHIN
    row.state = "parked" if row.unknowns >= MOST_UNKNOWN or too_late else "due"


def park(session: Session, row_id: int, holder: str, reason: str) -> None:
    """It cannot be delivered, now or later."""
    session.execute(
        update(m.Outbox)
        .where(*_in_hand(row_id, holder))  # type: ignore[arg-type]
        .values(state="parked", error=reason[:500], lease_until=None)
    )


def pause_chat(session: Session, chat_id: int, until: datetime) -> None:
    """Send nothing to a chat before an instant."""
    session.execute(update(m.Chat).where(m.Chat.id == chat_id).values(paused_until=until))


def end_chat(session: Session, chat_id: int, reason: str, now: datetime) -> None:
    """A chat cannot be reached any more: mark it, and park what waits for it.

    It lives again as soon as it is heard.
    """
    session.execute(
        update(m.Chat)
        .where(m.Chat.id == chat_id, m.Chat.dead_since.is_(None))
        .values(dead_since=now, dead_because=reason[:100])
    )
    session.execute(
        update(m.Outbox)
        .where(m.Outbox.chat_id == chat_id, m.Outbox.state == "due")
        .values(state="parked", error=reason[:500])
    )


def leave_thread(session: Session, chat_id: int) -> None:
    """The forum topic is gone: speak outside of topics until one is heard."""
    session.execute(update(m.Chat).where(m.Chat.id == chat_id).values(thread=None))


def orphans(
    session: Session, platform: str, now: datetime, gone: Callable[[str], bool]
) -> list[tuple[int, str]]:
    """Return (id, holder) of messages in the hand of a process that has ended or hangs."""
    rows = session.execute(
        select(m.Outbox.id, m.Outbox.lease_by, m.Outbox.lease_until)
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(m.Outbox.state == "sending", m.Chat.platform == platform)
    ).all()
    return [
        (row_id, holder or "")
        for row_id, holder, until in rows
        if holder is None or until is None or until < now or gone(holder)
    ]


def people(session: Session, ids: Collection[int]) -> dict[int, tuple[str, str]]:
    """Return person id → (platform id, name) of those to be mentioned."""
    if not ids:
        return {}
    rows = session.execute(
        select(m.Person.id, m.Person.platform_user, m.Person.name).where(m.Person.id.in_(ids))
    )
    return {row.id: (row.platform_user, row.name) for row in rows}
