"""A group's dates as plain calendar events: the plan, what grows now, who is on duty.

Every event keeps its id for as long as it means the same thing, so that a file read in again
moves what was there before. An event of a planned sowing keeps its id when it is sown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage, follow
from core.trade.crops.table import crop_by_id

DUTY_DAYS = 56
"""How far ahead duty days are given: eight weeks; swaps make later ones guesses."""

DOMAIN = "traywarden"


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """One whole day of the site, or several.

    Attributes:
        uid: the same for the same thing in every file.
        kind: `sow`, `pot_up`, `harden`, `plant_out` or `duty`.
        first, last: local dates, both included.
        cancelled: it stood in the rota but does not take place: swapped, away or closed.
        members: who is on duty.
        values: further figures for the words.
    """

    uid: str
    kind: str
    first: date
    last: date
    crop: str | None = None
    variety: str | None = None
    sowing: str | None = None
    tray: str | None = None
    cancelled: bool = False
    members: tuple[int, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)


def calendar_events(
    garden: Garden, today: date, *, sown: frozenset[str] = frozenset(), member: int | None = None
) -> tuple[CalendarEvent, ...]:
    """Return the dates from today on, by date; those of planned sowings also when overdue.

    Args:
        sown: ids of the plan's entries that were sown, finished ones too.
        member: only this member's duty days; None = everybody's.

    Checked by: tests/core/handlers/test_calendar.py.
    """
    sown |= {sowing.plan_item for sowing in garden.sowings if sowing.plan_item}
    found = [
        *_planned(garden, sown),
        *_growing(garden, today),
        *_duties(garden, today, member),
    ]
    return tuple(sorted(found, key=lambda event: (event.first, event.uid)))


def _uid(garden: Garden, *parts: object) -> str:
    return "-".join(str(part) for part in (f"g{garden.site.group_id}", *parts)) + f"@{DOMAIN}"


def _planned(garden: Garden, sown: frozenset[str]) -> Iterator[CalendarEvent]:
    for entry in (garden.plan or {}).get("sowings", ()):
        if entry["id"] in sown:
            continue
        for kind, name in (
            ("sow", "sow_on"),
            ("pot_up", "pot_on"),
            ("harden", "harden_from"),
            ("plant_out", "plant_out"),
        ):
            if not entry.get(name):
                continue
            day = date.fromisoformat(entry[name])
            last = day
            if kind == "harden":
                last = max(day, date.fromisoformat(entry["plant_out"]) - timedelta(days=1))
            yield CalendarEvent(
                uid=_uid(garden, entry["id"], kind),
                kind=kind,
                first=day,
                last=last,
                crop=entry["crop"],
                variety=entry.get("variety"),
                values={
                    name: entry.get(name)
                    for name in ("plants", "cells", "seeds_per_cell", "shelf", "pots")
                },
            )


def _growing(garden: Garden, today: date) -> Iterator[CalendarEvent]:
    for sowing in garden.sowings:
        growing = follow(sowing)
        if growing.stage is Stage.FINISHED:
            continue
        out_on = outlook.out_about(garden, sowing, growing, today)
        if out_on is None or out_on < today:
            continue
        if not growing.outings:
            days = outlook.harden_days(garden, crop_by_id(sowing.crop))
            first = max(sowing.sown_on, out_on - timedelta(days=days))
            if first >= today:
                last = out_on - timedelta(days=1)
                yield _of_sowing(garden, sowing, growing, "harden", first, last)
        yield _of_sowing(garden, sowing, growing, "plant_out", out_on, out_on)


def _of_sowing(
    garden: Garden, sowing: SowingOf, growing: Growing, kind: str, first: date, last: date
) -> CalendarEvent:
    return CalendarEvent(
        uid=_uid(garden, sowing.plan_item or sowing.code, kind),
        kind=kind,
        first=first,
        last=max(first, last),
        crop=sowing.crop,
        variety=sowing.variety,
        sowing=sowing.code,
        tray=growing.tray,
        values={"plants": growing.alive or None},
    )


def _duties(garden: Garden, today: date, member: int | None) -> Iterator[CalendarEvent]:
    for ahead in range(DUTY_DAYS):
        day = today + timedelta(days=ahead)
        on_duty = () if garden.closed(day) else garden.on_duty(day)
        rota = {duty.member for duty in garden.duties if _falls_on(duty.weekdays, duty.day, day)}
        if member is not None:
            on_duty = (member,) if member in on_duty else ()
            rota &= {member}
        if (not rota and not on_duty) or any(
            closure.weekday == day.weekday() for closure in garden.closures
        ):
            continue  # a day closed every week was never in anybody's calendar
        yield CalendarEvent(
            uid=_uid(garden, "duty", *(() if member is None else (f"m{member}",)), day.isoformat()),
            kind="duty",
            first=day,
            last=day,
            cancelled=not on_duty,
            members=on_duty or tuple(sorted(rota)),
            values={"own": member is not None},
        )


def _falls_on(weekdays: tuple[int, ...], single: date | None, day: date) -> bool:
    return single == day or (single is None and day.weekday() in weekdays)
