"""The group's message of the day lives: as its work is done, it is changed where it stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from sqlalchemy.orm import Session

from bot.talk.caller import voice_for
from bot.wording.speak import speak
from core.due import ticks
from core.due.day import Notice
from core.due.items import Item
from core.due.kinds import NoticeKind
from core.records import edits, notices, snapshot
from core.records import models as m
from core.replies.notices import NoticeSaid
from core.requests import Done, EndReminder, Instead, Note, Report, Request, Undo
from core.scene import local_date

CHANGING = (Report, Undo, Instead, Done, EndReminder)
"""Requests by which work may be done, or no longer is."""


def refresh(
    session: Session, group: m.Group, key: str, now: datetime, *, bot_name: str = ""
) -> int | None:
    """Change today's message of a group to how its work stands.

    Returns the notice whose message says so now, or will when it is sent; None = there is none.
    `key` names what brought the change about.
    """
    today = local_date(now, group.zone)
    row = notices.living(session, group.id, today)
    if row is None or not row.body.get("keys"):
        return None
    session.flush()
    garden = snapshot.garden(session, group.id, today)
    left, done = ticks.split(
        garden,
        today,
        row.body["keys"],
        notices.acts_since(session, group.id, row.made_at),
        notices.brought_in(session, group.id, today),
    )
    said = NoticeSaid(
        id=row.id,
        notice=_notice(row, left),
        people=notices.alerted(session, row.body.get("values", {})),
        ticks=done,
        undo=notices.last_press(session, row),
    )
    voice = voice_for(session, group, None, now, private=False, bot_name=bot_name)
    body = speak(said, replace(voice, today=today)).body()
    return row.id if edits.replace(session, f"notice:{row.id}", f"{key}:edit", body, now) else None


def _notice(row: m.Notice, left: tuple[Item, ...]) -> Notice:
    return Notice(
        group_id=row.group_id,
        recipient=row.recipient,
        kind=NoticeKind(row.kind),
        subject=row.subject,
        on=row.on_day,
        items=left,
        values=row.body.get("values", {}),
    )


def changes(request: Request) -> bool:
    """Whether a request may change how the day's work stands; a remark is nobody's work."""
    return isinstance(request, CHANGING) and not isinstance(request, Note)
