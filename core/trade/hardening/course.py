"""Hardening off as it goes: what was done, what is held, and when the plants are ready.

Rules: a day counts when the plants were out for at least half its hours; a day whose reported or
forecast temperature lies under the crop's limit is held and never counts; a missed day or two
repeats the last day done, three or more go back two days, a week indoors goes back half way.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.trade.hardening.plan import HardeningDay

ENOUGH_SHARE = 0.5
"""Share of a day's hours that makes it count; from memory."""

MISSED_BACK_TWO = 3
"""Missed days in a row after which two days are repeated; from memory."""

BREAK_DAYS = 7
"""Days in a row indoors, held or missed, after which half is repeated; from memory."""

HORIZON_DAYS = 90
"""How far ahead a course is projected."""


class Hold(StrEnum):
    """Why a day does not count. On COLD_NIGHT the plants go out by day and come in at night."""

    COLD_DAY = "cold_day"
    COLD_LOW = "cold_low"
    COLD_NIGHT = "cold_night"


class Outcome(StrEnum):
    """What became of a past day."""

    DONE = "done"
    SHORT = "short"
    HELD = "held"
    MISSED = "missed"
    FINISHED = "finished"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOut:
    """A report of hours outdoors on one local date; several on a date add up.

    `hours` None: out, hours not said; the day counts.
    """

    day: date
    hours: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutdoorTemp:
    """Outdoor temperature of a date, Celsius, reported or forecast; None = not known.

    Attributes:
        low_c: lowest of the day and the night after it.
        day_c: lowest during the hours the plants would stand out by day.
    """

    day: date
    low_c: float | None = None
    day_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PastDay:
    """A day gone by: the plan's day that was due, and what became of it."""

    day: date
    due: int
    outcome: Outcome
    done_after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingDay:
    """A day ahead.

    Attributes:
        plan: the plan's day due.
        hold: why it will not count, or None.
        hours: hours out by day; 0 when held by day.
        night_out: whether to leave the plants out overnight.
    """

    day: date
    plan: HardeningDay
    hold: Hold | None
    hours: float
    night_out: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningCourse:
    """Where a course stands.

    Attributes:
        done: days of the plan that count so far, after any set-back.
        of: days in the plan.
        past: each date from the start to yesterday, and today once it counted.
        coming: from today (tomorrow once today counted) to the last day needed.
        ready_on: first date on which everything is done.
        days_late: days from the wanted plant-out date to `ready_on`; 0 when not later.
    """

    done: int
    of: int
    past: tuple[PastDay, ...]
    coming: tuple[ComingDay, ...]
    ready_on: date
    days_late: int


def start_on(plant_out_on: date, total_days: int) -> date:
    """Return the first day out so that the last is the day before `plant_out_on`."""
    return plant_out_on - timedelta(days=total_days)


def hold_of(plan: HardeningDay, temp: OutdoorTemp | None) -> Hold | None:
    """Return why `plan` is held at this temperature, or None.

    A low alone holds the day: nothing says that the hours outdoors are warmer. With the day's
    temperature known to be safe, a cold low matters only to a night outdoors.
    """
    if temp is None:
        return None
    limit = plan.lowest_safe_c
    if temp.day_c is not None and temp.day_c < limit:
        return Hold.COLD_DAY
    if temp.low_c is None or temp.low_c >= limit:
        return None
    if temp.day_c is None:
        return Hold.COLD_LOW
    return Hold.COLD_NIGHT if plan.night_out else None


def set_back(done: int, *, missed: int, idle: int) -> int:
    """Return the days that still count after a stretch indoors.

    Args:
        done: days that counted before it.
        missed: days of it on which the plants could have gone out.
        idle: all days of it, >= missed.
    """
    if idle >= BREAK_DAYS:
        return done // 2
    if missed >= MISSED_BACK_TWO:
        return max(0, done - 2)
    return max(0, done - 1) if missed else done


def hardening_course(
    plan: tuple[HardeningDay, ...],
    *,
    begun_on: date,
    plant_out_on: date,
    days_out: Iterable[DayOut],
    temps: Iterable[OutdoorTemp],
    today: date,
) -> HardeningCourse:
    """Replay the reports up to `today` and project the rest.

    Args:
        plan: days 1..N of `hardening_plan`.
        begun_on: date of day 1 as planned (see `start_on`); earlier reports are left out.
        plant_out_on: date wanted.
        days_out: reports; pure function of them, in any order.
        temps: reported or forecast; of several for a date the last low and the last day
            temperature count.

    The projection takes every day ahead as done unless a forecast holds it. After the last day
    done, further days count as FINISHED.
    Source: hold rules WSU-H, UDEL-H; set-backs from memory.
    Checked by: tests/core/trade/hardening/test_hardening_course.py.
    """
    hours: dict[date, float] = {}
    for report in days_out:
        more = math.inf if report.hours is None else report.hours
        hours[report.day] = hours.get(report.day, 0.0) + more
    by_day: dict[date, OutdoorTemp] = {}
    for temp in temps:
        by_day[temp.day] = _merged(by_day.get(temp.day), temp)
    past, done, counted_today = _replay(plan, begun_on, hours, by_day, today)
    first = max(begun_on, today + timedelta(days=1) if counted_today else today)
    coming = _project(plan, done, first, by_day)
    if coming:
        ready_on = coming[-1].day + timedelta(days=1)
    else:
        ready_on = next(p.day for p in past if p.done_after == len(plan)) + timedelta(days=1)
    return HardeningCourse(
        done=done,
        of=len(plan),
        past=past,
        coming=coming,
        ready_on=ready_on,
        days_late=max(0, (ready_on - plant_out_on).days),
    )


def _merged(old: OutdoorTemp | None, new: OutdoorTemp) -> OutdoorTemp:
    if old is None:
        return new
    return OutdoorTemp(
        day=new.day,
        low_c=old.low_c if new.low_c is None else new.low_c,
        day_c=old.day_c if new.day_c is None else new.day_c,
    )


def _replay(
    plan: tuple[HardeningDay, ...],
    begun_on: date,
    hours: Mapping[date, float],
    temps: Mapping[date, OutdoorTemp],
    today: date,
) -> tuple[tuple[PastDay, ...], int, bool]:
    """Return the past days, the days that count as of today, and whether today is settled."""
    past: list[PastDay] = []
    done = missed = idle = 0
    settled_today = False
    day = begun_on
    while day <= today:
        counts = done if done == len(plan) else set_back(done, missed=missed, idle=idle)
        due = plan[min(counts, len(plan) - 1)]
        outcome = _outcome(due, hours.get(day), temps.get(day), finished=counts == len(plan))
        if day == today and outcome not in (Outcome.DONE, Outcome.FINISHED):
            break
        if outcome is Outcome.DONE:
            done, missed, idle = counts + 1, 0, 0
        elif outcome is Outcome.SHORT:
            done, missed, idle = counts, 0, 0
        elif outcome is not Outcome.FINISHED:
            idle += 1
            missed += outcome is Outcome.MISSED
        settled_today = day == today
        past.append(PastDay(day=day, due=due.number, outcome=outcome, done_after=done))
        day += timedelta(days=1)
    now = done if done == len(plan) else set_back(done, missed=missed, idle=idle)
    return tuple(past), now, settled_today


def _outcome(
    due: HardeningDay, hours: float | None, temp: OutdoorTemp | None, *, finished: bool
) -> Outcome:
    if finished:
        return Outcome.FINISHED
    if hold_of(due, temp) is not None:
        return Outcome.HELD
    if not hours:
        return Outcome.MISSED
    return Outcome.DONE if hours >= ENOUGH_SHARE * due.hours else Outcome.SHORT


def _project(
    plan: tuple[HardeningDay, ...], done: int, first: date, temps: Mapping[date, OutdoorTemp]
) -> tuple[ComingDay, ...]:
    coming: list[ComingDay] = []
    while done < len(plan) and len(coming) < HORIZON_DAYS:
        day = first + timedelta(days=len(coming))
        due = plan[done]
        hold = hold_of(due, temps.get(day))
        out = hold in (None, Hold.COLD_NIGHT)
        temp = temps.get(day)
        cold_night = temp is not None and temp.low_c is not None and temp.low_c < due.lowest_safe_c
        coming.append(
            ComingDay(
                day=day,
                plan=due,
                hold=hold,
                hours=due.hours if out else 0.0,
                night_out=due.night_out and hold is None and not cold_night,
            )
        )
        done += hold is None
    return tuple(coming)
