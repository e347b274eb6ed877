"""The assumed spread against published dates of sixty stations drawn by lot.

freeze_normals.csv: NOAA NCEI, U.S. Climate Normals 1981-2010, supplemental agricultural normals
(NCEI-SUPP), 0 °C; drawn with `random.Random(2027).sample` from the 5 398 stations that have all
four dates, once, before the assumption was compared with them. `last_p90` comes on that date or
later in 90 % of springs, `first_p90` on that date or earlier in 90 % of autumns.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from statistics import median

import pytest

from core.trade.frost.estimate import dates_from_typical
from core.trade.frost.seasons import FrostSide, Hemisphere, season_day
from core.trade.frost.spread import ASSUMED_SD_DAYS, FROST_SPREADS, spread_days

with (Path(__file__).parent / "freeze_normals.csv").open(encoding="utf-8") as file:
    STATIONS = list(csv.DictReader(file))


def on(text: str) -> date:
    return date.fromisoformat(f"2027-{text}")


def error_days(station: dict[str, str], side: FrostSide, sd_days: float) -> int:
    """Return how far the 90 % date implied by the published 50 % date lies from the printed one."""
    middle, rare = on(station[f"{side}_p50"]), on(station[f"{side}_p90"])
    implied = dates_from_typical(middle, side, Hemisphere.NORTH, sd_days=sd_days).date_at(0.9, 2027)
    assert implied is not None
    off = season_day(implied, Hemisphere.NORTH) - season_day(rare, Hemisphere.NORTH)
    return abs((off + 182) % 365 - 182)


@pytest.mark.parametrize("side", list(FrostSide))
def test_the_implied_date_errs_by_at_most_four_days_at_the_median(side: FrostSide) -> None:
    assert len(STATIONS) == 60
    regional, one_for_all = [], []
    for station in STATIONS:
        place = float(station["latitude_deg"]), float(station["longitude_deg"])
        regional.append(error_days(station, side, spread_days(side, *place)))
        one_for_all.append(error_days(station, side, ASSUMED_SD_DAYS[side]))
    assert median(regional) <= 4
    assert median(regional) < median(one_for_all)


def test_a_place_lies_in_one_region_at_most() -> None:
    for south in range(20, 60):
        for west in range(-130, -60):
            assert sum(row.holds(south, west) for row in FROST_SPREADS.rows()) <= 1


def test_without_a_place_or_outside_the_table_the_spread_is_the_usual_one() -> None:
    assert spread_days(FrostSide.LAST) == ASSUMED_SD_DAYS[FrostSide.LAST]
    assert spread_days(FrostSide.FIRST, 52.5, 13.4) == ASSUMED_SD_DAYS[FrostSide.FIRST]
    assert spread_days(FrostSide.LAST, 44.0, -79.4) != ASSUMED_SD_DAYS[FrostSide.LAST]
