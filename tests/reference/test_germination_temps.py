"""Temperatures of the germination charts against the charts as printed, transcribed apart.

germination_temps.csv holds ACES-1061, UC-GN154 and AB-FAQ8347 in °F. Each figure of ours is that
of one of the charts for the kind. After emergence: day and night of CORN-T, else of UDEL-T.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from core.trade.crops.table import crop_by_id

TABLE = Path(__file__).with_name("germination_temps.csv")
FIELDS = {
    "least": "germ_min_c",
    "best_low": "germ_opt_lo_c",
    "best_high": "germ_opt_hi_c",
    "most": "germ_max_c",
}


def printed():
    """Return {(crop, field): temperatures of the charts, °C}."""
    found = {}
    with TABLE.open(encoding="utf-8") as lines:
        for row in csv.DictReader(line for line in lines if not line.startswith("#")):
            for column, field in FIELDS.items():
                if row[column]:
                    celsius = (float(row[column]) - 32) / 1.8
                    found.setdefault((row["crop"], field), []).append(celsius)
    return found


@pytest.mark.parametrize(("cell", "charts"), printed().items())
def test_a_temperature_is_that_of_a_chart(cell, charts):
    ours = getattr(crop_by_id(cell[0]), cell[1])
    if ours is not None:
        assert any(ours == pytest.approx(chart, abs=0.6) for chart in charts), (ours, charts)


def test_most_charted_kinds_are_held():
    assert len({crop for crop, _ in printed()}) >= 30


AIR_F = {
    "broccoli": (65, 65, 55, 60), "cabbage": (65, 65, 55, 60), "cauliflower": (65, 65, 55, 60),
    "celery": (65, 65, 60, 60), "cucumber": (70, 75, 65, 65), "eggplant": (70, 80, 60, 60),
    "lettuce": (60, 65, 50, 50), "muskmelon": (70, 75, 60, 60), "onion": (65, 70, 55, 60),
    "pepper": (70, 75, 60, 60), "chilli": (70, 75, 60, 60), "summer_squash": (70, 75, 65, 65),
    "tomato": (65, 70, 60, 60), "watermelon": (70, 75, 65, 65),
}  # fmt: skip


@pytest.mark.parametrize(("crop_id", "fahrenheit"), AIR_F.items())
def test_air_by_day_and_night_is_the_published_one(crop_id, fahrenheit):
    crop = crop_by_id(crop_id)
    ours = (crop.day_lo_c, crop.day_hi_c, crop.night_lo_c, crop.night_hi_c)
    assert ours == pytest.approx([(f - 32) / 1.8 for f in fahrenheit], abs=0.06)
