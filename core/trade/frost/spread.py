"""How much a frost date varies from year to year where only one date is known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.trade.frost.seasons import FrostSide
from core.trade.tables.registry import Complaint, ident, number, register

ASSUMED_SD_DAYS = {FrostSide.LAST: 14.0, FrostSide.FIRST: 16.0}
"""Spread taken where no region of the table holds the place, days.

Source: ECCC-TOR, Toronto 1991-2020: 36 and 41 days between the 10 % and 90 % dates, divided by
2 x 1.2816."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostSpread:
    """A region and its standard deviations: a row of core/data/frost_spreads.toml.

    Attributes:
        south_deg, north_deg, west_deg, east_deg: edges, degrees.
        last_days, first_days: spread of the last and the first frost, days.
        stations: stations whose median it is.
    """

    id: str = ident()
    south_deg: float = number(lo=-90, hi=90)
    north_deg: float = number(lo=-90, hi=90)
    west_deg: float = number(lo=-180, hi=180)
    east_deg: float = number(lo=-180, hi=180)
    last_days: float = number(lo=1, hi=60)
    first_days: float = number(lo=1, hi=60)
    stations: int = number(lo=30, hi=100_000)
    source: str

    def holds(self, latitude_deg: float, longitude_deg: float) -> bool:
        """Say whether a place lies in the region."""
        return (
            self.south_deg <= latitude_deg < self.north_deg
            and self.west_deg <= longitude_deg < self.east_deg
        )


def _edges_in_order(rows: tuple[FrostSpread, ...]) -> Iterator[Complaint]:
    for row in rows:
        if not (row.south_deg < row.north_deg and row.west_deg < row.east_deg):
            yield Complaint(row=row.id, field="south_deg")


FROST_SPREADS = register("frost_spread", FrostSpread, check=_edges_in_order)


def spread_days(
    side: FrostSide, latitude_deg: float | None = None, longitude_deg: float | None = None
) -> float:
    """Return the standard deviation of a frost date at a place, days.

    Source: core/data/frost_spreads.toml; elsewhere, or without a place, `ASSUMED_SD_DAYS`.
    Checked by: tests/reference/test_frost_spreads.py.
    """
    if latitude_deg is not None and longitude_deg is not None:
        for row in FROST_SPREADS.rows():
            if row.holds(latitude_deg, longitude_deg):
                return row.last_days if side is FrostSide.LAST else row.first_days
    return ASSUMED_SD_DAYS[side]
