"""Take messages from the outbox for sending, and settle what became of them.

A message is `due`, then `sending` while one process holds it, then `sent`, or `parked` with the
reason, or `stale`. Answers go before what is said unasked; within either the order is that of
(due_at, id). Answers that wait for one group go together, as one message that names who asked.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row, bindparam, exists, or_, select, update
from sqlalchemy.orm import Session

from core.records import edits
from core.records import models as m
from core.records.outbox import ANSWER
from core.records.prepared import rows, table

REPLY_REPEATED_WITHIN = timedelta(hours=1)
MOST_UNKNOWN = 8
LONGEST_PAUSE = timedelta(hours=1)
"""A pause that ends later was set before a clock went back; the platform may be asked again."""
LONGEST_LEASE = timedelta(minutes=5)
MERGED_MOST = 40
BY_ITSELF = frozenset({"attachments", "alone", "spent", "mark", "poll", "hint"})
"""Keys of a body that goes by itself: files, and what is no message, or needs its own target."""
MERGED_CHARACTERS = 3400  # with the names of those who asked, one message of any messenger

_OUTBOX, _CHAT = table(m.Outbox).c, table(m.Chat).c
_FIRST = table(m.Outbox).alias("first_said")
_NOT_SAID_YET = exists().where(
    _FIRST.c.key == _OUTBOX.edit_of, _FIRST.c.state.in_(edits.WAITS)
)  # a change waits for the message it changes
_HEADS = (
    select(_OUTBOX.id, _OUTBOX.chat_id, _OUTBOX.rank)
    .select_from(table(m.Outbox).join(table(m.Chat), _CHAT.id == _OUTBOX.chat_id))
    .where(
        _OUTBOX.state == "due",
        or_(_OUTBOX.rank == ANSWER, _OUTBOX.due_at <= bindparam("now")),
        or_(_OUTBOX.stale_at.is_(None), _OUTBOX.stale_at > bindparam("now")),
        _CHAT.platform == bindparam("platform"),
        or_(
            _CHAT.paused_until.is_(None),
            _CHAT.paused_until <= bindparam("now"),
            _CHAT.paused_until > bindparam("longest"),
        ),
        _OUTBOX.chat_id.not_in(bindparam("busy", expanding=True)),
        or_(_OUTBOX.edit_of.is_(None), ~_NOT_SAID_YET),
    )
    .order_by(_OUTBOX.rank, _OUTBOX.due_at, _OUTBOX.id)
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
        _OUTBOX.thread,
        _OUTBOX.reply_to,
        _OUTBOX.asker,
        _OUTBOX.silent,
        _OUTBOX.rank,
        _OUTBOX.edit_of,
    )
)
_WAITING_ANSWERS = (
    select(_OUTBOX.id, _OUTBOX.chat_id, _OUTBOX.thread, _OUTBOX.asker, _OUTBOX.body, _OUTBOX.part)
    .where(
        _OUTBOX.chat_id.in_(bindparam("chats", expanding=True)),
        _OUTBOX.state == "due",
        _OUTBOX.rank == ANSWER,
    )
    .order_by(_OUTBOX.due_at, _OUTBOX.id)
    .limit(500)
)
_CHATS = select(
    _CHAT.id,
    _CHAT.platform_chat,
    _CHAT.private,
    _CHAT.thread,
    _CHAT.dead_since,
    _CHAT.dead_because,
).where(_CHAT.id.in_(bindparam("ids", expanding=True)))
_CHATS_OF = (
    select(_OUTBOX.chat_id).where(_OUTBOX.id.in_(bindparam("ids", expanding=True))).distinct()
)
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
        chat: the platform's id of the chat; thread: the topic it goes to, if any.
        reply_to: the platform's id of what it answers, in a group.
        also: ids of the rows that go with it as one message.
        bodies: (who asked, body) of each row, in order.
        notice: it was said unasked.
        part: how many parts were delivered before.
        dead: why the chat cannot be reached, if so.
        changes: the platform's id of the message that is changed, where none is sent.
    """

    id: int
    chat_id: int
    chat: str
    private: bool
    thread: str | None
    notice: bool
    bodies: tuple[tuple[str | None, m.Json], ...]
    due_at: datetime
    part: int
    tries: int
    also: tuple[int, ...] = ()
    reply_to: str | None = None
    silent: bool = False
    dead: str | None = None
    changes: str | None = None

    @property
    def ids(self) -> tuple[int, ...]:
        """All rows that this message settles."""
        return (self.id, *self.also)


def heads(
    session: Session,
    platform: str,
    now: datetime,
    *,
    busy: Collection[int],
    limit: int,
    turn: Callable[[int], float] | None = None,
) -> tuple[list[int], bool]:
    """Return the ids of messages that may go now, at most one a chat, the longest due first.

    `turn` tells where a chat stands: of answers, and of what is unasked, the lowest goes first.
    `busy` chats are passed over, and so are those paused. Also returns whether there may be more.
    """
    looked_at = max(100, 2 * limit)
    found = rows(
        session,
        _HEADS,
        platform=platform,
        now=now,
        longest=now + LONGEST_PAUSE,
        busy=list(busy),
        looked_at=looked_at,
    )
    first: dict[int, tuple[int, int]] = {}
    for row in found:
        first.setdefault(row.chat_id, (row.rank, row.id))
    order = list(first)
    if turn is not None:
        order.sort(key=lambda chat: (first[chat][0], turn(chat)))
    chosen = [first[chat][1] for chat in order]
    return chosen[:limit], len(found) == looked_at or len(chosen) > limit


def chats_of(session: Session, ids: Collection[int]) -> list[int]:
    """Return the chats of some messages."""
    return [row.chat_id for row in rows(session, _CHATS_OF, ids=list(ids))]


def claim(
    session: Session,
    ids: Collection[int],
    holder: str,
    now: datetime,
    until: datetime,
    *,
    merge_in: Collection[int] = (),
) -> list[Sending]:
    """Take messages for sending until a lease ends; those taken meanwhile are left out.

    In the chats `merge_in`, answers that wait behind the one taken go with it.
    """
    if not ids:
        return []
    behind = _behind(session, ids, merge_in) if merge_in else {}
    every = [*ids, *(row for others in behind.values() for row in others)]
    taken = {row.id: row for row in rows(session, _CLAIM, ids=every, holder=holder, until=until)}
    chats = {
        chat.id: chat for chat in rows(session, _CHATS, ids=[row.chat_id for row in taken.values()])
    }
    changes = edits.targets(session, list(taken.values()))
    sendings = []
    for row in sorted(taken.values(), key=lambda row: (row.rank, row.due_at, row.id)):
        if row.id not in ids or (row.edit_of is not None and row.id not in changes):
            continue
        chat = chats[row.chat_id]
        with_it = [taken[other] for other in behind.get(row.id, ()) if other in taken]
        sendings.append(
            Sending(
                id=row.id,
                also=tuple(other.id for other in with_it),
                chat_id=chat.id,
                chat=chat.platform_chat,
                private=chat.private,
                thread=chat.thread if row.rank != ANSWER else row.thread,
                reply_to=row.reply_to if not chat.private and not with_it else None,
                notice=row.notice_id is not None,
                bodies=tuple((one.asker, one.body) for one in (row, *with_it)),
                due_at=row.due_at,
                part=row.part,
                tries=row.tries,
                silent=row.silent,
                dead=(chat.dead_because or "gone") if chat.dead_since is not None else None,
                changes=changes.get(row.id),
            )
        )
    return sendings


def _behind(session: Session, ids: Collection[int], chats: Collection[int]) -> dict[int, list[int]]:
    """Return head → ids of the answers that wait right behind it and fit into one message."""
    waiting: dict[int, list[Row[Any]]] = {}
    for row in rows(session, _WAITING_ANSWERS, chats=list(chats)):
        waiting.setdefault(row.chat_id, []).append(row)
    found = {}
    for line in waiting.values():
        head, *others = line
        if head.id not in ids or not _plain(head):
            continue
        room = MERGED_CHARACTERS - len(str(head.body.get("text", "")))
        fit: list[int] = []
        for row in others:
            room -= len(str(row.body.get("text", ""))) + 1
            alike = row.thread == head.thread and _plain(row)
            if not alike or room < 0 or len(fit) + 1 >= MERGED_MOST:
                break
            fit.append(row.id)
        if fit:
            found[head.id] = fit
    return found


def _plain(row: Row[Any]) -> bool:
    """Whether it is an answer to a member of a group, words and buttons only, not begun yet."""
    return bool(row.asker) and row.part == 0 and not BY_ITSELF & row.body.keys()


def _in_hand(ids: Collection[int], holder: str) -> tuple[object, ...]:
    return (m.Outbox.id.in_(ids), m.Outbox.lease_by == holder, m.Outbox.state == "sending")


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
        .where(*_in_hand([row_id], holder))  # type: ignore[arg-type]
        .values(state="due", part=parts, unknowns=0, lease_until=None)
    )


def again(session: Session, ids: Collection[int], holder: str, reason: str) -> None:
    """Nothing was delivered; it is due as before."""
    session.execute(
        update(m.Outbox)
        .where(*_in_hand(ids, holder))  # type: ignore[arg-type]
        .values(state="due", error=reason[:500], lease_until=None)
    )


def unknown(session: Session, ids: Collection[int], holder: str, now: datetime) -> None:
    """Nobody knows whether it was delivered: repeat it, within the bounds of the policy.

    A notice is repeated until its outcome is known, at most MOST_UNKNOWN - 1 times: one said
    twice costs a glance, one never said may cost a tray. A reply is repeated in the same way,
    but only within an hour: after that the talk has moved on, and what it answered is recorded
    all the same.
    """
    for row_id in sorted(ids):
        row = session.get(m.Outbox, row_id, with_for_update=True)
        if row is None or row.state != "sending" or row.lease_by != holder:
            continue
        row.unknowns += 1
        row.lease_until = None
        row.error = "the outcome is unknown"
        too_late = row.notice_id is None and now - row.due_at > REPLY_REPEATED_WITHIN
        row.state = "parked" if row.unknowns >= MOST_UNKNOWN or too_late else "due"


def park(session: Session, ids: Collection[int], holder: str, reason: str) -> None:
    """It cannot be delivered, now or later."""
    session.execute(
        update(m.Outbox)
        .where(*_in_hand(ids, holder))  # type: ignore[arg-type]
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
    """The forum topic is gone: speak outside of topics until one is named."""
    session.execute(update(m.Chat).where(m.Chat.id == chat_id).values(thread=None))
    session.execute(
        update(m.Outbox)
        .where(m.Outbox.chat_id == chat_id, m.Outbox.state == "due")
        .values(thread=None, reply_to=None)
    )


def drop_stale(session: Session, now: datetime) -> None:
    """Set aside what is of no use any more, whatever held it up."""
    session.execute(
        update(m.Outbox)
        .where(m.Outbox.state == "due", m.Outbox.stale_at <= now, m.Outbox.part == 0)
        .values(state="stale")
    )


def orphans(
    session: Session, platform: str, now: datetime, gone: Callable[[str], bool]
) -> list[tuple[int, str]]:
    """Return (id, holder) of messages in the hand of a process that has ended or hangs.

    A lease that ends much later than any is given was taken before a clock went back.
    """
    rows = session.execute(
        select(m.Outbox.id, m.Outbox.lease_by, m.Outbox.lease_until)
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(m.Outbox.state == "sending", m.Chat.platform == platform)
    ).all()
    return [
        (row_id, holder or "")
        for row_id, holder, until in rows
        if holder is None
        or until is None
        or until < now
        or until > now + LONGEST_LEASE
        or gone(holder)
    ]


def people(session: Session, ids: Collection[int]) -> dict[int, tuple[str, str]]:
    """Return person id → (platform id, name) of those to be mentioned."""
    if not ids:
        return {}
    rows = session.execute(
        select(m.Person.id, m.Person.platform_user, m.Person.name).where(m.Person.id.in_(ids))
    )
    return {row.id: (row.platform_user, row.name) for row in rows}
