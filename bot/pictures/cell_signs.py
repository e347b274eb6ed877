"""How the cells of one sowing stand: a tally that adds up to its cells, in reading order."""

from __future__ import annotations

from dataclasses import dataclass

from core.group.garden import SowingOf
from core.group.growing import Growing, Stage
from core.group.parts import Place

SIGNS = {"up": "seedling", "moved": "away", "lost": "cross", "wait": "disc", "none": "line"}
"""The sign of each state, in the order in which cells are filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Cells of a sowing by state; together they are all its cells.

    Counts are told for a whole sowing, seldom for a cell: so many cells hold a living plant, so
    many lost theirs or gave it to the bed, and the rest still wait or stayed empty.
    """

    up: int
    moved: int
    lost: int
    wait: int
    none: int

    @classmethod
    def of(cls, sowing: SowingOf, growing: Growing) -> Tally:
        """Return the tally of one part of a sowing; at most one plant a cell is counted.

        What left the sowing or died is told for the whole of it, so that it is counted once: in
        the cells that were sown.
        """
        left = len(growing.cells)
        sown_here = growing.parts == 1 or growing.place is Place.CELLS
        gone = (growing.planted, growing.lost) if sown_here else (0, 0)
        counts = []
        for count in (growing.alive, *gone):
            counts.append(min(left, count))
            left -= counts[-1]
        still = growing.stage in (Stage.SOWN, Stage.UP) and growing.up < sowing.seeds
        wait = left if still else 0
        up, moved, lost = counts
        return cls(up=up, moved=moved, lost=lost, wait=wait, none=left - wait)

    def pairs(self) -> list[tuple[str, int]]:
        """Return (state, cells) of the states there are."""
        every = [(state, int(getattr(self, state))) for state in SIGNS]
        return [(state, n) for state, n in every if n]

    def states(self) -> list[str]:
        """Return one state for each cell."""
        return [state for state, n in self.pairs() for _ in range(n)]
