"""Take a name out of the records, and the last of a forgotten account."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

from sqlalchemy import Select, Text, cast, delete, exists, or_, select
from sqlalchemy.orm import Session

from core.records import models as m

FORGOTTEN = "forgotten"


def erase(session: Session, group_id: int, name: str, put: str) -> None:
    """Put other words for a name wherever it stands in a group's records and messages."""
    found = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)

    def without(text: str) -> str:
        return found.sub(put, text)

    _change(session, group_id, name, without)
    chats = select(m.Chat.id).where(
        or_(
            m.Chat.group_id == group_id,
            m.Chat.person_id.in_(select(m.Member.person_id).where(m.Member.group_id == group_id)),
        )
    )
    for said in _having(session, select(m.Outbox).where(m.Outbox.chat_id.in_(chats)), name):
        if said.state == "due":
            said.body = _through(said.body, without)
        elif said.state != "sending":
            said.body = {"text": put}  # it has been said; nobody needs the rest
        if said.asker is not None:
            said.asker = without(said.asker)
    for notice in _having(session, select(m.Notice).where(m.Notice.group_id == group_id), name):
        notice.body = _through(notice.body, without)
    kept = select(m.Press).where(m.Press.chat_id.in_(chats))
    for press in session.scalars(kept.where(_holds(m.Press.command, name))).all():
        session.delete(press)
    session.flush()


def _change(session: Session, group_id: int, name: str, put: Callable[[str], str]) -> None:
    acts = select(m.Act).where(m.Act.group_id == group_id)
    for act in session.scalars(
        acts.where(or_(_holds(m.Act.summary, name), _holds(m.Act.for_name, name)))
    ):
        act.summary = _through(act.summary, put)
        act.for_name = act.for_name and put(act.for_name)
    reports = select(m.Report).where(m.Report.group_id == group_id)
    for report in session.scalars(reports.where(_holds(m.Report.values, name))):
        report.values = _through(report.values, put)
    wishes = select(m.Wish).where(m.Wish.group_id == group_id)
    for wish in session.scalars(wishes.where(_holds(m.Wish.for_name, name))):
        wish.for_name = wish.for_name and put(wish.for_name)
    reminders = select(m.Reminder).where(m.Reminder.group_id == group_id)
    for reminder in session.scalars(reminders.where(_holds(m.Reminder.text, name))):
        reminder.text = put(reminder.text)
    session.flush()


def _having(session: Session, rows: Select[Any], name: str) -> list[Any]:
    """Return the rows whose body, or asker, holds a name."""
    model = rows.column_descriptions[0]["entity"]
    where = _holds(model.body, name)
    if model is m.Outbox:
        where = or_(where, _holds(m.Outbox.asker, name))
    return list(session.scalars(rows.where(where)))


def _holds(column: Any, name: str) -> Any:
    """Whether a text, or JSON values as they are written, may hold a name."""
    text = cast(column, Text)
    spelt = {name, json.dumps(name)[1:-1], name.casefold(), json.dumps(name.casefold())[1:-1]}
    return or_(*(text.icontains(one, autoescape=True) for one in sorted(spelt)))


def _through(values: Any, put: Callable[[str], str]) -> Any:
    """Return JSON values with each text as `put` gives it."""
    if isinstance(values, str):
        return put(values)
    if isinstance(values, dict):
        return {key: _through(one, put) for key, one in values.items()}
    if isinstance(values, list):
        return [_through(one, put) for one in values]
    return values


def drop_parked(session: Session, platform: str, user: str) -> None:
    """Delete what could not be handled of an account's updates, readable or not."""
    mark = re.compile(rf"(?<!\d){re.escape(user)}(?!\d)")
    parked = select(m.Inbox).where(m.Inbox.platform == platform, m.Inbox.state == "parked")
    for row in session.scalars(parked.where(_holds(m.Inbox.body, user))).all():
        if row.body.get("user") == user or mark.search(str(row.body.get("unreadable", ""))):
            session.delete(row)
    session.flush()


def sweep(session: Session) -> int:
    """Take the platform's id out of private chats that belong to nobody; return how many.

    A chat waits until no message to it is due and no update from it is unhandled. Its messages,
    updates and buttons go too. A chat that speaks again gets a person again and is left alone.
    """
    chats = session.scalars(
        select(m.Chat).where(
            m.Chat.private,
            m.Chat.person_id.is_(None),
            ~m.Chat.platform_chat.startswith(FORGOTTEN),
            ~exists().where(m.Outbox.chat_id == m.Chat.id, m.Outbox.state.in_(("due", "sending"))),
            ~exists().where(
                m.Inbox.platform == m.Chat.platform,
                m.Inbox.chat == m.Chat.platform_chat,
                m.Inbox.state == "new",
            ),
        )
    ).all()
    for chat in chats:
        session.execute(
            delete(m.Inbox).where(
                m.Inbox.platform == chat.platform, m.Inbox.chat == chat.platform_chat
            )
        )
        for model in (m.Outbox, m.Press, m.Dialogue):
            session.execute(delete(model).where(model.chat_id == chat.id))
        chat.platform_chat = f"{FORGOTTEN}-{chat.id}"
        chat.title = None
    session.flush()
    return len(chats)
