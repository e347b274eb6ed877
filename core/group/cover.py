"""Days that nobody covers, and who could: pure functions of a garden.

A tray that lives and was watered needs a visit before it may dry out; visits are the days on
which somebody is on duty for it. A group without any rota is taken to come every open day.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.group import outlook
from core.group.garden import DutyOf, Garden
from core.scene import local_date
from core.trade.water.gaps import TraySpan, WaterGap, water_gaps

AHEAD_DAYS = 14
LOAD_DAYS = 28
"""The load of a member is counted over so many days either side of today."""

MOST_OFFERS = 6  # days offered at once; own choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Days on which nobody comes though trays may dry out.

    Attributes:
        first, last: first and last day without anybody, local dates, both included.
        dry_on: date from which the first tray may need water.
        trays: codes, the thirstiest first.
        likely: by the usual interval too, not only by the careful one.
    """

    first: date
    last: date
    dry_on: date
    trays: tuple[str, ...]
    likely: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverOffer:
    """A day that a member could take; chosen so that the load is shared fairly.

    Attributes:
        load: duty days of that member in the four weeks either side of today; count.
    """

    member: int
    name: str
    day: date
    load: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What the coming days lack, and who could fill it.

    Attributes:
        closed: gaps whose every day is closed, so that nobody can fill them.
    """

    gaps: tuple[Gap, ...] = ()
    offers: tuple[CoverOffer, ...] = ()
    closed: bool = False


def cover(garden: Garden, today: date) -> Cover:
    """Return the gaps of the coming fortnight and who could fill them."""
    gaps = gaps_ahead(garden, today)
    if not gaps:
        return Cover()
    offers = cover_offers(garden, today)
    closed = all(_open_days(garden, gap) == [] for gap in gaps)
    return Cover(gaps=gaps, offers=offers, closed=closed)


def spans(garden: Garden, today: date) -> list[TraySpan]:
    """Return how long each living tray lasts, and when it was watered."""
    found: list[TraySpan] = []
    for code in garden.trays:
        lasts = outlook.tray_interval(garden, code, today)
        watered = outlook.waterings(garden, code)
        if lasts is None or not watered:
            continue
        found.append(
            TraySpan(
                tray=code,
                watered_on=local_date(watered[-1], garden.site.zone),
                low_days=lasts.low,
                usual_days=lasts.usual,
            )
        )
    return found


def gaps_ahead(garden: Garden, today: date, days: int = AHEAD_DAYS) -> tuple[Gap, ...]:
    """Return the stretches of the coming days that some tray may not last, by their days."""
    until = today + timedelta(days=days)
    every = [today + timedelta(days=n) for n in range(days + 1)]
    closures = {day for day in every if garden.closed(day)}
    found: dict[tuple[date, date], list[WaterGap]] = {}
    for span in spans(garden, today):
        visits = {day for day in every if not garden.duties or garden.on_duty(day, span.tray)}
        for gap in water_gaps([span], visits=visits, closures=closures, today=today, until=until):
            first = max(today, gap.visited_on + timedelta(days=1))
            last = (gap.next_visit_on or until + timedelta(days=1)) - timedelta(days=1)
            if gap.dry_on <= last and first <= last:
                found.setdefault((first, last), []).append(gap)
    return tuple(
        Gap(
            first=first,
            last=last,
            dry_on=max(first, min(gap.dry_on for gap in gaps)),
            trays=tuple(gap.tray for gap in sorted(gaps, key=_thirst)),
            likely=any(gap.likely for gap in gaps),
        )
        for (first, last), gaps in sorted(found.items())
    )


def _thirst(gap: WaterGap) -> tuple[date, int, str]:
    return gap.dry_on, len(gap.tray), gap.tray


def _open_days(garden: Garden, gap: Gap) -> list[date]:
    days = (gap.last - gap.first).days + 1
    every = [gap.first + timedelta(days=n) for n in range(days)]
    return [day for day in every if not garden.closed(day)]


def cover_offers(garden: Garden, today: date) -> tuple[CoverOffer, ...]:
    """Return days and members that would close the gaps, the least loaded first.

    In each gap the visit falls as late as the first tray allows, else on the first open day.
    Of those who are not away that day, the one with the fewest duty days comes first, then the
    one who joined first.
    """
    offers: list[CoverOffer] = []
    trial = garden
    while len(offers) < MOST_OFFERS:
        chosen = _next_offer(trial, today, {offer.day for offer in offers})
        if chosen is None:
            break
        offers.append(chosen)
        extra = DutyOf(id=-len(offers), member=chosen.member, day=chosen.day)
        trial = replace(trial, duties=(*trial.duties, extra))
    return tuple(offers)


def _next_offer(garden: Garden, today: date, done: set[date]) -> CoverOffer | None:
    for gap in gaps_ahead(garden, today):
        days = [day for day in _open_days(garden, gap) if day not in done]
        in_time = [day for day in days if day <= gap.dry_on]
        ordered = [*reversed(in_time), *(day for day in days if day > gap.dry_on)]
        for day in ordered:
            free = [
                (load(garden, member.id, today), member.id)
                for member in garden.members.values()
                if not garden.away(member.id, day)
            ]
            if free:
                count, member_id = min(free)
                return CoverOffer(
                    member=member_id,
                    name=garden.members[member_id].name,
                    day=day,
                    load=count,
                )
    return None


def load(garden: Garden, member: int, today: date) -> int:
    """Return a member's duty days in the four weeks either side of today; count."""
    return sum(
        1
        for n in range(-LOAD_DAYS, LOAD_DAYS + 1)
        if member in garden.on_duty(today + timedelta(days=n))
        and not garden.closed(today + timedelta(days=n))
    )


def duty_days(garden: Garden, member: int, first: date, last: date) -> tuple[date, ...]:
    """Return the days from first to last on which a member is on duty and the place is open."""
    days = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return tuple(day for day in days if not garden.closed(day) and member in garden.on_duty(day))
