"""The coming weeks played on a copy of the records: who would hear what, on which day.

What is said comes from the same functions as on the real clock (`core/due/notices.py`); only the
answers are made up: a member answers always, every other time, or never.
Checked by: tests/core/due/test_rehearsal.py, against the same weeks really played.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

from core.due.day import GROUP, Day, Notice, Said
from core.due.hours import looks, next_look
from core.due.items import PERSONAL, Item
from core.due.kinds import NoticeKind
from core.due.made_up import PRESSED, answered
from core.due.notices import due_now, look_again
from core.due.open_work import due_items
from core.group.garden import Garden
from core.scene import local_date

ANSWER_AFTER = timedelta(minutes=20)
"""So long a member takes to answer; choice."""

KEPT_DAYS = timedelta(days=90)
"""As far back as the records of a look reach; core/records/snapshot.py."""


class Habit(StrEnum):
    """How a member answers what they are asked."""

    ALWAYS = "always"
    SOMETIMES = "sometimes"  # every other time, the first time too
    NEVER = "never"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One message of the coming weeks: `recipient` a member id, or GROUP."""

    at: datetime
    on: date
    recipient: int
    kind: NoticeKind
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsed:
    """What came of it.

    Attributes:
        heard: every message, in order.
        open_days: days on which work waits for somebody and nobody is on duty.
    """

    heard: tuple[Heard, ...]
    open_days: tuple[date, ...]


@dataclass(slots=True, kw_only=True)
class _Play:
    garden: Garden
    said: list[Said]
    heard_by: dict[date, set[int]]
    heard_at: datetime | None
    looked_at: datetime | None
    habits: Mapping[int, Habit]
    asked: dict[int, int] = field(default_factory=dict)  # member → how often so far
    coming: list[tuple[datetime, int, Said, tuple[Item, ...]]] = field(default_factory=list)
    heard: list[Heard] = field(default_factory=list)
    open_days: list[date] = field(default_factory=list)


def rehearse(
    day: Day, last: date, habits: Mapping[int, Habit], *, first: datetime | None = None
) -> Rehearsed:
    """Play from a group's day to the end of a date.

    Args:
        day: the group as it stands, at the instant from which it is played.
        habits: member id → how they answer; those not named always do.
        first: when the group is looked at next; None = at its next usual hour.
    """
    zone = day.garden.site.zone
    play = _Play(
        garden=day.garden,
        said=list(day.said),
        heard_by={day.today: set(day.heard)},
        heard_at=day.heard_at,
        looked_at=day.looked_at,
        habits=habits,
    )
    at = max(first or next_look(day.garden.site, day.now), day.now)
    while local_date(at, zone) <= last:
        for answer in sorted((a for a in play.coming if a[0] <= at), key=lambda a: a[0]):
            _answer(play, answer)
        play.coming = [a for a in play.coming if a[0] > at]
        at = _look(play, at, local_date(at, zone))
    return Rehearsed(heard=tuple(play.heard), open_days=tuple(play.open_days))


def _look(play: _Play, now: datetime, today: date) -> datetime:
    """Say what is due; return when to look again."""
    play.garden = _recent(play.garden, today)
    day = Day(
        garden=play.garden,
        now=now,
        today=today,
        said=tuple(play.said),
        heard=frozenset(play.heard_by.get(today, ())),
        heard_at=play.heard_at,
        looked_at=play.looked_at,
    )
    before = {(s.recipient, s.kind, s.subject, s.on) for s in play.said}
    for notice in due_now(day):
        key = (notice.recipient, notice.kind.value, notice.subject, notice.on)
        if key not in before:
            _say(play, notice, now)
    if now == looks(play.garden.site, today).first and _uncovered(day):
        play.open_days.append(today)
    play.looked_at = now
    return look_again(day)


def _uncovered(day: Day) -> bool:
    if day.garden.closed(day.today):
        return False
    return any(
        item.kind in PERSONAL and not day.garden.on_duty(day.today, item.tray)
        for item in due_items(day.garden, day.today)
    )


def _recent(garden: Garden, today: date) -> Garden:
    """Return the garden with the reports that a look of a later day would read."""
    since = today - KEPT_DAYS
    if all(r.on >= since for reports in garden.tray_reports.values() for r in reports[:1]):
        return garden
    kept = {
        code: tuple(r for r in reports if r.on >= since)
        for code, reports in garden.tray_reports.items()
    }
    return garden.with_reports(of_trays=kept)


def _say(play: _Play, notice: Notice, now: datetime) -> None:
    keys = [item.key for item in notice.items]
    said = Said(
        id=-1 - len(play.said),
        recipient=notice.recipient,
        kind=notice.kind.value,
        subject=notice.subject,
        on=notice.on,
        made_at=now,
        body={"keys": keys},
        answered=False,
    )
    play.said.append(said)
    play.heard.append(
        Heard(
            at=notice.at or now,
            on=notice.on,
            recipient=notice.recipient,
            kind=notice.kind,
            keys=tuple(keys),
        )
    )
    who = _who_answers(play, notice)
    if who is not None:
        play.coming.append((now + ANSWER_AFTER, who, said, notice.items))


def _who_answers(play: _Play, notice: Notice) -> int | None:
    """Return who does what a message asks for, if anybody does."""
    if notice.kind is NoticeKind.QUIET:
        return None
    if notice.recipient != GROUP:
        return notice.recipient if _answers(play, notice.recipient) else None
    on_duty = play.garden.on_duty(notice.on)
    for member in on_duty or tuple(play.garden.members):
        if _answers(play, member):
            return member
    return None


def _answers(play: _Play, member: int) -> bool:
    habit = play.habits.get(member, Habit.ALWAYS)
    play.asked[member] = play.asked.get(member, 0) + 1
    return habit is Habit.ALWAYS or (habit is Habit.SOMETIMES and play.asked[member] % 2 == 1)


def _answer(play: _Play, answer: tuple[datetime, int, Said, tuple[Item, ...]]) -> None:
    at, member, said, items = answer
    on = local_date(at, play.garden.site.zone)
    after = answered(play.garden, items, member, at, on, since=said.made_at)
    pressed = any(item.kind in PRESSED for item in items)
    if pressed:
        play.said[play.said.index(said)] = replace(said, answered=True)
    if after is not play.garden:
        play.heard_by.setdefault(on, set()).add(member)
    if pressed or after is not play.garden:
        play.heard_at = at
    play.garden = after
