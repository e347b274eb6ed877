"""Work around closures: the eve, the first look after, days nobody covers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from core.due.items import Item, Work
from core.group import breaks
from core.group.cover import Gap, gaps_ahead
from core.group.garden import Garden

UNCOVERED_DAYS = 7
"""How long before an uncovered watering the group is told; common practice."""


EVE_DAYS = 2
"""Closed days in a row before which trays are seen to: a weekend (URBG); common practice."""


def uncovered(garden: Garden, today: date) -> Iterator[Item]:
    """In a week somebody on the rota is away and a tray will not last: once, a week ahead.

    Days that the weekly rota leaves open anyway are the group's own choice and not said again.
    """
    if not garden.duties or not garden.absences:
        return
    first = today + timedelta(days=UNCOVERED_DAYS)
    usual = {(gap.first, gap.last) for gap in _gaps(replace(garden, absences=()), today)}
    for gap in _gaps(garden, today):
        if gap.first == first and gap.likely and (gap.first, gap.last) not in usual:
            yield Item(
                kind=Work.UNCOVERED,
                since=today,
                values={
                    "first": gap.first,
                    "last": gap.last,
                    "dry_on": gap.dry_on,
                    "trays": gap.trays,
                },
            )


def _gaps(garden: Garden, today: date) -> tuple[Gap, ...]:
    return gaps_ahead(garden, today, 2 * UNCOVERED_DAYS)


def before_closure(garden: Garden, today: date) -> Iterator[Item]:
    """A closure of some days is near: once, on the last open day at least three days before."""
    stretch = breaks.coming_break(garden, today) if garden.closures else None
    if stretch is None or stretch.first <= today:
        return
    since = stretch.first - timedelta(days=breaks.WARN_DAYS)
    while garden.closed(since):
        since -= timedelta(days=1)
    if today < since:
        return
    plan = breaks.break_plan(garden, stretch, today)
    if plan.trays or plan.emerging:
        yield Item(
            kind=Work.BREAK,
            since=since,
            values={
                "first": stretch.first,
                "last": stretch.last,
                "dry": plan.dry,
                "emerging": len(plan.emerging),
            },
        )


def eve(garden: Garden, today: date) -> Iterator[Item]:
    """Nobody can get in from tomorrow on, for two days or more: what to do before leaving."""
    stretch = _closed_from(garden, today + timedelta(days=1))
    if stretch is None or garden.closed(today):
        return
    plan = breaks.break_plan(garden, stretch, today)
    trays = tuple(tray.tray for tray in plan.trays)
    if trays:
        yield Item(
            kind=Work.EVE,
            since=today,
            values={
                "first": stretch.first,
                "last": stretch.last,
                "trays": trays,
                "dry": plan.dry,
                "lamps": plan.lamps_by_hand,
            },
        )


def back(garden: Garden, today: date) -> Iterator[Item]:
    """The first open day after a break: look first, nothing is late yet."""
    yesterday = today - timedelta(days=1)
    stretch = breaks.past_break(garden, today)
    if stretch is None or stretch.last != yesterday or garden.closed(today):
        return
    trays = tuple(check.tray for check in breaks.after_checks(garden, today))
    if trays:
        yield Item(kind=Work.BACK, since=today, values={"trays": trays})


def _closed_from(garden: Garden, first: date) -> breaks.Stretch | None:
    """Return the closed days that begin on a date; None for fewer than `EVE_DAYS`."""
    found = next(breaks.stretches(garden, first, first), None)
    return found if found is not None and found.days >= EVE_DAYS else None
