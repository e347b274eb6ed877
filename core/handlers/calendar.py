"""The plan, the growing and the duties as a calendar file."""

from __future__ import annotations

from collections import Counter

from sqlalchemy.orm import Session

from core.group.calendar_dates import CalendarEvent
from core.group.calendar_events import calendar_events
from core.group.garden import Garden
from core.records import snapshot
from core.replies.base import Reply
from core.replies.calendar import CalendarSaid
from core.requests import Calendar
from core.scene import Scene


def calendar(request: Calendar, scene: Scene, session: Session) -> Reply:
    """Say what the calendar file holds, in private with one's own duties alone."""
    assert scene.group_id is not None
    member = scene.member_id if scene.private else None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    events = [e for e in events_of(session, garden, scene, member) if not e.cancelled]
    return CalendarSaid(
        group_id=scene.group_id,
        member_id=member,
        counts=tuple(sorted(Counter(event.kind for event in events).items())),
        first=min((event.first for event in events), default=None),
        last=max((event.last for event in events), default=None),
    )


def events_of(
    session: Session, garden: Garden, scene: Scene, member: int | None
) -> tuple[CalendarEvent, ...]:
    """Return a group's events as of a scene's day."""
    every = snapshot.all_sowings(session, garden.site.group_id)
    sown = frozenset(sowing.plan_item for sowing in every if sowing.plan_item)
    return calendar_events(garden, scene.today, sown=sown, member=member)
