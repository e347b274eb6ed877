"""Remind somebody on a day of what a member says; take it back, or tick it off."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy.orm import Session

from core.due.hours import looks
from core.errors import NothingToUndo
from core.handlers.duty import members_meant
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.reminders import ReminderEnded, ReminderSet
from core.requests import EndReminder, SetReminder
from core.scene import Scene
from core.set_up_errors import DatesReversed

LONGEST = 200
"""Characters of what is reminded of; as the column."""
AHEAD = timedelta(days=366)


def set_reminder(request: SetReminder, scene: Scene, session: Session) -> Reply:
    """Keep what is to be said, to whom and when; without a day it is tomorrow.

    Raises MemberUnknown, DatesReversed for a day that is past or more than a year off.
    """
    assert scene.group_id is not None
    on = request.on or scene.today + timedelta(days=1)
    site = snapshot.site_of(session.get_one(m.Group, scene.group_id))
    if on == scene.today and scene.now >= looks(site, on).late:
        on += timedelta(days=1)  # nobody is written to any more today
    if not scene.today <= on <= scene.today + AHEAD:
        raise DatesReversed(first=on, last=on, past=True)
    member = None
    if request.who is not None:
        (member,) = members_meant(session, scene, (request.who,), set_by_others=True)
    row = m.Reminder(
        group_id=scene.group_id,
        asked_by_id=scene.member_id,
        member_id=member.id if member is not None else None,
        on_day=on,
        text=" ".join(request.text.split())[:LONGEST],
        ended_at=None,
        done_by_id=None,
    )
    session.add(row)
    session.flush()
    return ReminderSet(
        id=row.id,
        on=on,
        text=row.text,
        who=member.name if member is not None else None,
        own=member is not None and member.id == scene.member_id,
    )


def end_reminder(request: EndReminder, scene: Scene, session: Session) -> Reply:
    """Take a reminder back, or tick it off. Raises NothingToUndo for one of no group of ours."""
    row = session.get(m.Reminder, request.reminder)
    if row is None or row.group_id != scene.group_id:
        raise NothingToUndo()
    again = row.ended_at is not None
    if not again:
        row.ended_at = scene.now
        row.done_by_id = scene.member_id if request.done else None
    return ReminderEnded(text=row.text, done=request.done, again=again)
