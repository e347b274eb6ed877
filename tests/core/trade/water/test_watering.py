"""Watering: the prior, what reports teach, and the next look."""

import math
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.requests import Moisture
from core.trade.light.lamp import Basis
from core.trade.stage import TrayStage
from core.trade.water.interval import (
    STAGES,
    MoistureReport,
    TrayAir,
    interval,
    next_check_on,
    prior_interval,
)

USUAL = TrayAir(cell_ml=50, stage=TrayStage.COTYLEDON)
LEVEL = st.sampled_from(Moisture)
AGE = st.floats(0.3, 8)
REPORT = st.builds(MoistureReport, age_days=AGE, level=LEVEL, prior_days=st.floats(1, 5))
WATERED = datetime(2027, 3, 27, 7, 0, tzinfo=UTC)
OSLO = ZoneInfo("Europe/Oslo")


def reports(level, *ages, prior_days=2.5):
    return [MoistureReport(age_days=age, level=level, prior_days=prior_days) for age in ages]


def test_usual_cells_start_at_two_to_three_days_and_small_cells_sooner():
    # common practice: every 2-3 days; volumes of makers' trays (50, 72, 128 and 200 cells)
    starts = [
        prior_interval(TrayAir(cell_ml=ml, stage=TrayStage.COTYLEDON))
        for ml in (110.9, 58.9, 45.0, 25.1, 13.9)
    ]
    assert starts == sorted(starts, reverse=True)
    assert 2 <= starts[2] <= starts[1] <= 3
    assert starts[4] < 2
    assert interval(USUAL).basis is Basis.ESTIMATED
    assert interval(USUAL).check_days == 2


def test_interval_follows_litres_per_tray():
    # 50 and 200 cells hold 5.54 and 2.78 litres on one area (a maker's figures)
    big, small = (
        prior_interval(TrayAir(cell_ml=ml, stage=TrayStage.COTYLEDON)) for ml in (110.9, 13.9)
    )
    assert big / small == pytest.approx(5.54 / 2.78, rel=0.01)


@given(
    st.floats(5, 500),
    st.sampled_from(TrayStage),
    st.floats(5, 40),
    st.floats(0, 30),
    st.floats(0.1, 20),
)
def test_warmth_light_a_mat_and_a_smaller_cell_never_lengthen_it(ml, stage, air, light, more):
    base = TrayAir(cell_ml=ml, stage=stage, air_temp_c=air, dli_mol=light)
    lasts = prior_interval(base)
    assert lasts > 0
    for thirstier in (
        TrayAir(cell_ml=ml, stage=stage, air_temp_c=min(45, air + more), dli_mol=light),
        TrayAir(cell_ml=ml, stage=stage, air_temp_c=air, dli_mol=light + more),
        TrayAir(cell_ml=ml, stage=stage, air_temp_c=air, dli_mol=light, on_mat=True),
        TrayAir(cell_ml=ml / (1 + more), stage=stage, air_temp_c=air, dli_mol=light),
    ):
        assert prior_interval(thirstier) <= lasts


def test_stages_run_from_covered_to_hardening():
    covered, *others = (
        prior_interval(TrayAir(cell_ml=50, stage=stage))
        for stage in (TrayStage.BEFORE_EMERGENCE, TrayStage.COTYLEDON, TrayStage.TRUE_LEAVES)
    )
    assert covered > others[0] > others[1]
    assert {row.id for row in STAGES.rows()} == set(TrayStage)


@given(st.floats(0.5, 6))
def test_three_reports_that_agree_settle_it_within_half_a_day(truth):
    learned = interval(USUAL, reports(Moisture.RIGHT, truth, truth, truth))
    assert abs(learned.usual - truth) <= 0.5
    assert learned.basis is Basis.MEASURED
    assert learned.high / learned.low < interval(USUAL).high / interval(USUAL).low


def test_looking_when_asked_finds_the_interval_in_three_looks():
    # each look at the age the estimate itself names; answers as `RIGHT_FROM_LOG` has them
    worst = 0.0
    for step in range(5, 61):
        truth, seen = step / 10, []
        for _ in range(3):
            age = interval(USUAL, seen).usual
            share = age / truth
            level = (
                Moisture.WET if share < 0.7 else Moisture.DRY if share > 1.15 else Moisture.RIGHT
            )
            seen += reports(level, age)
        worst = max(worst, abs(interval(USUAL, seen).usual - truth))
    assert worst < 0.9, worst  # 0.81 d, near the long end


@given(st.lists(REPORT, max_size=5), AGE)
def test_dry_never_lengthens_and_wet_never_shortens_it(seen, age):
    before = interval(USUAL, seen).usual
    # an older report weighs less after a new one, so compare with an uninformative look
    neutral = interval(USUAL, [*seen, *reports(Moisture.DRY, 1000.0)]).usual
    drier = interval(USUAL, [*seen, *reports(Moisture.DRY, age)]).usual
    wetter = interval(USUAL, [*seen, *reports(Moisture.WET, age)]).usual
    assert drier <= neutral + 1e-6
    assert wetter >= drier - 1e-6
    assert before > 0


@given(st.lists(REPORT, max_size=6), st.sampled_from(TrayStage), st.floats(5, 400))
def test_intervals_are_ordered_and_checks_within_the_stages_limit(seen, stage, ml):
    result = interval(TrayAir(cell_ml=ml, stage=stage), seen)
    assert 0 < result.low <= result.usual <= result.high
    assert 1 <= result.check_days <= STAGES.by_id()[stage].check_days
    assert result.reports == len(seen)


def test_what_a_seedling_taught_carries_over_to_the_next_stage():
    fast = reports(Moisture.RIGHT, 1.25, 1.25, 1.25)  # half the prior of 2.5
    potted = TrayAir(cell_ml=310, stage=TrayStage.POTTED)
    assert interval(potted, fast).usual < 0.75 * interval(potted).usual


def test_newer_reports_outweigh_older_ones():
    old, new = reports(Moisture.RIGHT, 1.5, 1.5), reports(Moisture.RIGHT, 3.5, 3.5)
    assert interval(USUAL, old + new).usual > interval(USUAL, new + old).usual


@pytest.mark.parametrize(
    ("hours_later", "level", "expected"),
    [
        (24, Moisture.DRY, date(2027, 3, 28)),
        (24, Moisture.RIGHT, date(2027, 3, 29)),
        (24, Moisture.WET, date(2027, 3, 29)),
        (-24, Moisture.DRY, date(2027, 3, 29)),  # seen before the watering: says nothing now
    ],
)
def test_next_look_follows_the_last_one(hours_later, level, expected):
    looked = (WATERED + timedelta(hours=hours_later), level)
    assert next_check_on(WATERED, interval(USUAL), zone=OSLO, looked=looked) == expected


def test_next_look_is_a_local_date():
    late = datetime(2027, 3, 27, 23, 30, tzinfo=UTC)  # 00:30 on the 28th in Oslo
    assert next_check_on(late, interval(USUAL), zone=OSLO) == date(2027, 3, 30)
    assert next_check_on(late, interval(USUAL), zone=UTC) == date(2027, 3, 29)


def test_nonsense_is_a_callers_mistake():
    with pytest.raises(ValueError, match="no such tray"):
        prior_interval(TrayAir(cell_ml=0, stage=TrayStage.COTYLEDON))
    with pytest.raises(ValueError, match="no such report"):
        interval(USUAL, reports(Moisture.DRY, 0))
    assert math.isfinite(interval(USUAL, reports(Moisture.DRY, *[0.01] * 9)).usual)
