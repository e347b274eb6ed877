"""No two things said of one crop and one temperature disagree; and how near the curves come.

Held against publications: the cells of HM1954; thermal time (from memory of Bierhuizen and
Wagenvoort 1974) by curves drawn without it; the final counts of seed testing (7 CFR 201.58,
table 2, as printed); the best ranges of UC-GN154, as printed there in Fahrenheit.
"""

from __future__ import annotations

import math
from datetime import date

import pytest

from core.trade.crops.emergence_table import Outcome, emergence_row
from core.trade.crops.table import CROPS, crop_by_id
from core.trade.emergence.curve import Verdict
from core.trade.emergence.forecast import ForecastFlag, forecast_emergence
from core.trade.emergence.reconciled import curve_of
from core.trade.emergence.tables import THERMAL_TIME
from core.trade.emergence.watch import Watch, watch
from core.trouble.evidence import Basis, Evidence, Origin
from core.trouble.findings import found_in
from core.trouble.tray_evidence import limits_of

DAY = date(2031, 3, 1)
NONE = {Verdict.TOO_COLD, Verdict.TOO_HOT}
ALL = [crop.id for crop in CROPS.rows()]


def said_at(crop_id, temp_c):
    return forecast_emergence(
        points=curve_of(crop_id), catalogue=None, sown_on=DAY, today=DAY, usual_temp_c=temp_c
    )


@pytest.mark.parametrize("crop_id", ALL)
def test_dates_words_and_limits_agree_from_0_to_40_celsius(crop_id):
    curve, limits = curve_of(crop_id), limits_of(crop_id)
    fastest = min(1 / r for t in range(41) if (r := curve.rate_at(float(t)).per_day) > 0)
    for temp_c in range(41):
        verdict, forecast = curve.verdict(temp_c), said_at(crop_id, float(temp_c))
        where = (crop_id, temp_c, verdict)
        assert (forecast.p50_on is None) == (verdict in NONE), where
        assert (ForecastFlag.TOO_COLD in forecast.flags) == (verdict is Verdict.TOO_COLD), where
        assert (ForecastFlag.TOO_HOT in forecast.flags) == (verdict is Verdict.TOO_HOT), where
        hopeless = watch(forecast, today=DAY, emerged=0) is Watch.WILL_NOT_COME
        assert hopeless == (verdict in NONE), where
        if ForecastFlag.FEW_COME_UP in forecast.flags:
            assert verdict in (Verdict.SLOW, Verdict.WARM), where
        if verdict is Verdict.BEST:
            assert forecast.p50_days <= 2.5 * fastest, where
            assert curve.percent_at(temp_c) >= 80, where
        if verdict is Verdict.SLOW:
            assert forecast.p50_days > said_at(crop_id, limits.germ_opt_lo_c).p50_days, where
        assert (temp_c < limits.germ_min_c) == (verdict is Verdict.TOO_COLD), where
        assert (temp_c > limits.germ_max_c) == (verdict is Verdict.TOO_HOT), where
        cool = verdict in (Verdict.TOO_COLD, Verdict.SLOW)
        assert (temp_c < limits.germ_opt_lo_c) == cool, where
        warm = verdict in (Verdict.WARM, Verdict.TOO_HOT)
        assert (temp_c > limits.germ_good_hi_c) == warm, where


ALLOWED = {
    "cold_mix": {Verdict.TOO_COLD},
    "hot_mix": {Verdict.TOO_HOT, Verdict.WARM},
    "cool_mix": {Verdict.TOO_COLD, Verdict.SLOW},
}


@pytest.mark.parametrize("crop_id", ALL)
def test_a_finding_in_the_mix_s_temperature_is_what_the_temperature_reply_says(crop_id):
    limits, curve = limits_of(crop_id), curve_of(crop_id)
    for half in range(81):
        temp_c = half / 2
        readings = Evidence.of(Origin.REPORT, {"mix_temp_c": temp_c, "crop": crop_id})
        found = found_in(Basis(evidence=readings, crop=limits))
        for says, allowed in ALLOWED.items():
            if says in found:
                assert curve.verdict(temp_c) in allowed, (crop_id, temp_c, says)


@pytest.mark.parametrize(
    "crop_id", [crop.id for crop in CROPS.rows() if crop.emergence_table is not None]
)
def test_what_a_table_saw_come_up_is_never_called_hopeless(crop_id):
    """At least half of the seeds made normal seedlings there (HM1954): 14 cells once said no."""
    for point in emergence_row(crop_by_id(crop_id).emergence_table).points():
        if point.outcome is Outcome.VALUE and (point.percent or 0) >= 50:
            assert curve_of(crop_id).verdict(point.temp_c) not in NONE, (crop_id, point.temp_c)


def test_a_cool_room_is_slow_for_what_wants_warmth():
    for crop_id in ("cucumber", "snap_bean", "pepper", "eggplant", "okra", "summer_squash"):
        assert curve_of(crop_id).verdict(15.5) in (Verdict.SLOW, Verdict.GOOD), crop_id
        assert curve_of(crop_id).verdict(16.0) is not Verdict.BEST, crop_id
    assert curve_of("cucumber").verdict(16.0) is Verdict.SLOW


# --- held out -------------------------------------------------------------------------------


def test_thermal_time_is_predicted_by_curves_drawn_without_it(capsys):
    """BW74 at 10, 15, 20 and 25 °C where it lies above its base by 3 °C and below the best.

    Bounds are the measured errors rounded up; the log spread must lie within what a new site is
    allowed (`prior_log_sd`), else the window would be surer than the tables are.
    """
    logs, kinds = [], set()
    for row in THERMAL_TIME.rows():
        curve = curve_of(row.id, thermal=False)
        for temp_c in (10.0, 15.0, 20.0, 25.0):
            rate = curve.rate_at(temp_c).per_day
            if rate <= 0 or temp_c < row.base_c + 3 or temp_c > curve.limits.best_hi:
                continue
            logs.append(math.log(rate * row.sum_c_days / (temp_c - row.base_c)))
            kinds.add(row.id)
    mean = sum(logs) / len(logs)
    rms = math.sqrt(sum(x * x for x in logs) / len(logs))
    within = sum(abs(x) < 1.2816 * math.hypot(0.29, 0.29) for x in logs) / len(logs)
    with capsys.disabled():
        print(  # noqa: T201 (the measured error is part of the result)
            f"\nheld out, BW74: {len(logs)} cells of {len(kinds)} kinds, mean log "
            f"{mean:+.3f}, rms log {rms:.3f}, inside the 80 % band of a new site {within:.0%}"
        )
    assert len(kinds) >= 20
    assert abs(mean) <= 0.05
    assert rms <= 0.43
    assert within >= 0.72


# Temperature of the official test (20-30 alternating stands for 25) and days to the final count,
# by which all that germinates has: 7 CFR 201.58, table 2.
FINAL_COUNTS = {
    "artichoke": (25, 21), "asparagus": (25, 21), "snap_bean": (25, 8), "lima_bean": (25, 9),
    "runner_bean": (25, 9), "beet": (25, 14), "broad_bean": (20, 14), "broccoli": (25, 10),
    "brussels_sprouts": (25, 10), "cabbage": (25, 10), "chinese_cabbage": (25, 7),
    "cardoon": (25, 21), "carrot": (25, 14), "cauliflower": (25, 10), "celeriac": (20, 21),
    "celery": (20, 21), "swiss_chard": (25, 14), "chicory": (25, 14), "chives": (20, 14),
    "collards": (25, 10), "sweet_corn": (25, 7), "cornsalad": (15, 28), "cowpea": (25, 8),
    "garden_cress": (15, 10), "watercress": (25, 14), "cucumber": (25, 7),
    "dandelion": (25, 21), "dill": (25, 21), "eggplant": (25, 14), "endive": (25, 14),
    "kale": (25, 10), "chinese_kale": (25, 10), "kohlrabi": (25, 10), "leek": (20, 14),
    "lettuce": (20, 7), "muskmelon": (25, 10), "mustard": (25, 7), "okra": (25, 14),
    "onion": (20, 10), "scallion": (20, 10), "pak_choi": (25, 7), "parsley": (25, 28),
    "parsnip": (25, 28), "pea": (20, 8), "pepper": (25, 14), "pumpkin": (25, 7),
    "radish": (20, 6), "rhubarb": (25, 21), "rutabaga": (25, 14), "sage": (25, 14),
    "salsify": (15, 10), "summer_savory": (25, 21), "sorrel": (25, 14), "soybean": (25, 8),
    "spinach": (15, 21), "nz_spinach": (20, 21), "summer_squash": (25, 7), "tomato": (25, 14),
    "tomatillo": (25, 28), "turnip": (25, 7), "watermelon": (25, 14), "sunflower": (20, 7),
    "peanut": (25, 10),
}  # fmt: skip


def test_most_kinds_are_up_by_half_by_the_final_count_of_seed_testing(capsys):
    """On paper all is done by the final count; from mix half should be, with a day or two more."""
    late = {}
    for crop_id, (temp_c, final) in FINAL_COUNTS.items():
        days = 1 / curve_of(crop_id).rate_at(float(temp_c)).per_day
        late[crop_id] = days - final
    over = {crop: round(days, 1) for crop, days in late.items() if days > 0}
    ratios = sorted(
        math.log((late[crop] + final) / final) for crop, (_, final) in FINAL_COUNTS.items()
    )
    with capsys.disabled():
        print(  # noqa: T201 (the measured error is part of the result)
            f"\nfinal counts: {len(late)} kinds, later by half: {over}; median log of half "
            f"emergence over the final count {ratios[len(ratios) // 2]:+.2f}"
        )
    assert len(over) <= 3
    assert all(days <= 4 for days in over.values())


# UC-GN154, optimum range as printed, °F.
UC_BEST_F = {
    "asparagus": (75, 85), "beet": (65, 85), "cabbage": (60, 85), "carrot": (65, 85),
    "cauliflower": (65, 85), "cucumber": (65, 95), "eggplant": (75, 85), "lettuce": (60, 75),
    "muskmelon": (75, 85), "okra": (85, 95), "onion": (65, 85), "parsnip": (65, 75),
    "pea": (65, 75), "radish": (65, 85), "snap_bean": (75, 85), "sweet_corn": (65, 95),
    "tomato": (65, 85), "watermelon": (75, 95),
}  # fmt: skip


def test_the_best_range_lies_near_the_chart_s(capsys):
    """Ends within 6.5 °C, 2 °C at the mean; parsnip and pea by what HM1954 saw come up."""
    off = []
    for crop_id, ends in UC_BEST_F.items():
        at = curve_of(crop_id).limits
        low, high = ((f - 32) / 1.8 for f in ends)
        off.append((abs(at.best_lo - low), crop_id))
        off.append((abs(at.best_hi - high), crop_id))
        assert curve_of(crop_id).verdict((low + high) / 2) in (Verdict.BEST, Verdict.GOOD), crop_id
    mean = sum(d for d, _ in off) / len(off)
    with capsys.disabled():
        print(f"\nbest range against UC-GN154: mean {mean:.1f} °C, worst {max(off)}")  # noqa: T201
    assert mean <= 2.1
    assert max(off)[0] <= 6.5
