"""Which shelf each tray of a plan stands on, week by week.

Trays stay where they are as long as they can; what is new or grown goes where it fits whole, a
warm-season crop to the warmest such shelf and a cool-season one to the coolest, else to the one
with the least room left over. It is split only when no shelf holds it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.plan.options import PlanOption
from core.plan.wishes import UNITS_PER_PLACE, PlanInstance

ROOM_C = 18.0
"""What the mix of a shelf without a mat or a reading is taken to show, °C; as in the forecast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Places one sowing takes on one shelf in one week; twelfths where trays are shared."""

    week: int
    shelf: str
    places: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfWeek:
    """Places the plan needs on one shelf in one week (whole), and those free before it."""

    week: int
    shelf: str
    places: int
    free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Allotment:
    """Stands of each option, places by shelf and week, and trays moved between shelves."""

    stands: tuple[tuple[Stand, ...], ...]
    shelf_weeks: tuple[ShelfWeek, ...]
    moves: int


def allot(instance: PlanInstance, chosen: Sequence[PlanOption]) -> Allotment:
    """Return where everything stands; raise ValueError when a week does not fit."""
    standing: list[dict[str, int]] = [{} for _ in chosen]
    stands: list[list[Stand]] = [[] for _ in chosen]
    shelf_weeks: list[ShelfWeek] = []
    warmth = {
        shelf.name: ROOM_C if shelf.warm_c is None else shelf.warm_c for shelf in instance.shelves
    }
    moved_units = 0
    for week in range(instance.weeks):
        room = {shelf.name: shelf.free(week) * UNITS_PER_PLACE for shelf in instance.shelves}
        lacking = _keep(chosen, standing, room, week)
        for index, units in sorted(lacking, key=lambda item: -item[1]):
            grown = chosen[index].units(week) - chosen[index].units(week - 1)
            moved_units += max(0, units - max(0, grown))
            warm = instance.wishes[chosen[index].wish].warm
            sign = {True: -1.0, False: 1.0, None: 0.0}[warm]
            liking = {name: sign * warmth[name] for name in room}
            _place(standing[index], room, units, week, liking)
        for index, held in enumerate(standing):
            stands[index] += [
                Stand(week=week, shelf=name, places=units / UNITS_PER_PLACE)
                for name, units in sorted(held.items())
            ]
        for shelf in instance.shelves:
            used = sum(held.get(shelf.name, 0) for held in standing)
            if used:
                places = -(-used // UNITS_PER_PLACE)
                shelf_weeks.append(
                    ShelfWeek(week=week, shelf=shelf.name, places=places, free=shelf.free(week))
                )
    moves = -(-moved_units // UNITS_PER_PLACE)
    return Allotment(
        stands=tuple(tuple(each) for each in stands), shelf_weeks=tuple(shelf_weeks), moves=moves
    )


def _keep(
    chosen: Sequence[PlanOption],
    standing: list[dict[str, int]],
    room: dict[str, int],
    week: int,
) -> list[tuple[int, int]]:
    """Leave standing what can stay, take it off `room`; return (index, units) still to place."""
    lacking: list[tuple[int, int]] = []
    for index, option in enumerate(chosen):
        wanted = option.units(week)
        kept: dict[str, int] = {}
        for name, units in sorted(standing[index].items(), key=lambda item: -item[1]):
            stays = min(units, wanted, room[name])
            if stays:
                kept[name] = stays
                room[name] -= stays
                wanted -= stays
        standing[index] = kept
        if wanted:
            lacking.append((index, wanted))
    return lacking


def _place(
    held: dict[str, int],
    room: dict[str, int],
    units: int,
    week: int,
    liking: Mapping[str, float],
) -> None:
    """Put units on shelves; `liking` is less for a shelf the crop likes more."""
    while units:
        whole = [name for name, free in room.items() if free >= units]
        if whole:
            name = min(whole, key=lambda each: (each not in held, liking[each], room[each]))
        else:
            name = max(room, key=lambda each: room[each], default="")
        put = min(units, room.get(name, 0))
        if put <= 0:
            raise ValueError(f"week {week} does not fit")
        held[name] = held.get(name, 0) + put
        room[name] -= put
        units -= put
