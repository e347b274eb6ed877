"""One curve from what was published: nothing lost, each contradiction settled the same way."""

from __future__ import annotations

import math
import statistics

import pytest

from core.trade.crops.emergence_table import emergence_row
from core.trade.crops.table import CROPS
from core.trade.emergence.curve import Verdict
from core.trade.emergence.reconciled import (
    GUIDE_LOG_SD,
    MEMORY_LOG_SD,
    TABLE_LOG_SD,
    TABLE_SHIFT,
    curve_of,
    days_basis,
)
from core.trade.emergence.site import SITE_LOG_SD
from core.trade.emergence.tables import THERMAL_TIME

WITH_TABLE = [crop for crop in CROPS.rows() if crop.emergence_table is not None]


@pytest.mark.parametrize("crop", WITH_TABLE, ids=lambda crop: crop.id)
def test_the_share_of_seedlings_follows_the_published_percentages(crop):
    points = emergence_row(crop.emergence_table).points()
    top = max(point.percent for point in points if point.percent is not None)
    curve = curve_of(crop.id)
    at = curve.limits
    for point in points:
        if point.percent is not None and at.least <= point.temp_c <= at.most:
            assert curve.percent_at(point.temp_c) == pytest.approx(100 * point.percent / top)


@pytest.mark.parametrize("row", THERMAL_TIME.rows(), ids=lambda row: row.id)
def test_where_two_publications_speak_the_curve_runs_between_them(row):
    crop = next(crop for crop in CROPS.rows() if crop.id == row.id)
    if crop.emergence_table is None:
        return
    at_20 = emergence_row(crop.emergence_table).points()[4].days
    thermal = row.sum_c_days / (20 - row.base_c)
    days = 1 / curve_of(crop.id).rate_at(20.0).per_day
    assert min(at_20, thermal) - 1e-6 <= days <= max(at_20, thermal) + 1e-6


def test_rows_that_look_like_germination_on_paper_lean_to_emergence_from_mix():
    """Thermal-time work has onion up in 12 days at 20 °C, celery in 15, turnip in 5."""
    for crop, least in (("onion", 8), ("celery", 10), ("turnip", 4)):
        assert 1 / curve_of(crop).rate_at(20.0).per_day >= least


def test_celery_at_25_c_where_the_two_halves_of_a_table_disagree_comes_up_slowly():
    curve = curve_of("celery")
    assert curve.verdict(25.0) in (Verdict.GOOD, Verdict.WARM)
    assert math.isfinite(1 / curve.rate_at(25.0).per_day)


def test_every_crop_has_a_curve_that_says_whose_days_it_has():
    by = [days_basis(curve_of(crop.id).source) for crop in CROPS.rows()]
    assert set(by) == {"table", "guide", "memory"}
    unsure = {kind: set() for kind in set(by)}
    for crop, kind in zip(CROPS.rows(), by, strict=True):
        unsure[kind].add(round(curve_of(crop.id).log_sd, 2))
    assert max(unsure["table"]) < min(unsure["guide"]) < min(unsure["memory"])


def test_warmth_counts_for_a_crop_without_any_table():
    """Basil at 13 and at 27 °C must not get the same dates."""
    cool, warm = (1 / curve_of("basil").rate_at(temp).per_day for temp in (13.0, 27.0))
    assert cool > 2 * warm


def test_the_shift_and_spread_between_two_publications_are_those_of_their_own_figures():
    """Log of BW74's days over HM1954's, cell by cell up to 25 °C; both shared between the two."""
    logs = []
    for row in THERMAL_TIME.rows():
        crop = CROPS.by_id().get(row.id)
        if crop is None or crop.emergence_table is None:
            continue
        for point in emergence_row(crop.emergence_table).points():
            if point.days is not None and row.base_c + 0.5 < point.temp_c <= 26:
                logs.append(math.log(row.sum_c_days / (point.temp_c - row.base_c) / point.days))
    assert len(logs) >= 50
    mean, spread = statistics.fmean(logs), statistics.stdev(logs)
    assert pytest.approx(mean / 2, abs=0.012) == TABLE_SHIFT
    assert pytest.approx(spread / math.sqrt(2), abs=0.035) == TABLE_LOG_SD
    assert pytest.approx(spread / math.sqrt(2), abs=0.035) == SITE_LOG_SD


def test_what_names_less_is_less_sure():
    """A guide's days, which name no temperature, are less sure than a table's; memory less yet."""
    assert TABLE_LOG_SD < GUIDE_LOG_SD < MEMORY_LOG_SD
