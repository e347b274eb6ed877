"""What of the day's message is still open, and what of it was done, by whom.

A piece of work is open while its rule still says so. Where it does not, whoever reported on its
tray or sowing since the message has done it; where nobody did, nobody need hear of it any more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from core.due.items import Item, Work, keyed
from core.due.open_work import told_items
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import follow

Doer = tuple[int | None, str | None]
"""Member id, or the name of a helper without an account."""

LOOKED_AT = frozenset({"watered", "moist"})
REPORTED_BY: Mapping[Work, frozenset[str]] = {
    Work.WATER: LOOKED_AT,
    Work.OUT: frozenset({"out", "harden"}),
    Work.HARDEN: frozenset({"out", "harden"}),
    Work.OVERDUE: frozenset({"up", "lost", "temp"}),
    Work.COUNT: frozenset({"up"}),
    Work.THIN: frozenset({"thinned"}),
    Work.POT_UP: frozenset({"potted"}),
    Work.FEED: frozenset({"fed"}),
    Work.BED: frozenset({"watered"}),
    Work.PLANT: frozenset({"planted"}),
}
"""Kinds of reports by which a piece of work is done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """Work of one kind that one person has done."""

    kind: Work
    by: Doer
    items: tuple[Item, ...]


def split(
    garden: Garden,
    today: date,
    keys: Iterable[str],
    acts: Mapping[int, Doer],
    brought_in: Doer | None = None,
) -> tuple[tuple[Item, ...], tuple[Tick, ...]]:
    """Return what is still open of the work that a message named, and what was done of it.

    Args:
        keys: `Item.key` of what the message named, in its order.
        acts: the acts recorded since the message, by id, with who did them, oldest first.
        brought_in: who said that the plants outside are safe for the night.
    """
    keys = tuple(keys)
    now = {_short(item.key): item for item in told_items(garden, today)}
    named = {_short(key) for key in keys}
    left: list[Item] = []
    ticked: dict[tuple[Work, Doer], list[Item]] = {}
    for key in keys:
        item = now.get(_short(key)) or _elsewhere(key, now, named)
        if item is not None:
            named.add(_short(item.key))
        asked = item or _named(garden, key)
        by = _by(garden, asked, acts, brought_in, still_due=item is not None)
        if by is not None:
            ticked.setdefault((asked.kind, by), []).append(asked)
        elif item is not None:
            left.append(item)
    ticks = (Tick(kind=kind, by=by, items=tuple(i)) for (kind, by), i in ticked.items())
    return tuple(left), tuple(ticks)


def _short(key: str) -> str:
    """Return a key without the shelf, from which a tray may have been moved since."""
    return key.rpartition(":")[0]


def _elsewhere(key: str, now: Mapping[str, Item], named: Collection[str]) -> Item | None:
    """Return the same work on a sowing's part that was moved or potted since, if it is open."""
    was = keyed(key)
    if was.tray is None:
        return None
    return next(
        (
            item
            for short, item in now.items()
            if item.kind is was.kind and item.sowing == was.place and short not in named
        ),
        None,
    )


def _named(garden: Garden, key: str) -> Item:
    """Return a piece of work by its key alone."""
    told = keyed(key)
    sowing = _sowing(garden, told.place)
    if told.kind is Work.SOW:
        lines: Iterable[Mapping[str, Any]] = (garden.plan or {}).get("sowings", ())
        variety = next((one.get("variety") for one in lines if one["id"] == told.place), None)
        tray = None
    elif sowing is None:
        variety, tray = None, told.place or None
    else:
        variety, tray = sowing.variety, told.tray or follow(sowing).tray
    return Item(
        kind=told.kind,
        since=date.min,
        tray=tray,
        sowing=told.place if sowing is not None else None,
        crop=told.crop,
        variety=variety,
        shelf=told.shelf,
        values={"id": told.place} if told.kind is Work.SOW else {},
    )


def _sowing(garden: Garden, code: str | None) -> SowingOf | None:
    every = (*garden.sowings, *garden.lately_closed)
    return next((sowing for sowing in every if sowing.code == code), None)


def _by(
    garden: Garden,
    item: Item,
    acts: Mapping[int, Doer],
    brought_in: Doer | None,
    *,
    still_due: bool,
) -> Doer | None:
    """Return who did a piece of work; None = nobody, as far as it was said."""
    if item.kind in (Work.FROST, Work.COVER):
        return brought_in
    if item.kind is Work.ASKED:
        done_by = [one.done_by for one in garden.reminders if str(one.id) == item.tray]
        return (done_by[0], None) if any(done_by) else None
    if item.kind in (Work.EVE, Work.BACK):  # due all day, whatever is done
        doers = [_last(garden, tray, LOOKED_AT, acts) for tray in item.trays]
        return doers[-1] if doers and all(doers) else None
    if still_due:
        return None
    if item.kind in (Work.SOW, Work.RESOW):
        of_line = item.values.get("id") if item.kind is Work.SOW else None
        sown = [
            acts[s.act]
            for s in garden.sowings
            if s.crop == item.crop and s.act in acts and of_line in (None, s.plan_item)
        ]
        return sown[-1] if sown else None
    wanted = REPORTED_BY.get(item.kind, frozenset())
    return _last(garden, item.sowing, wanted, acts) or _last(garden, item.tray, wanted, acts)


def _last(
    garden: Garden, code: str | None, kinds: Collection[str], acts: Mapping[int, Doer]
) -> Doer | None:
    """Return who last reported one of some kinds on a tray or a sowing, since the message."""
    sowing = _sowing(garden, code)
    found: Iterable[Happening] = (
        garden.tray_reports.get(code or "", ()) if sowing is None else sowing.happenings
    )
    done = [report.act for report in found if report.kind in kinds and report.act in acts]
    return acts[done[-1]] if done else None
