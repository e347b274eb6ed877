"""Days to emergence and percent of normal seedlings by soil temperature, as published.

Nine temperatures, 24 vegetables, seed half an inch (13 mm) deep. Three things a cell can say are
kept apart: a value, that nothing came up, and that the temperature was not tested.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from core.trade.tables.registry import Complaint, ident, number, plain, register, text

TEMPS_F = (32, 41, 50, 59, 68, 77, 86, 95, 104)
TEMPS_C = tuple((f - 32) * 5 / 9 for f in TEMPS_F)  # 0, 5, 10 ... 40, exactly


class Outcome(StrEnum):
    """What one cell of the table says."""

    VALUE = "value"
    NONE = "none"  # tested, no seedling
    UNTESTED = "untested"


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergencePoint:
    """One vegetable at one temperature.

    Attributes:
        temp_c: soil temperature, C.
        outcome: whether a number of days was published.
        days: days from sowing to emergence; None unless outcome is VALUE.
        percent: normal seedlings, percent; None when not published. May be above 0 where the
            days say none: the two published tables do not agree in every cell.
    """

    temp_c: float
    outcome: Outcome
    days: int | None
    percent: int | None


Days = int | Literal["none", "untested"]
Percent = int | Literal["untested"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergenceRow:
    """One vegetable of the published tables.

    Attributes:
        id: key of the row.
        name: name as published.
        days: at TEMPS_F, days, "none" or "untested".
        percent: at TEMPS_F, percent of normal seedlings, or "untested".
        source: keys of sources.toml: the work, the copy of the days, the copy of the percent.
        note: contradictions between the two tables, kept as printed.

    Checked by: tests/reference/test_published_tables.py.
    """

    id: str = ident()
    name: str = text(pattern=r"\S.*")
    days: tuple[Days, ...] = number(lo=1, hi=400)
    percent: tuple[Percent, ...] = number(lo=0, hi=100)
    source: str = plain()
    note: str = plain(default="")

    def points(self) -> tuple[EmergencePoint, ...]:
        """Return the row's nine points, coldest first."""
        return tuple(
            EmergencePoint(
                temp_c=temp,
                outcome=Outcome.VALUE if isinstance(days, int) else Outcome(days),
                days=days if isinstance(days, int) else None,
                percent=percent if isinstance(percent, int) else None,
            )
            for temp, days, percent in zip(TEMPS_C, self.days, self.percent, strict=True)
        )


def _check(rows: tuple[EmergenceRow, ...]) -> Iterable[Complaint]:
    """Complain of rows that do not hold one cell for each temperature."""
    for row in rows:
        for field, cells in (("days", row.days), ("percent", row.percent)):
            if len(cells) != len(TEMPS_F):
                values = {"cells": len(cells), "expected": len(TEMPS_F)}
                yield Complaint(row=row.id, field=field, values=values)


EMERGENCE = register("emergence", EmergenceRow, file="emergence.toml", check=_check)


def emergence_row(row_id: str) -> EmergenceRow:
    """Return the row with this id; raise KeyError when there is none."""
    return EMERGENCE.by_id()[row_id]
