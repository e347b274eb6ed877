"""Reminders that rest: of the whole group, of some trays, to some members."""

from __future__ import annotations

from datetime import date

from core.group.garden import Garden

FOR_GOOD = date.max
"""A pause without a last day ends when somebody says so."""


def rests(until: date | None, day: date) -> bool:
    """Whether a pause that ends with the day `until` holds on a day."""
    return until is not None and day < until


def group_rests(garden: Garden, day: date) -> bool:
    """Whether the whole group wants no reminders on a day."""
    return rests(garden.site.paused_until, day)


def tray_rests(garden: Garden, tray: str | None, day: date) -> bool:
    """Whether nobody wants to be reminded of a tray on a day."""
    known = garden.trays.get(tray or "")
    return known is not None and rests(known.paused_until, day)


def member_rests(garden: Garden, member: int, day: date) -> bool:
    """Whether a member wants no reminders on a day."""
    known = garden.members.get(member)
    return known is not None and rests(known.paused_until, day)
