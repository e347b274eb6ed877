"""Closures out of a school's calendar file (iCalendar, RFC 5545).

All-day events are closures, recurring ones for each day they fall on. Events of some hours are
not, nor all-day ones whose words say that school begins.

A file is bounded before it is worked out: in size, in events, and in the days its series would
fall on since they began. A series of hours, minutes or seconds is never expanded.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

AHEAD = timedelta(days=550)  # a school year and the summer after it
MOST = 500  # closures of one file; own choice, as are the limits below
MOST_CHARACTERS = 1_500_000
MOST_EVENTS = 2_000
MOST_DAYS = 100_000  # on which the series of a file fall, since they began
MOST_SINGLE_DATES = 5_000  # listed one by one (RDATE, EXDATE)
EARLIEST = date(1900, 1, 1)  # own choice: no series begins before it
DAY_LONG = timedelta(hours=20)  # from midnight on, and so long: as good as a day

_OPENING = re.compile(
    r"(?<!\w)(?:begins?|starts?|start of|re-?opens?|open(?:ing)? day|first day|back to school|"
    r"classes resume|resumes?|inicio|comienzo|empiezan?|comienzan?|reanudan?|primer día)(?!\w)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """One event: `key` is stable over re-imports; both days included."""

    key: str
    first: date
    last: date
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosureFile:
    """What a calendar holds.

    Attributes:
        closings: from today on, earliest first.
        left_out: (label, reason): `hours` or `opening`.
        uids: UIDs of every event in the file; cancelled: those called off; counts in `events`.
    """

    closings: tuple[Closing, ...]
    left_out: tuple[tuple[str, str], ...]
    uids: frozenset[str]
    cancelled: frozenset[str]
    events: int


class TooMuch(ValueError):
    """More events, or longer series, than a school's calendar holds."""


def read_closures(text: str, today: date, *, zone: str = "UTC") -> ClosureFile:
    """Return the closures of a calendar that are not over.

    `zone`: the site's zone, for events with a time. Raises ValueError for text that is no
    calendar, TooMuch for one beyond the bounds above.
    Checked by: tests/core/trade/test_closure_file.py.
    """
    import icalendar
    import recurring_ical_events

    if "BEGIN:VCALENDAR" not in text[:4000].upper():
        raise ValueError("not a calendar")
    if len(text) > MOST_CHARACTERS or len(_BEGINS.findall(text)) > MOST_EVENTS:
        raise TooMuch("events")
    calendar = icalendar.Calendar.from_ical(text)
    every = list(calendar.walk("VEVENT"))
    by_hours = [event for event in every if _by_hours(event)]
    events = [event for event in every if not _by_hours(event)]
    _bounded(events, today + AHEAD)
    calendar.subcomponents = events  # times of a zone were read with it
    uids = frozenset(_uid(event) for event in events)
    cancelled = frozenset(_uid(e) for e in events if _cancelled(e) and "RECURRENCE-ID" not in e)
    series = {_uid(e) for e in events if {"RRULE", "RDATE", "RECURRENCE-ID"} & set(e)}
    found: dict[str, Closing] = {}
    left_out: dict[str, str] = {_label(event): "hours" for event in by_hours}
    for event in recurring_ical_events.of(calendar, skip_bad_series=True).between(
        today, today + AHEAD
    ):
        if _cancelled(event) or len(found) >= MOST:
            continue
        label = _label(event)
        span = _span(event, ZoneInfo(zone))
        if span is None:
            left_out[label] = "hours"
        elif _OPENING.search(label):
            left_out[label] = "opening"
        elif span[1] >= today:
            uid = _uid(event)
            key = f"{uid}#{_instance(event, span[0]) if uid in series else ''}"
            found[key] = Closing(key=key, first=span[0], last=span[1], label=label)
    return ClosureFile(
        closings=tuple(sorted(found.values(), key=lambda c: (c.first, c.last, c.key))),
        left_out=tuple(left_out.items()),
        uids=uids,
        cancelled=cancelled,
        events=len(every),
    )


_BEGINS = re.compile(r"^BEGIN:VEVENT\s*$", re.IGNORECASE | re.MULTILINE)
_DAYS = {"DAILY": 1, "WEEKLY": 7, "MONTHLY": 30, "YEARLY": 365}  # from one to the next, about
_IN_ONE = ("BYDAY", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO", "BYMONTH", "BYSETPOS")


def _rule(event: Any) -> list[dict[str, Any]]:
    """Return the rules of a series; a file may give one event several, and broken ones."""
    found = event.get("RRULE", [])
    every = found if isinstance(found, list) else [found]
    return [dict(one) if isinstance(one, dict) else {} for one in every]


def _by_hours(event: Any) -> bool:
    """Whether an event comes back within the day: it closes nothing, and could run away."""
    return any(
        str(rule.get("FREQ", [""])[0]).upper() not in _DAYS
        or any(len(rule.get(part, ())) > 1 for part in ("BYHOUR", "BYMINUTE", "BYSECOND"))
        for rule in _rule(event)
    )


def _bounded(events: list[Any], until: date) -> None:
    """Raise TooMuch where the series of a file fall on more days than it takes to read one."""
    days = 0.0
    single = 0
    for event in events:
        for name in ("RDATE", "EXDATE"):
            listed = event.get(name, [])
            for one in listed if isinstance(listed, list) else [listed]:
                single += len(getattr(one, "dts", ()))
        start = getattr(event.get("DTSTART"), "dt", None)
        begun = start.date() if isinstance(start, datetime) else start
        for rule in _rule(event):
            every = int(rule.get("INTERVAL", [1])[0])
            if every < 1 or not isinstance(begun, date) or begun < EARLIEST:
                raise TooMuch("series")
            period = _DAYS[str(rule["FREQ"][0]).upper()]
            times = max(1, *(len(rule.get(part, ())) for part in _IN_ONE))
            if period > _DAYS["WEEKLY"] and "BYDAY" in rule:
                times *= 5  # every Monday of a month
            passed = max(0, (until - begun).days) / (period * every)
            days += min(passed * min(times, period), float(rule.get("COUNT", [1e9])[0]))
    if days > MOST_DAYS or single > MOST_SINGLE_DATES:
        raise TooMuch("series")


def _label(event: Any) -> str:
    return " ".join(str(event.get("SUMMARY", "")).split())[:200]


def _uid(event: Any) -> str:
    """The event's UID; one without is known by its words and its start."""
    uid = str(event.get("UID", "")).strip()
    if uid:
        return uid.replace("#", "_")[:150]
    start = event.get("DTSTART")
    return f"{event.get('SUMMARY', '')}@{start.to_ical().decode() if start else ''}"[:150]


def _instance(event: Any, first: date) -> str:
    """Which of a series it is: the date it was meant for, whatever day it was moved to."""
    meant = event.get("RECURRENCE-ID")
    if meant is None:
        return first.isoformat()
    moment = meant.dt
    return (moment.date() if isinstance(moment, datetime) else moment).isoformat()


def _cancelled(event: Any) -> bool:
    return str(event.get("STATUS", "")).upper() == "CANCELLED"


def _span(event: Any, zone: ZoneInfo) -> tuple[date, date] | None:
    """Return first and last day, both included; None for an event of some hours.

    The end of an all-day event is the day after its last (RFC 5545, 3.6.1).
    """
    start = event["DTSTART"].dt
    end = event["DTEND"].dt if "DTEND" in event else None
    if not isinstance(start, datetime):
        if end is None:
            end = start + timedelta(days=1)
        if isinstance(end, datetime):
            end = end.date()
        return start, max(start, end - timedelta(days=1))
    if end is None or end - start < DAY_LONG:
        return None
    first, last = _local(start, zone), _local(end, zone)
    if last.time() == time(0):
        last -= timedelta(days=1)
    return first.date(), max(first.date(), last.date())


def _local(moment: datetime, zone: ZoneInfo) -> datetime:
    return moment.astimezone(zone) if moment.tzinfo else moment
