"""What to say unasked, to whom and when: pure functions of a group's day.

A day has three looks, at wall times of the site: the round to the group, a little later the
nudge to whoever is on duty, and some hours after that the rise: what nobody has answered goes
to the group, once. A look that comes late says today's word late; yesterday's is never said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from core.due.items import NUDGED, Item, Work
from core.due.open_work import due_items
from core.group.garden import Garden, Site
from core.group.growing import follow
from core.requests import TempKind

NUDGE_AFTER = timedelta(minutes=15)  # after the round: no two messages within ten minutes
RISE_AFTER = timedelta(hours=5)  # after the nudge, quiet hours allowing
RISE_LEAST = timedelta(hours=1)  # so long at least people have to answer
ALARM_ENDS = time(8)  # the morning after a cold night
AWAY_AFTER = timedelta(hours=24)  # the bot was away so long that it must be said
FRIDAY = 4
GROUP = 0  # recipient: the whole group


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One message to make; (group, recipient, kind, subject, on) is its natural key.

    Attributes:
        recipient: member id, or GROUP.
        kind: `round`, `nudge`, `rise`, `alarm`, `gap`.
        on: local date it belongs to.
        at: when to send; None = now.
        values: further plain JSON values the wording needs.
    """

    group_id: int
    recipient: int
    kind: str
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
        looked_at: the look before this one; None = never.
        away: since when and until when the bot was away, as far as the group was not told.
    """

    garden: Garden
    now: datetime
    today: date
    said: tuple[Said, ...] = ()
    helped: tuple[int, ...] = ()
    looked_at: datetime | None = None
    away: tuple[datetime, datetime] | None = None


def wall(zone: str, day: date, at: time) -> datetime:
    """Return the UTC instant of a local wall time.

    A time that the spring clock change skips comes as much later; of one that comes twice in
    autumn, the first counts.
    """
    return datetime.combine(day, at, ZoneInfo(zone)).astimezone(UTC)


def is_quiet(site: Site, at: time) -> bool:
    """Whether a wall time lies in the site's quiet hours [from, to)."""
    return within(at, site.quiet_from, site.quiet_to)


def within(at: time, start: time, end: time) -> bool:
    """Whether a wall time lies in [start, end), which may pass midnight."""
    if start <= end:
        return start <= at < end
    return at >= start or at < end


def looks(site: Site, day: date) -> tuple[datetime, datetime, datetime]:
    """Return the instants of a day's round, nudge and rise.

    A round set into the quiet hours comes when they end; a rise that would fall into them comes
    an hour before they begin, and never before the nudge.
    """
    round_at = site.quiet_to if is_quiet(site, site.round_at) else site.round_at
    first = wall(site.zone, day, round_at)
    nudge = first + NUDGE_AFTER
    rise = nudge + RISE_AFTER
    local = rise.astimezone(ZoneInfo(site.zone))
    if local.date() != day or is_quiet(site, local.time()):
        rise = max(
            nudge + timedelta(hours=1),
            wall(site.zone, day, site.quiet_from) - timedelta(hours=1),
        )
    return first, nudge, rise


def next_look(site: Site, now: datetime) -> datetime:
    """Return the first look after an instant."""
    today = now.astimezone(ZoneInfo(site.zone)).date()
    for day in (today, today + timedelta(days=1), today + timedelta(days=2)):
        for at in looks(site, day):
            if at > now:
                return at
    raise AssertionError("every day has a look")


def of_no_use_from(site: Site, notice: Notice) -> datetime:
    """Return the instant from which a notice is not sent any more, whatever held it up.

    The day's word ends when the quiet hours of its day begin; a cold night's at the next
    morning's `ALARM_ENDS`.
    """
    zone = ZoneInfo(site.zone)
    if notice.kind == "alarm":
        ends = datetime.combine(notice.on + timedelta(days=1), ALARM_ENDS)
    elif site.quiet_from > site.round_at:
        ends = datetime.combine(notice.on, site.quiet_from)
    else:  # quiet hours that begin after midnight
        ends = datetime.combine(notice.on + timedelta(days=1), time(0))
    return ends.replace(tzinfo=zone).astimezone(UTC)


def due_now(day: Day) -> list[Notice]:
    """Return what this look must say; what was said already is left to the natural key."""
    site = day.garden.site
    first, nudge, rise = looks(site, day.today)
    alarms = _alarm(day)
    if day.now < first or is_quiet(site, day.now.astimezone(ZoneInfo(site.zone)).time()):
        return alarms
    if day.garden.closed(day.today):
        return alarms
    items = due_items(day.garden, day.today)
    spoken = tuple(item for item in items if _spoken(day, item))
    found = alarms + _round(day, spoken)
    if day.now >= nudge:
        found += _nudges(day, spoken)
    if day.now >= rise:
        found += _rise(day, spoken)
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
    if not cold:
        return []
    items = tuple(i for i in due_items(day.garden, day.today) if i.kind is Work.FROST)
    if not items:
        return []
    values = {"low_c": cold[-1].values["temp_c"]}
    return [Notice(**_key(day, GROUP, "alarm"), items=items, values=values)]


def _key(day: Day, recipient: int, kind: str) -> dict[str, Any]:
    return {
        "group_id": day.garden.site.group_id,
        "recipient": recipient,
        "kind": kind,
        "subject": "day",
        "on": day.today,
    }


def _spoken(day: Day, item: Item) -> bool:
    """Whether today's round speaks of a piece of work.

    What would have been said on a closed day, or while the bot was away, is said on the first
    day after it.
    """
    at = day.today
    while not item.shown_on(at):
        at -= timedelta(days=1)
        if at < item.since or not (day.garden.closed(at) or _slept(day, at)):
            return False
    return True


def _slept(day: Day, at: date) -> bool:
    """Whether nobody looked at a day at its round or later."""
    return day.looked_at is not None and day.looked_at < looks(day.garden.site, at)[0]


def _round(day: Day, shown: tuple[Item, ...]) -> list[Notice]:
    away = None
    if day.away is not None:
        away = {"from": day.away[0].isoformat(), "to": day.away[1].isoformat()}
    if not shown and away is None:
        return []
    on_duty = day.garden.on_duty(day.today)
    theirs = {m for item in shown if item.kind in NUDGED for m in _asked(day, item)}
    values: dict[str, Any] = {
        "duty": list(on_duty),
        "alert": [m for m in on_duty if m in theirs and not day.garden.members[m].private],
    }
    if away is not None:
        values["away"] = away
    if day.today.weekday() == FRIDAY:
        values["week"] = _week(day)
    return [Notice(**_key(day, GROUP, "round"), items=shown, values=values)]


def _week(day: Day) -> dict[str, Any]:
    """Return the week's result: what came up since last Friday, and who helped."""
    came = []
    for sowing in day.garden.sowings:
        growing = follow(sowing)
        since = [on for on, _ in growing.counts if (day.today - on).days < 7]
        if since and growing.up:
            came.append([sowing.code, sowing.crop, growing.up, sowing.seeds])
    return {"came": came, "helped": list(day.helped)}


def _asked(day: Day, item: Item) -> tuple[int, ...]:
    """Return whose turn a piece of work is."""
    found = day.garden.on_duty(day.today, item.tray)
    return tuple(member for member in found if member in day.garden.members)


def _nudges(day: Day, items: tuple[Item, ...]) -> list[Notice]:
    """In private, to whoever is on duty and has opened a private chat; others were named to the
    group by the round itself."""
    return [
        Notice(**_key(day, member, "nudge"), items=tuple(mine))
        for member, mine in _turns(day, items).items()
        if _nudge_at(day, member) <= day.now
    ]


def _turns(day: Day, items: tuple[Item, ...]) -> dict[int, list[Item]]:
    """Return whom to nudge, by member, and of what."""
    found: dict[int, list[Item]] = {}
    for item in items:
        if item.kind not in NUDGED:
            continue
        for member in _asked(day, item):
            if day.garden.members[member].private:
                found.setdefault(member, []).append(item)
    return found


def look_again(day: Day) -> datetime:
    """Return when to look next: at the site's hours, or when a nudge that waits may come."""
    site = day.garden.site
    usual = next_look(site, day.now)
    at = day.now.astimezone(ZoneInfo(site.zone)).time()
    if day.now < looks(site, day.today)[1] or is_quiet(site, at) or day.garden.closed(day.today):
        return usual
    told = {s.recipient for s in day.said if s.kind == "nudge" and s.on == day.today}
    spoken = tuple(i for i in due_items(day.garden, day.today) if _spoken(day, i))
    waits = [_nudge_at(day, m) for m in _turns(day, spoken) if m not in told]
    return min([usual, *(at for at in waits if at > day.now)])


def _nudge_at(day: Day, member: int) -> datetime:
    """Return when a member may be nudged: the usual while after the round, however late it came,
    and out of their own quiet hours."""
    site = day.garden.site
    round_said = [s.made_at for s in day.said if s.kind == "round" and s.on == day.today]
    at = max(day.now, (round_said[0] if round_said else day.now) + NUDGE_AFTER)
    quiet = day.garden.members[member].quiet
    local = at.astimezone(ZoneInfo(site.zone))
    if quiet is not None and within(local.time(), *quiet):
        over = wall(site.zone, local.date(), quiet[1])
        at = over if over > at else wall(site.zone, local.date() + timedelta(days=1), quiet[1])
    return at


def _rise(day: Day, items: tuple[Item, ...]) -> list[Notice]:
    """What the round asked for and nobody has done or said a word about: to the group, once."""
    told = [
        said
        for said in day.said
        if said.on == day.today
        and said.kind in ("round", "nudge")
        and day.now - said.made_at >= RISE_LEAST
    ]
    if not told:
        return []
    asked_for = {key for said in told for key in said.body.get("keys", ())}
    since = min(said.made_at for said in told)
    left = tuple(
        item
        for item in items
        if item.kind in NUDGED
        and item.key in asked_for
        and _asked(day, item)  # where nobody is down for it the round asked everybody
        and not item.values.get("held")
        and not _answered(day.garden, item, since)
    )
    if not left:
        return []
    asked = list(dict.fromkeys(member for item in left for member in _asked(day, item)))
    return [Notice(**_key(day, GROUP, "rise"), items=left, values={"asked": asked})]


def _answered(garden: Garden, item: Item, since: datetime) -> bool:
    """Whether somebody has looked at a tray since, however it was."""
    return item.kind is Work.WATER and any(
        report.kind in ("watered", "moist") and report.at >= since
        for report in garden.tray_reports.get(item.tray or "", ())
    )
