"""The wall times of a day at which a group is looked at."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from core.group.garden import Site
from core.trade.light.daylight import sunset_at

NUDGE_AFTER = timedelta(minutes=15)  # after the round, no two messages in ten; own choice
AGAIN_AFTER = timedelta(hours=5)  # after the nudge, quiet hours allowing; own choice
LATE_BEFORE = timedelta(hours=1)  # before quiet hours: the day's last look; own choice
DUSK_BEFORE = timedelta(hours=1)  # before sunset; own choice
DUSK = time(17)  # where the place of a site is not known
ALARM_ENDS = time(8)  # the morning after a cold night; own choice


class Looks(NamedTuple):
    """Instants (UTC) at which a day is looked at, in no fixed order."""

    first: datetime
    nudge: datetime
    again: datetime
    late: datetime
    dusk: datetime


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


def looks(site: Site, day: date) -> Looks:
    """Return the instants of a day's looks.

    A round set into the quiet hours comes when they end. The second word comes five hours after
    the first, the last look an hour before the quiet hours; neither before the one ahead of it.
    """
    round_at = site.quiet_to if is_quiet(site, site.round_at) else site.round_at
    first = wall(site.zone, day, round_at)
    nudge = first + NUDGE_AFTER
    last = wall(site.zone, day, site.quiet_from) - LATE_BEFORE
    again = nudge + AGAIN_AFTER
    local = again.astimezone(ZoneInfo(site.zone))
    if local.date() != day or is_quiet(site, local.time()):
        again = max(nudge + timedelta(hours=1), last)
    late = last if last > again else again + timedelta(hours=1)
    return Looks(first=first, nudge=nudge, again=again, late=late, dusk=dusk(site, day))


def dusk(site: Site, day: date) -> datetime:
    """Return when plants that must not freeze should be carried in: an hour before sunset."""
    if site.latitude is not None and site.longitude is not None:
        at = sunset_at(site.latitude, site.longitude, day, site.zone)
        if at is not None:
            return at - DUSK_BEFORE
    return wall(site.zone, day, DUSK)


def next_look(site: Site, now: datetime) -> datetime:
    """Return the first look after an instant."""
    today = now.astimezone(ZoneInfo(site.zone)).date()
    for day in (today, today + timedelta(days=1), today + timedelta(days=2)):
        for at in sorted(looks(site, day)):
            if at > now:
                return at
    raise AssertionError("every day has a look")
