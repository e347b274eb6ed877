"""The calendar file: whole days of the site, in iCalendar (RFC 5545).

All dates are whole days, so no time zone can shift them. An event's UID is the same in every
file and its SEQUENCE rises from file to file, so that a calendar moves what it has already.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

from bot.wording.replies.calendar import event_text, event_title
from bot.wording.voice import Voice
from core.group.calendar_dates import CalendarEvent
from core.group.calendar_events import calendar_events
from core.records import models as m
from core.records import snapshot
from core.records.database import Database
from core.scene import local_date

PRODID = "-//Traywarden//Seedling calendar//EN"


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return a group's calendar file.

    Args:
        values: `group_id`; `member_id` (None = everybody's duties); how to speak.
        now: aware instant the file is made at.

    Raises LookupError for a group that is none.
    Checked by: tests/core/handlers/test_calendar.py.
    """
    group_id = int(values["group_id"])
    member = values.get("member_id")
    with database.transaction() as session:
        group = session.get(m.Group, group_id)
        if group is None:
            raise LookupError(group_id)
        today = local_date(now, group.zone)
        garden = snapshot.garden(session, group_id, today)
        every = snapshot.all_sowings(session, group_id)
        sown = frozenset(sowing.plan_item for sowing in every if sowing.plan_item)
        events = calendar_events(garden, today, sown=sown, member=member)
    voice = Voice(
        today=today,
        language=str(values.get("language") or garden.site.language),
        fahrenheit=bool(values.get("fahrenheit")),
        inches=bool(values.get("inches")),
        zone=garden.site.zone,
        people={one.id: one.name for one in garden.members.values()},
    )
    return calendar_file(events, voice, name=garden.site.name, now=now)


def calendar_file(
    events: Iterable[CalendarEvent], voice: Voice, *, name: str, now: datetime
) -> bytes:
    """Return events as an iCalendar stream, UTF-8, lines folded and ended by CRLF."""
    import icalendar

    calendar = icalendar.Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    stamp = now.astimezone(UTC).replace(microsecond=0)
    for event in events:
        entry = icalendar.Event()
        entry.add("uid", event.uid)
        entry.add("dtstamp", stamp)
        entry.add("last-modified", stamp)
        entry.add("sequence", int(stamp.timestamp()) // 60)
        entry.add("dtstart", event.first)
        entry.add("dtend", _after(event.last))
        entry.add("summary", event_title(event, voice))
        text = event_text(event, voice)
        if text:
            entry.add("description", text)
        entry.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
        entry.add("transp", "TRANSPARENT")
        calendar.add_component(entry)
    return bytes(calendar.to_ical())


def _after(last: date) -> date:
    """The end of a whole day is the next one (RFC 5545, 3.6.1)."""
    return last + timedelta(days=1)
