"""A group's dates as plain calendar events: the plan and what grows now.

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
from core.group.to_sow import LATE, to_sow
from core.trade.crops.table import crop_by_id

DOMAIN = "traywarden"


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """One whole day of the site, or several.

    Attributes:
        uid: the same for the same thing in every file.
        kind: `sow`, `pot_up`, `harden`, `plant_out`, `duty` or `closed`.
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


def dates(garden: Garden, today: date, sown: frozenset[str] = frozenset()) -> list[CalendarEvent]:
    """Return the dates of the plan and of what grows, in no order.

    Args:
        sown: further ids of the plan's entries that were sown, finished ones too.
    """
    done = garden.sown_items | sown | {s.plan_item for s in garden.sowings if s.plan_item}
    return [*_planned(garden, done), *_growing(garden, today)]


def uid(garden: Garden, *parts: object) -> str:
    return "-".join(str(part) for part in (f"g{garden.site.group_id}", *parts)) + f"@{DOMAIN}"


def _planned(garden: Garden, sown: frozenset[str]) -> Iterator[CalendarEvent]:
    meant = {one.id: one for one in to_sow(garden, date.min + LATE, date.max, sown)}
    for entry in (garden.plan or {}).get("sowings", ()):
        if entry["id"] in sown:
            continue
        one = meant[entry["id"]]
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
                uid=uid(garden, entry["id"], kind),
                kind=kind,
                first=day,
                last=last,
                crop=entry["crop"],
                variety=entry.get("variety"),
                tray=" ".join(code for code, _ in one.trays) or None if kind == "sow" else None,
                values={
                    **{
                        name: entry.get(name)
                        for name in ("plants", "cells", "seeds_per_cell", "shelf", "pots")
                    },
                    "lots": list(one.lots),
                    "seeds": one.seeds,
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
        uid=uid(garden, sowing.plan_item or sowing.code, kind),
        kind=kind,
        first=first,
        last=max(first, last),
        crop=sowing.crop,
        variety=sowing.variety,
        sowing=sowing.code,
        tray=growing.tray,
        values={"plants": growing.alive or None},
    )
