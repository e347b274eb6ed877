"""What nobody answers: once more to the same person, then to somebody else, then less often."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from core.due.day import GROUP, Day, Notice, Said, asked, coordinators, key
from core.due.items import Item, Work
from core.due.kinds import NoticeKind
from core.group import outlook
from core.group.garden import Garden

AGAIN_LEAST = timedelta(hours=1)  # so long at least people have to answer; own choice


SILENT_DAYS = 3
"""Days on which something was asked and nobody reported anything, before somebody is asked how to
go on; choice."""


BACK_OFF_DAYS = (7, 14)
"""After that question: the days until the next word, then between all later ones; choice."""


def _told(day: Day) -> dict[int, Said]:
    """Return who got their list today at least an hour ago."""
    return {
        s.recipient: s
        for s in day.said
        if s.kind == NoticeKind.NUDGE and s.on == day.today and day.now - s.made_at >= AGAIN_LEAST
    }


def again(day: Day, items: tuple[Item, ...]) -> list[Notice]:
    """Once more to whoever got a list, reported nothing today, and has work that cannot wait.

    On the first of several silent days only.
    """
    if _silent(day) > 1:
        return []
    found = []
    for member, said in _told(day).items():
        if member in day.heard or said.answered or member not in day.garden.members:
            continue
        left = _left(day, items, said)
        if left:
            values = {"waits": {i.tray: waits_until(day, i).isoformat() for i in left if i.tray}}
            found.append(Notice(**key(day, member, NoticeKind.AGAIN), items=left, values=values))
    return found


def _left(day: Day, items: tuple[Item, ...], said: Said) -> tuple[Item, ...]:
    """Return what a list asked for that is still open and cannot wait."""
    return tuple(
        item
        for item in items
        if item.kind in (Work.WATER, Work.OUT, Work.HARDEN)
        and item.key in said.body.get("keys", ())
        and not item.values.get("held")
        and not _answered(day.garden, item, said.made_at)
    )


def waits_until(day: Day, item: Item) -> date:
    """Return the day until which a tray usually lasts since it was last watered."""
    lasts = outlook.tray_interval(day.garden, item.tray or "", day.today)
    watered = outlook.waterings(day.garden, item.tray or "")
    if lasts is None or not watered:
        return day.today
    dry = watered[-1] + timedelta(days=lasts.usual)
    return max(day.today, dry.astimezone(ZoneInfo(day.garden.site.zone)).date())


def harmed(day: Day, items: tuple[Item, ...]) -> list[Notice]:
    """What will be harmed before the next look: to a coordinator, else to the group, once.

    Whoever reported anything today was heard: nothing rises past them, and the group is told only
    on a day on which nobody was.
    """
    since = day.heard_at
    risen = (NoticeKind.STAND_IN, NoticeKind.RISE, NoticeKind.QUIET)
    if any(s.kind in risen and (since is None or s.made_at > since) for s in day.said):
        return []
    asked_for = {
        key
        for s in day.said
        if s.on == day.today and s.kind in (NoticeKind.ROUND, NoticeKind.NUDGE)
        for key in s.body.get("keys", ())
    }
    told = min((s.made_at for s in day.said if s.on == day.today), default=day.now)
    left = tuple(
        item
        for item in items
        if item.kind is Work.WATER
        and item.key in asked_for
        and waits_until(day, item) <= day.today
        and not _answered(day.garden, item, told)
    )
    if not left:
        return []
    turns = {member for item in left for member in asked(day, item)}
    if turns & day.heard:
        return []
    if not turns and not any(s.kind == NoticeKind.NUDGE and s.on == day.today for s in day.said):
        return []  # the round asked everybody this morning: said again it would only nag
    others = [member for member in coordinators(day) if member not in turns]
    if others:
        return [Notice(**key(day, others[0], NoticeKind.STAND_IN), items=left)]
    return [] if day.heard else [Notice(**key(day, GROUP, NoticeKind.RISE), items=left)]


def _answered(garden: Garden, item: Item, since: datetime) -> bool:
    """Whether somebody was at a tray since: whoever reports on it or its plants has seen it."""
    if item.kind is not Work.WATER or item.tray is None:
        return False
    seen = list(garden.tray_reports.get(item.tray, ()))
    for sowing, _ in outlook.in_tray(garden, item.tray):
        seen += sowing.happenings
    return any(report.at >= since for report in seen)


def _asking(day: Day) -> list[date]:
    """Return the days on which something was asked since anybody last reported, in order."""
    return sorted(
        {
            s.on
            for s in day.said
            if s.kind in (NoticeKind.ROUND, NoticeKind.NUDGE)
            and (day.heard_at is None or s.made_at > day.heard_at)
        }
    )


def _silent(day: Day) -> int:
    """Return on how many days, today among them, something was asked and nobody reported."""
    return len(_asking(day))


def held_back(day: Day) -> list[Notice] | None:
    """Return what is said instead of the day's lists when nobody has answered for days.

    None = say them. After some silent days one question to a coordinator how to go on; then one
    word after a week, and later ones a fortnight apart.
    """
    before = [on for on in _asking(day) if on < day.today]
    if len(before) < SILENT_DAYS:
        return None
    asked = [
        s.on
        for s in day.said
        if s.kind == NoticeKind.QUIET and (day.heard_at is None or s.made_at > day.heard_at)
    ]
    if not asked:
        recipient = next(iter(coordinators(day)), GROUP)
        values = {"since": before[0].isoformat()}
        return [Notice(**key(day, recipient, NoticeKind.QUIET), values=values)]
    later = [on for on in before if on > asked[0]]
    wait = BACK_OFF_DAYS[0] if not later else BACK_OFF_DAYS[1]
    return None if (day.today - max([asked[0], *later])).days >= wait else []
