"""One beat: groups whose hour has come are looked at, and what is due goes into the outbox.

What is due is computed by `core/due/notices.py` from the records and `now`; a beat that comes
twice, late, or on two machines at once says nothing twice, because every notice has a natural key.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from bot.talk.addressed import addressed
from bot.wording.speak import speak
from core.due import notices
from core.due.day import Day, Notice
from core.records import absence, marks, outbox, people, snapshot
from core.records import models as m
from core.records.database import Database
from core.records.forgetting import sweep
from core.records.notices import alerted, keep, read_day
from core.replies.notices import NoticeSaid

GROUPS_A_BEAT = 200


def beat(database: Database, now: datetime, *, bot_name: str = "") -> int:
    """Look at the groups that are due; return how many notices were made."""
    return sum(
        look_at(database, group_id, now, bot_name=bot_name)
        for group_id in due_groups(database, now)
    )


def due_groups(database: Database, now: datetime, limit: int = GROUPS_A_BEAT) -> list[int]:
    """Return the groups whose hour has come, the longest due first."""
    with database.transaction() as session:
        sweep(session)  # what is left of those who asked to be forgotten
        return list(
            session.scalars(
                select(m.Group.id)
                .where(m.Group.next_look_at <= now)
                .order_by(m.Group.next_look_at)
                .limit(limit)
            )
        )


def look_at(database: Database, group_id: int, now: datetime, *, bot_name: str = "") -> int:
    """Look at one group, in its own transaction; return how many notices were made."""
    with database.transaction() as session:
        return look(session, group_id, now, bot_name=bot_name)


def look(session: Session, group_id: int, now: datetime, *, bot_name: str = "") -> int:
    """Put one group's due notices into the outbox, and say when to look again."""
    group = session.scalars(
        select(m.Group).where(m.Group.id == group_id).with_for_update()
    ).one_or_none()
    if group is None or group.next_look_at is None or group.next_look_at > now:
        return 0
    day = _with_absence(session, group, read_day(session, group, now))
    made = 0
    for notice in notices.due_now(day):
        row = keep(session, notice, now)
        if row is None:
            continue  # said before
        deliver(session, group, row, notice, now, bot_name=bot_name)
        if "away" in notice.values:
            absence.told(session, group.id)
        made += 1
    group.looked_at = now
    group.next_look_at = notices.look_again(day)
    return made


def _with_absence(session: Session, group: m.Group, day: Day) -> Day:
    """Return the day with what the group must be told of an absence.

    Where the messenger is polled, it is known to the minute when it was last heard; elsewhere
    the gap between two looks has to do. It is kept until a round can tell it: the bot may come
    back at night or during a closure.
    """
    chat = people.group_chat(session, group.id)
    heard = chat is not None and marks.get(session, f"heard:{chat.platform}") is not None
    gap = day.looked_at is not None and day.now - day.looked_at > notices.AWAY_AFTER
    if gap and not heard and day.looked_at is not None:
        absence.note(session, group.id, day.looked_at, day.now)
    return replace(day, away=absence.of(session, group.id))


def deliver(
    session: Session,
    group: m.Group,
    row: m.Notice,
    notice: Notice,
    now: datetime,
    *,
    bot_name: str = "",
) -> None:
    """Word a notice and put it into the outbox, in private where that is open."""
    to = addressed(session, group, notice.recipient)
    if to is None:
        return
    alert = alerted(session, notice.values)
    said = NoticeSaid(id=row.id, notice=notice, people=alert)
    message = speak(said, to.voice(session, now, bot_name))
    outbox.put(
        session,
        f"notice:{row.id}",
        to.chat.id,
        to.body(session, message),
        notice.at or now,
        notice_id=row.id,
        stale_at=notices.of_no_use_from(snapshot.site_of(group), notice),
    )


def next_event_at(database: Database) -> datetime | None:
    """Return when something may next fall due: a group's hour or a message that waits."""
    with database.transaction() as session:
        look_at = session.scalars(
            select(m.Group.next_look_at)
            .where(m.Group.next_look_at.is_not(None))
            .order_by(m.Group.next_look_at)
            .limit(1)
        ).first()
        message_at = outbox.next_due_at(session)
    found = [at for at in (look_at, message_at) if at is not None]
    return min(found) if found else None
