"""What members asked to be reminded of, from its day on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from core.group.garden import Garden, ReminderOf

REMINDED_FOR = timedelta(days=7)
"""A reminder whose day fell into a closure is told after it, if that is no later; choice."""


def open_on(garden: Garden, today: date) -> Iterator[ReminderOf]:
    """Yield what is to be reminded of on a day and was not done."""
    for reminder in garden.reminders:
        if reminder.done_by is None and reminder.on <= today <= reminder.on + REMINDED_FOR:
            yield reminder
