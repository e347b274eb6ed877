"""What to say unasked, to whom and when: pure functions of a group's day.

One thing is said in one place. Whoever is on duty and can be reached in private gets their own
list there; the group hears only what concerns the group, and nothing when there is nothing.
What nobody answers goes once more to the same person, then, if plants will be harmed before the
next look, to a coordinator in private, and to the group without names only when nobody else can
be reached. A look that comes late says today's word late; yesterday's is never said.
"""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from core.due.asked_for import asked_today
from core.due.day import GROUP, Day, Notice, asked, key, turns
from core.due.hours import ALARM_ENDS, NUDGE_AFTER, is_quiet, looks, next_look, wall, within
from core.due.items import COLD, PERSONAL, URGENT, Item, Work
from core.due.kinds import Channel, NoticeKind
from core.due.open_work import awake, due_items, told_items
from core.due.unanswered import again, harmed, held_back
from core.group.garden import Site
from core.group.growing import follow
from core.group.pauses import group_rests, member_rests
from core.requests import TempKind

AWAY_AFTER = timedelta(hours=24)  # the bot was away so long that it must be said
FRIDAY, MONDAY = 4, 0
ROUNDS_A_WEEK = 5
"""Rounds in seven days, but for what cannot wait; choice."""
SLOW_DAYS = 2
"""Days between two rounds of nothing but what can wait; choice."""


def of_no_use_from(site: Site, notice: Notice) -> datetime:
    """Return the instant from which a notice is not sent any more, whatever held it up.

    The day's word ends when the quiet hours of its day begin; a cold night's at the next
    morning's `ALARM_ENDS`.
    """
    zone = ZoneInfo(site.zone)
    if notice.kind in (NoticeKind.ALARM, NoticeKind.DUSK):
        ends = datetime.combine(notice.on + timedelta(days=1), ALARM_ENDS)
    elif site.quiet_from > site.round_at:
        ends = datetime.combine(notice.on, site.quiet_from)
    else:  # quiet hours that begin after midnight
        ends = datetime.combine(notice.on + timedelta(days=1), time(0))
    return ends.replace(tzinfo=zone).astimezone(UTC)


def due_now(day: Day) -> list[Notice]:
    """Return what this look must say; what was said already is left to the natural key."""
    site = day.garden.site
    at = looks(site, day.today)
    cold = _alarm(day) + (_dusk(day) if day.now >= at.dusk else [])
    if day.now < at.first or is_quiet(site, day.now.astimezone(ZoneInfo(site.zone)).time()):
        return cold
    if day.garden.closed(day.today) or _rests(day):
        return cold
    if site.channel == Channel.WEEKLY and day.today.weekday() != MONDAY:
        return cold
    spoken = _all_spoken(day)
    if spoken and (held := held_back(day)) is not None:
        return cold + held
    theirs = turns(day, spoken)
    private = {item.key for mine in theirs.values() for item in mine}
    shared = tuple(item for item in spoken if item.key not in private)
    daily = _round(day, shared, lists=bool(private))
    found = cold + daily
    if day.now >= at.nudge:
        found += [
            Notice(**key(day, member, NoticeKind.NUDGE), items=tuple(mine))
            for member, mine in theirs.items()
            if _nudge_at(day, member, bool(daily)) <= day.now
        ]
    if day.now >= at.again:
        found += again(day, spoken) + asked_today(day, spoken, found)
    if day.now >= at.late:
        found += harmed(day, spoken)
    return found


def _alarm(day: Day) -> list[Notice]:
    """A cold night told in private: the group must know, at once and even in quiet hours."""
    cold = [
        report
        for report in day.garden.site_reports
        if report.kind == "temp"
        and report.values.get("of") == TempKind.FORECAST
        and report.values.get("private")
        and report.on == day.today
    ]
    items = _outside(day) if cold else ()
    if not items:
        return []
    values = {"low_c": cold[-1].values["temp_c"]}
    return [Notice(**key(day, GROUP, NoticeKind.ALARM), items=items, values=values)]


def _dusk(day: Day) -> list[Notice]:
    """An hour before sunset: what stands outside and must not spend this night there."""
    items = _outside(day)
    answered = any(
        s.answered and s.on == day.today and s.kind == NoticeKind.ALARM for s in day.said
    )
    return (
        [Notice(**key(day, GROUP, NoticeKind.DUSK), items=items)] if items and not answered else []
    )


def _outside(day: Day) -> tuple[Item, ...]:
    return tuple(i for i in due_items(day.garden, day.today) if i.kind in COLD)


def _rests(day: Day) -> bool:
    """Whether the group wants to hear of nothing but a cold night."""
    return day.garden.site.channel == Channel.PAUSED or group_rests(day.garden, day.today)


def _all_spoken(day: Day) -> tuple[Item, ...]:
    """Return the work of which somebody hears today."""
    items = (awake(day.garden, day.today, item) for item in told_items(day.garden, day.today))
    return tuple(item for item in items if item is not None and _spoken(day, item))


def _spoken(day: Day, item: Item) -> bool:
    """Whether a piece of work is said today: open, and not said within its rhythm.

    What would have been said on a closed day, or while the bot was away, is said on the first
    day after it.
    """
    if item.since > day.today:
        return False
    said = [
        s.on
        for s in day.said
        if s.kind in (NoticeKind.ROUND, NoticeKind.NUDGE, NoticeKind.REMINDER)
        and item.since <= s.on < day.today
        and item.key in s.body.get("keys", ())
    ]
    return not said or (day.today - max(said)).days >= item.repeat_days


def _round(day: Day, shown: tuple[Item, ...], *, lists: bool) -> list[Notice]:
    """The group's list: only what concerns the group, and seldom what can wait.

    `lists`: somebody has a list of their own today.
    """
    away = None
    if day.away is not None:
        away = {"from": day.away[0].isoformat(), "to": day.away[1].isoformat()}
    week = _week(day) if day.today.weekday() == FRIDAY else None
    if away is None and _can_wait(day, shown) and not (week and week["came"]):
        return []
    if away is None and _had_its_hour(day) and not any(item.kind in URGENT for item in shown):
        return []  # what came up since is told with the next message
    on_duty = [
        m for m in day.garden.on_duty(day.today) if not member_rests(day.garden, m, day.today)
    ]
    theirs = {m for item in shown if item.kind in PERSONAL for m in asked(day, item)}
    values: dict[str, Any] = {
        "duty": [m for m in on_duty if m in theirs],
        "alert": [m for m in on_duty if m in theirs and not day.garden.members[m].private],
    }
    if away is not None:
        values["away"] = {**away, "due": bool(shown) or lists}
    if week is not None:
        values["week"] = week
    return [Notice(**key(day, GROUP, NoticeKind.ROUND), items=shown, values=values)]


def _had_its_hour(day: Day) -> bool:
    """Whether the group was looked at since the hour of its daily message."""
    first = looks(day.garden.site, day.today).first
    return day.looked_at is not None and day.looked_at >= first


def _can_wait(day: Day, shown: tuple[Item, ...]) -> bool:
    """Whether the group need not hear of this today."""
    if all(item.kind is Work.WELL for item in shown):
        return True
    if any(item.kind in URGENT for item in shown):
        return False
    rounds = [s.on for s in day.said if s.kind == NoticeKind.ROUND and s.on < day.today]
    recent = [on for on in rounds if (day.today - on).days < 7]
    return len(recent) >= ROUNDS_A_WEEK or any((day.today - on).days < SLOW_DAYS for on in rounds)


def _week(day: Day) -> dict[str, Any]:
    """Return the week's result: what came up since last Friday, and who helped."""
    came = []
    for sowing in day.garden.sowings:
        growing = follow(sowing)
        since = [on for on, _ in growing.counts if (day.today - on).days < 7]
        if since and growing.up:
            came.append([sowing.code, sowing.crop, growing.up, sowing.seeds])
    return {"came": came, "helped": list(day.helped)}


def look_again(day: Day) -> datetime:
    """Return when to look next: at the site's hours, or when a list that waits may come."""
    site = day.garden.site
    usual = next_look(site, day.now)
    at = day.now.astimezone(ZoneInfo(site.zone)).time()
    if day.now < looks(site, day.today).nudge or is_quiet(site, at):
        return usual
    if day.garden.closed(day.today) or _rests(day) or site.channel == Channel.GROUP:
        return usual
    told = {s.recipient for s in day.said if s.kind == NoticeKind.NUDGE and s.on == day.today}
    spoken = _all_spoken(day)
    if spoken and held_back(day) is not None:
        return usual
    theirs = turns(day, spoken)
    private = {item.key for mine in theirs.values() for item in mine}
    shared = tuple(item for item in spoken if item.key not in private)
    daily = bool(_round(day, shared, lists=bool(private)))
    waits = [_nudge_at(day, m, daily) for m in theirs if m not in told]
    return min([usual, *(at for at in waits if at > day.now)])


def _nudge_at(day: Day, member: int, daily: bool) -> datetime:
    """Return when a member may get their list: at their own hour, else the usual while after the
    round, however late it came; out of their own quiet hours. `daily`: the day has a round."""
    site = day.garden.site
    who = day.garden.members[member]
    round_said = [s.made_at for s in day.said if s.kind == NoticeKind.ROUND and s.on == day.today]
    at = looks(site, day.today).nudge
    if round_said:
        at = max(at, round_said[0] + NUDGE_AFTER)
    elif daily:  # said at this very look, which may come late
        at = max(at, day.now + NUDGE_AFTER)
    if who.hour is not None:
        at = max(at, wall(site.zone, day.today, who.hour))
    local = at.astimezone(ZoneInfo(site.zone))
    if who.quiet is not None and within(local.time(), *who.quiet):
        over = wall(site.zone, local.date(), who.quiet[1])
        at = over if over > at else wall(site.zone, local.date() + timedelta(days=1), who.quiet[1])
    return at
