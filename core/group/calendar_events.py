"""A group's calendar: its dates, the duty days with work to expect, and closures.

Every event keeps its id for as long as it means the same thing, so that a file read in again
moves what was there before. An event of a planned sowing keeps its id when it is sown.
"""

from __future__ import annotations

from collections.abc import Iterator, Set
from datetime import date, timedelta

from core.group.calendar_dates import CalendarEvent, dates, uid
from core.group.expected import expected
from core.group.garden import Garden

DUTY_DAYS = 56
"""How far ahead duty days are given: eight weeks; swaps make later ones guesses."""


def calendar_events(
    garden: Garden, today: date, *, sown: frozenset[str] = frozenset(), member: int | None = None
) -> tuple[CalendarEvent, ...]:
    """Return the dates from today on, by date; those of planned sowings also when overdue.

    Args:
        sown: ids of the plan's entries that were sown, finished ones too.
        member: only this member's duty days; None = everybody's.

    Checked by: tests/core/handlers/test_calendar.py.
    """
    dated = dates(garden, today, sown)
    busy = expected(garden, dated, today, DUTY_DAYS).keys()
    found = [*dated, *_duties(garden, today, member, busy), *_closures(garden, today)]
    return tuple(sorted(found, key=lambda event: (event.first, event.uid)))


def _closures(garden: Garden, today: date) -> Iterator[CalendarEvent]:
    """Yield the closures by date that are not over; weekdays closed every week are no event."""
    for closure in garden.closures:
        if closure.first is None:
            continue
        last = closure.last or closure.first
        if last >= today:
            yield CalendarEvent(
                uid=uid(garden, "closed", closure.id),
                kind="closed",
                first=closure.first,
                last=last,
                values={"label": closure.label},
            )


def _duties(
    garden: Garden, today: date, member: int | None, busy: Set[date]
) -> Iterator[CalendarEvent]:
    """Yield the duty days on which there is work to expect, those that do not take place too."""
    for ahead in range(DUTY_DAYS):
        day = today + timedelta(days=ahead)
        if day not in busy:
            continue
        on_duty = () if garden.closed(day) else garden.on_duty(day)
        rota = {duty.member for duty in garden.duties if _falls_on(duty.weekdays, duty.day, day)}
        if member is not None:
            on_duty = (member,) if member in on_duty else ()
            rota &= {member}
        if (not rota and not on_duty) or any(
            closure.weekday == day.weekday() for closure in garden.closures
        ):
            continue  # a day closed every week was never in anybody's calendar
        yield CalendarEvent(
            uid=uid(garden, "duty", *(() if member is None else (f"m{member}",)), day.isoformat()),
            kind="duty",
            first=day,
            last=day,
            cancelled=not on_duty,
            members=on_duty or tuple(sorted(rota)),
            values={"own": member is not None},
        )


def _falls_on(weekdays: tuple[int, ...], single: date | None, day: date) -> bool:
    return single == day or (single is None and day.weekday() in weekdays)
