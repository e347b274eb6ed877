"""What somebody asked to be reminded of, on its day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from core.due.day import GROUP, Day, Notice, key, turns
from core.due.items import Item, Work
from core.due.kinds import NoticeKind
from core.group.garden import Garden
from core.group.reminders import open_on


def asked_for(garden: Garden, today: date) -> Iterator[Item]:
    """Reminders of this day, and those whose day was closed."""
    for reminder in open_on(garden, today):
        yield Item(
            kind=Work.ASKED,
            since=reminder.on,
            values={
                "id": str(reminder.id),
                "text": reminder.text,
                "member": reminder.member,
                "asked_by": reminder.asked_by,
            },
        )


def asked_today(day: Day, items: tuple[Item, ...], now_said: list[Notice]) -> list[Notice]:
    """What was asked for today after the day's list: each once, to whom it is for.

    `now_said` are the lists of this very look.
    """
    today = [one for one in day.said if one.on == day.today]
    said = {key for one in today for key in one.body.get("keys", ())}
    lists = {(one.kind, one.recipient) for one in today}
    said |= {
        item.key
        for notice in now_said
        if (notice.kind, notice.recipient) not in lists  # else it was said, as it was then
        for item in notice.items
    }
    found = []
    for item in items:
        if item.kind is not Work.ASKED or item.since != day.today or item.key in said:
            continue
        for member in turns(day, (item,)) or (GROUP,):
            named = key(day, member, NoticeKind.REMINDER) | {"subject": item.key}
            found.append(Notice(**named, items=(item,)))
    return found
