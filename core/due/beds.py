"""What was planted out and is not established: watering in, and the first cold nights."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from core.due.items import Item, Work
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.parts import Part
from core.group.standing import planted_out
from core.trade.crops.hardiness import hardiness_of
from core.trade.crops.table import crop_by_id

TENDER = frozenset({"tender", "very_tender"})

FROST_NEAR_C = 2.0
"""Where a low is forecast so near freezing the ground may freeze, and tender plants are covered;
common practice."""

SETTLED_C = -2.0
"""Hardy and half-hardy plants that have rooted stand a night down to this; from memory."""

ESTABLISHED = timedelta(days=14)
"""Until then a plant set out has few roots outside its old root ball; from memory."""

WATER_EVERY = timedelta(days=2)
"""How often a plant just set out is looked at; its root ball dries first; from memory."""


def limit_c(sowing: SowingOf, part: Part, today: date) -> float:
    """Return the forecast low, °C, below which a planted part is to be covered."""
    hardiness = crop_by_id(sowing.crop).hardiness_class
    if hardiness.value in TENDER:
        return FROST_NEAR_C
    young = part.since is None or today - part.since <= ESTABLISHED
    return hardiness_of(hardiness).lowest_night_c if young else SETTLED_C


def cover(garden: Garden, today: date) -> Iterator[Item]:
    """Plants in the bed that tonight's low would hurt: cover them."""
    lows = [
        temp.low_c
        for temp in outlook.outdoor_temps(garden)
        if temp.day == today and temp.low_c is not None
    ]
    if not lows:
        return
    for sowing, plants, limit in to_cover(garden, today, lows[-1]):
        yield Item(
            kind=Work.COVER,
            since=today,
            sowing=sowing.code,
            crop=sowing.crop,
            variety=sowing.variety,
            values={"low_c": lows[-1], "limit_c": limit, "count": plants},
        )


def to_cover(garden: Garden, today: date, low_c: float) -> list[tuple[SowingOf, int, float]]:
    """Return (sowing, plants, limit in °C) of what a low outside would hurt in the bed."""
    found: dict[str, tuple[SowingOf, int, float]] = {}
    for sowing, part in planted_out(garden, today):
        limit = limit_c(sowing, part, today)
        if low_c < limit:
            _, plants, highest = found.get(sowing.code, (sowing, 0, limit))
            found[sowing.code] = sowing, plants + part.alive, max(limit, highest)
    return list(found.values())


def settle_in(garden: Garden, today: date) -> Iterator[Item]:
    """Plants set out of late: watered in every other day until they are established."""
    for sowing, part in planted_out(garden, today):
        assert part.since is not None
        watered = part.watered_on or part.since
        since = watered + WATER_EVERY
        if since <= today <= part.since + ESTABLISHED:
            yield Item(
                kind=Work.BED,
                since=since,
                sowing=sowing.code,
                crop=sowing.crop,
                variety=sowing.variety,
                values={"count": part.alive, "days": (today - watered).days},
            )
