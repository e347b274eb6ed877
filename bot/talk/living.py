"""The lists of the day live: as their work is done, they are changed where they stand."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from sqlalchemy.orm import Session

from bot.talk.addressed import addressed
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
    session: Session,
    group: m.Group,
    key: str,
    now: datetime,
    *,
    by: int | None = None,
    bot_name: str = "",
) -> frozenset[int]:
    """Change today's lists of a group, and of the member `by`, to how their work stands.

    Returns the notices whose messages say so now, or will when they are sent. `key` names what
    brought the change about.
    """
    today = local_date(now, group.zone)
    rows = [row for row in notices.living(session, group.id, today, by) if row.body.get("keys")]
    if not rows:
        return frozenset()
    session.flush()
    garden = snapshot.garden(session, group.id, today)
    acts = notices.acts_since(session, group.id, min(row.made_at for row in rows))
    brought_in = notices.brought_in(session, group.id, today)
    shown = set()
    for row in rows:
        to = addressed(session, group, row.recipient)
        since = {act: doer for act, (doer, at) in acts.items() if at >= row.made_at}
        left, done = ticks.split(garden, today, row.body["keys"], since, brought_in)
        if to is None:
            continue
        said = NoticeSaid(
            id=row.id,
            notice=_notice(row, left),
            people=notices.alerted(session, row.body.get("values", {})),
            ticks=done,
            undo=notices.last_press(session, row),
        )
        message = speak(said, replace(to.voice(session, now, bot_name), today=today))
        body = to.body(session, message)
        if edits.replace(session, f"notice:{row.id}", f"{key}:edit:{row.id}", body, now):
            shown.add(row.id)
    return frozenset(shown)


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
