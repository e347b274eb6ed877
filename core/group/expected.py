"""The work to expect on days to come: what the plan and what grows ask for, day by day.

Never stored; what is due today is `core/due`, which knows more of the day itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from core.group import outlook
from core.group.calendar_dates import CalendarEvent
from core.group.garden import Garden
from core.group.growing import Stage, follow

PLANNED_LOOK = timedelta(days=2)
"""How often trays not sown yet will want a look: water every two to three days, common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One piece of work on one day.

    Attributes:
        kind: `sow`, `pot_up`, `harden`, `plant_out`, `count` (it should be showing), `feel` (the
            mix of `trays`).
        first_day: whether hardening off begins that day.
    """

    kind: str
    crop: str | None = None
    variety: str | None = None
    sowing: str | None = None
    trays: tuple[str, ...] = ()
    plants: int | None = None
    cells: int | None = None
    first_day: bool = False


@dataclass(slots=True)
class _Days:
    first: date
    last: date
    jobs: dict[date, list[Job]] = field(default_factory=dict)

    def add(self, day: date, job: Job) -> None:
        if self.first <= day <= self.last:
            self.jobs.setdefault(day, []).append(job)


def expected(
    garden: Garden, events: Iterable[CalendarEvent], first: date, days: int
) -> dict[date, tuple[Job, ...]]:
    """Return date → work, for the dates with any; late sowings stand on the first day.

    Args:
        events: the dates of the plan and of what grows (`calendar_dates`), duties left out.

    Checked by: tests/core/group/test_expected.py.
    """
    found = _Days(first, first + timedelta(days=days - 1))
    planned = []
    for event in events:
        _dated(found, event)
        if event.kind == "sow":
            planned.append(max(first, event.first))
    _counts(found, garden)
    _feels(found, garden)
    if planned:
        day = min(planned) + PLANNED_LOOK
        while day <= found.last:
            if not any(job.kind == "feel" for job in found.jobs.get(day, ())):
                found.add(day, Job(kind="feel"))
            day += PLANNED_LOOK
    return {day: tuple(found.jobs[day]) for day in sorted(found.jobs)}


def _dated(found: _Days, event: CalendarEvent) -> None:
    if event.kind not in ("sow", "pot_up", "harden", "plant_out"):
        return
    trays = (event.tray,) if event.tray else ()
    plants, cells = event.values.get("plants"), event.values.get("cells")
    day = max(event.first, found.first) if event.kind in ("sow", "harden") else event.first
    while day <= event.last or day == max(event.first, found.first):
        found.add(
            day,
            Job(
                kind=event.kind,
                crop=event.crop,
                variety=event.variety,
                sowing=event.sowing,
                trays=trays,
                plants=plants,
                cells=cells,
                first_day=day == event.first,
            ),
        )
        if event.kind != "harden" or day >= event.last:
            return
        day += timedelta(days=1)


def _counts(found: _Days, garden: Garden) -> None:
    """Ask for a count when a sowing should begin to show, and when it should be over."""
    for sowing in garden.sowings:
        growing = follow(sowing)
        if growing.stage not in (Stage.SOWN, Stage.UP) or growing.thinned_on is not None:
            continue
        window = outlook.emergence(garden, sowing, found.first)
        days = {window.p90_on} if growing.up else {window.p10_on, window.p90_on}
        for day in sorted(day for day in days if day is not None):
            found.add(
                day,
                Job(
                    kind="count",
                    crop=sowing.crop,
                    variety=sowing.variety,
                    sowing=sowing.code,
                    trays=(growing.tray,) if growing.tray else (),
                ),
            )


def _feels(found: _Days, garden: Garden) -> None:
    """Ask for a look at the mix of each tray as often as it lasts."""
    wanted: dict[date, list[str]] = {}
    for code in garden.trays:
        for day in _looks(garden, code, found.first, found.last):
            wanted.setdefault(day, []).append(code)
    for day, codes in wanted.items():
        found.add(day, Job(kind="feel", trays=tuple(codes)))


def _looks(garden: Garden, tray: str, first: date, last: date) -> Iterator[date]:
    lasts = outlook.tray_interval(garden, tray, first)
    if lasts is None:
        return
    day = max(first, outlook.tray_check_on(garden, tray, first) or first)
    while day <= last:
        yield day
        day += timedelta(days=lasts.check_days)
