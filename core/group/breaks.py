"""Days nobody can get in: which trays last, what to do before, what to look at after.

A closure of `LONG_DAYS` days or more counts as a break. Its advice rests on what growers in the
same place wrote: BENHEM (school holidays: under-water to half an inch, a written list), URBG
(about 2 cm of water under the trays for a weekend), GW-VAC (five days: lamp on its timer, mat
off, capillary supply, no dark bag); that cooler air slows drying is from memory.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.group import outlook
from core.group.garden import Garden
from core.group.growing import Stage
from core.trade.crops.table import crop_by_id, is_fine
from core.trade.water.gaps import CAPILLARY_DAYS

LONG_DAYS = 3
"""Closed days in a row from which a break is prepared for; common practice (BAG-DRY)."""

WARN_DAYS = 3
"""Days before a break at which the group is told; common practice."""

LOOK_AHEAD = timedelta(days=180)  # own choice
LOOK_BACK = timedelta(days=21)
"""How long after a break its check list is still of use; from memory."""

LONGEST = timedelta(days=120)

RESERVOIR_MM = (10.0, 20.0)
"""Water under the trays for a short break, mm (BENHEM half an inch, URBG about 2 cm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Closed days in a row, both included."""

    first: date
    last: date
    label: str | None = None

    @property
    def days(self) -> int:
        """Number of closed days, >= 1."""
        return (self.last - self.first).days + 1


class Lasts(StrEnum):
    """Whether a tray watered just before lasts until somebody comes."""

    YES = "yes"  # even by the careful interval
    PERHAPS = "perhaps"  # by the usual interval, not by the careful one
    NO = "no"


class Measure(StrEnum):
    """What to do to a tray before a break."""

    RESERVOIR = "reservoir"  # 1-2 cm of water under it (URBG, BENHEM)
    CAPILLARY = "capillary"  # on a capillary mat that dips into water (GW-VAC)
    MAT_OFF = "mat_off"  # heat mat off, its seedlings are up (GW-VAC)
    COVER_OFF = "cover_off"  # no cover over seedlings: it breeds mould (DG-VAC)
    TAKE_HOME = "take_home"  # comes up in the closed building: let somebody take it
    BRING_IN = "bring_in"  # hardening off: stands outside by day only


class Check(StrEnum):
    """What to look at in a tray after a break."""

    POUR_OFF = "pour_off"  # standing water drowns roots
    FEEL = "feel"  # the mix; water in small steps, dry mix sheds water
    COUNT = "count"  # what came up
    STRETCHED = "stretched"  # long and pale: closer lamp
    MOULD = "mould"  # fallen or furry seedlings
    HARDEN_AGAIN = "harden_again"  # start again with few hours


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayBreak:
    """One tray before a break.

    Attributes:
        low_days, usual_days: how long it lasts, careful and usual, days.
        gap_days: from the last watering to the next visit, days.
        reports: looks at its mix that the interval rests on; 0 = a rule of thumb.
    """

    tray: str
    shelf: str | None
    crops: tuple[str, ...]
    low_days: float
    usual_days: float
    gap_days: int
    reports: int
    lasts: Lasts
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Emerging:
    """A sowing that would come up while nobody is there.

    Attributes:
        sowing: code, when it is sown; else None and `entry` is the plan's id.
        first, last: dates between which it comes up.
        sow_from: for a planned one, the first date from which it comes up after the break.
        fine: seed that dies of one dry day.
    """

    crop: str
    variety: str | None
    first: date
    last: date
    fine: bool
    sowing: str | None = None
    tray: str | None = None
    entry: str | None = None
    sow_on: date | None = None
    sow_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakPlan:
    """What a break needs.

    Attributes:
        water_on: last open day before it; back_on: first open day after it.
        before, after: members on duty on those days.
        visits: (day, members who said that they come on it), closed days only.
        away: members away on any of its days.
        lamps_by_hand: shelves with seedlings whose lamp has no timer, as far as known.
    """

    stretch: Stretch
    water_on: date
    back_on: date
    trays: tuple[TrayBreak, ...]
    emerging: tuple[Emerging, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    visits: tuple[tuple[date, tuple[int, ...]], ...]
    away: tuple[int, ...]
    lamps_by_hand: tuple[str, ...]

    @property
    def dry(self) -> tuple[str, ...]:
        """Trays that may not last."""
        return tuple(tray.tray for tray in self.trays if tray.lasts is not Lasts.YES)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayCheck:
    """One tray after a break."""

    tray: str
    shelf: str | None
    crops: tuple[str, ...]
    checks: tuple[Check, ...]


def stretches(garden: Garden, first: date, last: date) -> Iterator[Stretch]:
    """Yield the runs of closed days that begin between two dates, whatever closes them."""
    day = first
    while day <= last:
        if not garden.closed(day):
            day += timedelta(days=1)
            continue
        end = day
        while garden.closed(end + timedelta(days=1)) and end - day < LONGEST:
            end += timedelta(days=1)
        label = next((c.label for c in garden.closures if c.label and c.covers(day)), None)
        yield Stretch(first=day, last=end, label=label)
        day = end + timedelta(days=1)


def coming_break(garden: Garden, today: date) -> Stretch | None:
    """Return the next break, one that has begun included; None within half a year."""
    begun = today
    while garden.closed(begun - timedelta(days=1)) and today - begun < LONGEST:
        begun -= timedelta(days=1)
    found = stretches(garden, begun if garden.closed(today) else today, today + LOOK_AHEAD)
    return next((each for each in found if each.days >= LONG_DAYS), None)


def past_break(garden: Garden, today: date) -> Stretch | None:
    """Return the latest break that is over, or is on, begun within three weeks or so."""
    found = [
        each
        for each in stretches(garden, today - LOOK_BACK - LONGEST, today)
        if each.days >= LONG_DAYS and today - LOOK_BACK <= each.last
    ]
    return found[-1] if found else None


def visits_in(garden: Garden, stretch: Stretch) -> tuple[tuple[date, tuple[int, ...]], ...]:
    """Return the closed days on which somebody said they come: a duty for that very day."""
    found: list[tuple[date, tuple[int, ...]]] = []
    for n in range(stretch.days):
        day = stretch.first + timedelta(days=n)
        who = tuple(
            dict.fromkeys(
                duty.member
                for duty in garden.duties
                if duty.day == day and not garden.away(duty.member, day)
            )
        )
        if who:
            found.append((day, who))
    return tuple(found)


def break_plan(garden: Garden, stretch: Stretch, today: date) -> BreakPlan:
    """Return which trays last through a break, and what to do.

    Each tray is taken as watered on the last open day. The gap is the longest run of days
    between that watering, the visits announced and the first open day after.
    Checked by: tests/core/handlers/test_breaks.py.
    """
    water_on = stretch.first - timedelta(days=1)
    back_on = stretch.last + timedelta(days=1)
    visits = visits_in(garden, stretch)
    stops = [water_on, *(day for day, _ in visits), back_on]
    gap = max((b - a).days for a, b in itertools.pairwise(stops))
    emerging = (*_coming_up(garden, stretch, today), *_planned(garden, stretch))
    at_risk = {each.tray for each in emerging if each.tray is not None}
    trays = tuple(
        tray
        for code in garden.trays
        if (tray := _tray(garden, code, gap, today, at_risk=code in at_risk)) is not None
    )
    away = tuple(
        member
        for member in garden.members
        if any(
            absence.member == member
            and absence.first <= stretch.last
            and absence.last >= stretch.first
            for absence in garden.absences
        )
    )
    shelves = dict.fromkeys(tray.shelf for tray in trays if tray.shelf is not None)
    return BreakPlan(
        stretch=stretch,
        water_on=water_on,
        back_on=back_on,
        trays=trays,
        emerging=emerging,
        before=garden.on_duty(water_on),
        after=garden.on_duty(back_on),
        visits=visits,
        away=away,
        lamps_by_hand=tuple(
            code
            for code in shelves
            if garden.shelves[code].lamp not in (None, "window")
            and garden.shelves[code].timer is not True
        ),
    )


def after_checks(garden: Garden, today: date) -> tuple[TrayCheck, ...]:
    """Return what to look at in each tray that holds something.

    Checked by: tests/core/handlers/test_breaks.py.
    """
    found: list[TrayCheck] = []
    for code, tray in garden.trays.items():
        living = outlook.in_tray(garden, code)
        if not living:
            continue
        checks = [Check.POUR_OFF, Check.FEEL]
        if any(
            growing.up < sowing.seeds and not _done(growing.stage) for sowing, growing in living
        ):
            checks.append(Check.COUNT)
        if any(growing.up for _, growing in living):
            checks += [Check.STRETCHED, Check.MOULD]
        if any(growing.stage is Stage.HARDENING for _, growing in living):
            checks.append(Check.HARDEN_AGAIN)
        found.append(
            TrayCheck(
                tray=code,
                shelf=tray.shelf,
                crops=tuple(dict.fromkeys(sowing.crop for sowing, _ in living)),
                checks=tuple(checks),
            )
        )
    return tuple(found)


def _done(stage: Stage) -> bool:
    """Whether counting is over."""
    return stage not in (Stage.SOWN, Stage.UP)


def _tray(
    garden: Garden, code: str, gap_days: int, today: date, *, at_risk: bool
) -> TrayBreak | None:
    lasts = outlook.tray_interval(garden, code, today)
    if lasts is None:
        return None
    living = outlook.in_tray(garden, code)
    verdict = Lasts.NO
    if lasts.low >= gap_days:
        verdict = Lasts.YES
    elif lasts.usual >= gap_days:
        verdict = Lasts.PERHAPS
    measures: list[Measure] = []
    if verdict is not Lasts.YES:
        long = gap_days - 1 >= CAPILLARY_DAYS
        measures.append(Measure.CAPILLARY if long else Measure.RESERVOIR)
    up = any(growing.up for _, growing in living)
    shelf = outlook.shelf_of(garden, code)
    if up and shelf is not None and shelf.heat_mat:
        measures.append(Measure.MAT_OFF)
    if up:
        measures.append(Measure.COVER_OFF)
    if any(growing.stage is Stage.HARDENING for _, growing in living):
        measures.append(Measure.BRING_IN)
    if at_risk:
        measures.append(Measure.TAKE_HOME)
    return TrayBreak(
        tray=code,
        shelf=garden.trays[code].shelf,
        crops=tuple(dict.fromkeys(sowing.crop for sowing, _ in living)),
        low_days=lasts.low,
        usual_days=lasts.usual,
        gap_days=gap_days,
        reports=lasts.reports,
        lasts=verdict,
        measures=tuple(measures),
    )


def _coming_up(garden: Garden, stretch: Stretch, today: date) -> Iterator[Emerging]:
    """Sowings of which nothing shows, and that most likely come up in the break."""
    for code in garden.trays:
        for sowing, growing in outlook.in_tray(garden, code):
            if growing.up:
                continue
            window = outlook.emergence(garden, sowing, today)
            if window.p10_on is None:
                continue
            last = window.p90_on or stretch.last
            if window.p10_on <= stretch.last and last >= stretch.first:
                yield Emerging(
                    crop=sowing.crop,
                    variety=sowing.variety,
                    first=window.p10_on,
                    last=last,
                    fine=is_fine(crop_by_id(sowing.crop)),
                    sowing=sowing.code,
                    tray=code,
                )


def _planned(garden: Garden, stretch: Stretch) -> Iterator[Emerging]:
    """Sowings of the plan that would be sown before the break and come up in it."""
    plan = garden.plan or {}
    sown = {s.plan_item for s in garden.sowings if s.plan_item} | set(plan.get("sown", ()))
    for entry in plan.get("sowings", ()):
        sow_on = date.fromisoformat(entry["sow_on"])
        crop = crop_by_id(entry["crop"])
        low, high = crop.emergence_days_min, crop.emergence_days_max
        if entry["id"] in sown or sow_on > stretch.last or low is None or high is None:
            continue
        first, last = sow_on + timedelta(days=low), sow_on + timedelta(days=high)
        if first > stretch.last or last < stretch.first:
            continue
        yield Emerging(
            crop=entry["crop"],
            variety=entry.get("variety"),
            first=first,
            last=last,
            fine=is_fine(crop),
            entry=entry["id"],
            sow_on=sow_on,
            sow_from=max(sow_on, stretch.last + timedelta(days=1 - low)),
        )
