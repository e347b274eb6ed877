"""A group at one look, what was said before, and one message to make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from core.due.items import PERSONAL, Item, Work
from core.due.kinds import Channel, NoticeKind
from core.group.garden import Garden
from core.group.pauses import member_rests

GROUP = 0  # recipient: the whole group


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One message to make; (group, recipient, kind, subject, on) is its natural key.

    Attributes:
        recipient: member id, or GROUP.
        on: local date it belongs to.
        at: when to send; None = now.
        values: further plain JSON values the wording needs.
    """

    group_id: int
    recipient: int
    kind: NoticeKind
    subject: str
    on: date
    items: tuple[Item, ...] = ()
    at: datetime | None = None
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A notice made before, as stored."""

    id: int
    recipient: int
    kind: str
    subject: str
    on: date
    made_at: datetime
    body: Mapping[str, Any]
    answered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A group at one look.

    Attributes:
        now: aware UTC instant.
        today: the site's local date.
        said: notices of the last days.
        helped: members who reported work in the last seven days, the busiest first.
        heard: members who reported anything today.
        heard_at: when anybody last reported anything.
        looked_at: the look before this one; None = never.
        away: since when and until when the bot was away, as far as the group was not told.
    """

    garden: Garden
    now: datetime
    today: date
    said: tuple[Said, ...] = ()
    helped: tuple[int, ...] = ()
    heard: frozenset[int] = frozenset()
    heard_at: datetime | None = None
    looked_at: datetime | None = None
    away: tuple[datetime, datetime] | None = None


def key(day: Day, recipient: int, kind: NoticeKind) -> dict[str, Any]:
    return {
        "group_id": day.garden.site.group_id,
        "recipient": recipient,
        "kind": kind,
        "subject": "day",
        "on": day.today,
    }


def asked(day: Day, item: Item) -> tuple[int, ...]:
    """Return whose turn a piece of work is, of those who want to be reminded."""
    named = item.values.get("member") if item.kind is Work.ASKED else None
    found = (named,) if named is not None else day.garden.on_duty(day.today, item.tray)
    return tuple(
        member
        for member in found
        if member in day.garden.members and not member_rests(day.garden, member, day.today)
    )


def turns(day: Day, items: tuple[Item, ...]) -> dict[int, list[Item]]:
    """Return who hears of what in private: whoever is on duty and can be reached there.

    With the group's wish for private lists alone, what is nobody's turn goes to a coordinator.
    """
    found: dict[int, list[Item]] = {}
    channel = day.garden.site.channel
    if channel in (Channel.GROUP, Channel.WEEKLY):
        return found
    for item in items:
        turn = asked(day, item) if item.kind in PERSONAL or channel == Channel.PRIVATE else ()
        open_to = [member for member in turn if day.garden.members[member].private]
        if channel == Channel.PRIVATE and not open_to:
            open_to = coordinators(day)[:1]
        for member in open_to:
            found.setdefault(member, []).append(item)
    return found


def coordinators(day: Day) -> list[int]:
    """Return the coordinators who can be reached in private."""
    return [
        m.id
        for m in day.garden.members.values()
        if m.coordinator and m.private and not member_rests(day.garden, m.id, day.today)
    ]
