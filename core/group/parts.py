"""The parts a sowing is divided into as it is lived: cells, pots, beds, hands, and what died.

Every seed is somewhere at every moment: seeds sown = not up + seeds lost + came up, and
came up = alive in each part + thinned out + lost + given away. The live reports are followed
oldest first; undoing one is following the others.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from core.cells import Cell


class Stage(StrEnum):
    """How far plants are."""

    SOWN = "sown"  # nothing shows
    UP = "up"  # seed leaves
    THINNED = "thinned"
    POTTED = "potted"
    HARDENING = "hardening"
    FINISHED = "finished"  # all planted out or lost


class Place(StrEnum):
    """What a part stands in."""

    CELLS = "cells"  # where it was sown
    POTS = "pots"  # potted up or pricked out
    ASIDE = "aside"  # left behind when the others were potted up, where nobody said
    BED = "bed"  # planted out


INDOORS = (Place.CELLS, Place.POTS)

Outing = tuple[date, float | None, bool]
"""(date, hours outside, overnight) of a day outside."""


@dataclass(slots=True, kw_only=True)
class Part:
    """Plants, or seeds to come, of one sowing in one place.

    Attributes:
        since: when it came there; None = when it was sown.
        tray: code of the tray; None for loose pots and beds.
        cells: cells it holds.
        alive: plants standing.
        begun_on: hardening off was begun by decision on this day.
        spot: the bed's name, when it was given.
        cover: what a planted part is covered with.
    """

    place: Place
    tray: str | None = None
    cells: tuple[Cell, ...] = ()
    alive: int = 0
    since: date | None = None
    stage: Stage = Stage.SOWN
    thinned_on: date | None = None
    thinned_cells: frozenset[Cell] = frozenset()
    potted_on: date | None = None
    fed_on: date | None = None
    watered_on: date | None = None
    outings: tuple[Outing, ...] = ()
    begun_on: date | None = None
    spot: str | None = None
    cover: str | None = None


@dataclass(slots=True, kw_only=True)
class Divided:
    """A sowing's parts and its ledger; counts of seeds and plants.

    Attributes:
        parts: what lives or is awaited; emptied ones are gone.
        came: seedlings that came up.
        seeds_lost: seeds given up with their cells before they showed.
    """

    seeds: int
    parts: list[Part] = field(default_factory=list)
    came: int = 0
    seeds_lost: int = 0
    thinned: int = 0
    lost: int = 0
    given: int = 0
    planted: int = 0  # planted out or given away in all, whatever became of them
    counts: list[tuple[date, int]] = field(default_factory=list)
    first_up_on: date | None = None
    planted_on: date | None = None
    failed: bool = False  # all lost before anything came up

    @property
    def not_up(self) -> int:
        return self.seeds - self.seeds_lost - self.came

    @property
    def living(self) -> int:
        return sum(part.alive for part in self.parts)

    def adds_up(self) -> bool:
        """Whether every seed is accounted for, none twice."""
        accounted = self.living + self.thinned + self.lost + self.given
        return (
            self.came == accounted
            and self.not_up >= 0
            and min((part.alive for part in self.parts), default=0) >= 0
        )
