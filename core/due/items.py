"""Kinds of work, and one piece of it.

Each kind of work has its rule in `core/due/rules.py`; an item says what, where, since when, and
on which later days it is said again while nobody has done it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any


class Work(StrEnum):
    """Kinds of work, most pressing first."""

    FROST = "frost"  # bring in tonight
    COVER = "cover"  # planted out, and frost tonight
    WARM = "warm"  # the first spell that doubles what the trays drink
    WATER = "water"  # look, and water if the mix asks for it
    OUT = "out"  # hardening: day n of N
    OVERDUE = "overdue"  # nothing shows though it should
    COUNT = "count"  # seedlings should be showing: count them
    BREAK = "break"  # a closure of some days is near
    EVE = "eve"  # nobody can get in from tomorrow on
    BACK = "back"  # the first look after a closure
    UNCOVERED = "uncovered"  # in a week nobody comes although the rota has somebody
    BESIDE = "beside"  # something that spreads took plants: look at what stands beside
    RESOW = "resow"  # the last day to sow again what was lost
    SOW = "sow"  # the plan's week
    THIN = "thin"
    POT_UP = "pot_up"
    FEED = "feed"
    BED = "bed"  # just planted out: water in
    HARDEN = "harden"  # start hardening off
    PLANT = "plant"
    LIGHT = "light"
    ASKED = "asked"  # somebody asked to be reminded of it today
    WELL = "well"  # a tray is complete: no work, a word of praise


PERSONAL = frozenset(
    {
        Work.FROST,
        Work.COVER,
        Work.WATER,
        Work.OUT,
        Work.OVERDUE,
        Work.COUNT,
        Work.BESIDE,
        Work.EVE,
        Work.BACK,
        Work.THIN,
        Work.FEED,
        Work.BED,
        Work.HARDEN,
        Work.ASKED,
    }
)
"""Work for whoever is on duty; the rest is the group's."""

URGENT = frozenset(Work) - {
    Work.SOW,
    Work.THIN,
    Work.POT_UP,
    Work.FEED,
    Work.BED,
    Work.LIGHT,
    Work.WELL,
}
"""Work of which the group hears on its day; the rest can wait for a round with more in it."""

COLD = frozenset({Work.FROST, Work.COVER})
"""Work of a cold night: told at once."""

REPEAT_DAYS: Mapping[Work, int] = {
    Work.FROST: 1,
    Work.COVER: 1,
    Work.WARM: 365,  # once
    Work.WATER: 1,
    Work.OUT: 1,
    Work.OVERDUE: 3,
    Work.COUNT: 2,
    Work.BREAK: 365,  # once
    Work.EVE: 1,
    Work.BACK: 1,
    Work.UNCOVERED: 365,  # once
    Work.BESIDE: 1,
    Work.RESOW: 1,
    Work.SOW: 3,
    Work.THIN: 3,
    Work.POT_UP: 4,
    Work.FEED: 4,
    Work.BED: 3,
    Work.HARDEN: 3,
    Work.PLANT: 2,
    Work.LIGHT: 7,
    Work.ASKED: 365,  # once
    Work.WELL: 365,  # once
}
"""Days between one mention and the next while nothing is reported. Common practice."""


AT = "@"
"""Between a sowing and the tray that a part of it stands in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One piece of work.

    Attributes:
        since: the local date it fell due.
        tray, shelf, sowing, crop: where and what, as far as they apply; codes and crop id.
        values: figures the wording needs, by the rule.
    """

    kind: Work
    since: date
    tray: str | None = None
    shelf: str | None = None
    sowing: str | None = None
    crop: str | None = None
    variety: str | None = None
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """What it is, whatever the day: each part of a sowing, each line of the plan, by itself."""
        place = self.sowing or self.tray or str(self.values.get("id", ""))
        if self.sowing and self.tray:
            place = f"{self.sowing}{AT}{self.tray}"
        return ":".join(part or "" for part in (self.kind, place, self.crop, self.shelf))

    @property
    def trays(self) -> tuple[str, ...]:
        """The trays it names beside its own; of a sowing to come it only says how many it takes."""
        return () if self.kind is Work.SOW else tuple(self.values.get("trays", ()))

    @property
    def repeat_days(self) -> int:
        """Days until it is said again while nothing is reported."""
        return REPEAT_DAYS[self.kind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Keyed:
    """What a key says: kind of work, place (sowing, tray or line of the plan), tray of a sowing's
    part, crop and shelf."""

    kind: Work
    place: str
    tray: str | None
    crop: str | None
    shelf: str | None


def keyed(key: str) -> Keyed:
    """Return the parts of `Item.key`."""
    kind, place, crop, shelf = [*key.split(":"), "", "", ""][:4]
    code, _, tray = place.partition(AT)
    return Keyed(
        kind=Work(kind), place=code, tray=tray or None, crop=crop or None, shelf=shelf or None
    )
