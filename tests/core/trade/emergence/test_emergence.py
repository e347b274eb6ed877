"""Laws of the emergence forecast, on a small frozen table."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.emergence.forecast import (
    NG,
    CatalogueDays,
    DayTemp,
    EmergencePoint,
    EmergencePoints,
    ForecastFlag,
    ForecastKind,
    PastSowing,
    SiteFactor,
    Standing,
    forecast_emergence,
    site_factor,
    temp_log_sd,
    thermal_ratio,
)
from core.trade.emergence.site import (
    SEED_LOG_SD,
    SITE_LOG_SD,
    SOWING_LOG_SD,
    censored_ratio,
    prior_log_sd,
)
from core.trade.emergence.watch import (
    LIVING_SHARE,
    Watch,
    chance_none_yet,
    watch,
    window_shift,
)

SOWN_ON = date(2031, 3, 1)


def curve(*rows: tuple[float, object], percent: float | None = None) -> EmergencePoints:
    return EmergencePoints(
        points=tuple(EmergencePoint(temp_c=t, days=d, percent=percent) for t, d in rows),
        source="frozen",
    )


# Invented: nothing at 5 and 40 C, best at 25 C, untested beyond.
FROZEN = curve((5, NG), (10, 40), (15, 16), (20, 8), (25, 5), (30, 5), (35, 10), (40, NG))
OPEN_ENDED = curve((15, 12), (20, 8), (25, 6))


def forecast(points=FROZEN, *, day=0, usual=20.0, readings=(), site=None, catalogue=None):
    return forecast_emergence(
        points=points,
        catalogue=catalogue,
        sown_on=SOWN_ON,
        today=SOWN_ON + timedelta(days=day),
        readings=[DayTemp(on=SOWN_ON + timedelta(days=i), temp_c=t) for i, t in readings],
        usual_temp_c=usual,
        site=site,
    )


def late(value):
    return math.inf if value is None else value


@given(st.floats(-5, 25), st.floats(-5, 25))
def test_warmer_up_to_the_optimum_is_never_later(a, b):
    cool, warm = sorted((a, b))
    assert late(FROZEN.rate_at(warm).days) <= late(FROZEN.rate_at(cool).days)
    assert late(forecast(usual=warm).p50_days) <= late(forecast(usual=cool).p50_days)


@given(st.floats(30, 60), st.floats(30, 60))
def test_hotter_past_the_optimum_is_never_sooner(a, b):
    warm, hot = sorted((a, b))
    assert late(FROZEN.rate_at(warm).days) <= late(FROZEN.rate_at(hot).days)


@given(
    st.lists(st.floats(10, 25), min_size=1, max_size=12),
    st.integers(0, 11),
    st.floats(0, 5),
)
def test_one_warmer_day_never_makes_the_median_later(temps, at, warmer):
    at %= len(temps)
    raised = [min(25.0, t + warmer) if i == at else t for i, t in enumerate(temps)]
    before = forecast(day=len(temps), readings=enumerate(temps))
    after = forecast(day=len(temps), readings=enumerate(raised))
    assert late(after.p50_days) <= late(before.p50_days) + 1e-9
    assert after.progress >= before.progress - 1e-12


@given(st.floats(-20, 60))
def test_a_rate_outside_the_tests_never_passes_the_fastest_tested_and_is_marked(temp):
    for points in (FROZEN, OPEN_ENDED):
        rate = points.rate_at(temp)
        low, high = points.tested_c
        assert 0 <= rate.per_day <= 1 / 5
        assert (rate.standing is Standing.TESTED) == (low <= temp <= high)


@given(st.floats(9, 38), st.integers(0, 30))
def test_the_window_is_in_order(usual, day):
    shown = forecast(usual=usual, day=day)
    days = [late(d) for d in (shown.p10_days, shown.p50_days, shown.p90_days)]
    assert days == sorted(days)
    if shown.p90_on is not None:
        assert shown.p10_on <= shown.p50_on <= shown.p90_on


def test_a_base_is_drawn_from_the_line_but_not_past_a_failed_test():
    # (10, 1/40) and (15, 1/16) meet nil at 10 - (1/40) / ((1/16 - 1/40) / 5) = 6.667 C.
    assert FROZEN.rate_at(6.6).standing is Standing.TOO_COLD
    assert FROZEN.rate_at(6.7).standing is Standing.NEAR_LIMIT
    steep = curve((10, NG), (15, 27), (20, 17))
    assert steep.rate_at(10).standing is Standing.TOO_COLD
    assert steep.rate_at(10.1).days is not None


def test_a_level_or_rising_edge_is_held_for_one_step_and_then_given_up():
    assert OPEN_ENDED.rate_at(28).days == pytest.approx(6)
    assert OPEN_ENDED.rate_at(28).standing is Standing.ABOVE_TESTED
    assert OPEN_ENDED.rate_at(31).days is None
    assert ForecastFlag.ABOVE_TESTED in forecast(OPEN_ENDED, usual=28).flags
    assert forecast(OPEN_ENDED, usual=31).p50_on is None
    assert forecast(OPEN_ENDED, usual=12).flags >= {ForecastFlag.BELOW_TESTED}


def test_optimum_spans_the_fastest_tests():
    assert FROZEN.optimum_c == (25, 30)


def test_bad_points_are_refused():
    with pytest.raises(ValueError, match="rise"):
        curve((10, 5), (10, 6))
    with pytest.raises(ValueError, match="came up"):
        curve((10, NG), (20, None))
    with pytest.raises(ValueError, match="days"):
        curve((10, 0))
    with pytest.raises(ValueError, match="percent"):
        curve((10, 5), percent=120)


def test_thermal_time_adds_up_over_the_days_logged():
    # 4 days at 20 C are 4/8; the rest at 25 C take (1/2) / (1/5) = 2.5 days.
    temps = [20.0] * 4 + [25.0] * 3
    assert forecast(day=7, readings=enumerate(temps)).p50_days == pytest.approx(6.5)
    shown = forecast(day=4, readings=enumerate(temps[:4]), usual=20.0)
    assert shown.progress == pytest.approx(0.5)


def test_a_gap_takes_the_usual_temperature_and_says_so():
    with_gap = forecast(day=4, readings=[(0, 20.0), (3, 20.0)], usual=10.0)
    assert with_gap.progress == pytest.approx(2 / 8 + 2 / 40)
    assert (with_gap.basis.days_logged, with_gap.basis.days_carried) == (2, 2)
    assert ForecastFlag.GAPS_CARRIED in with_gap.flags
    whole = forecast(day=4, readings=[(i, 20.0) for i in range(4)])
    assert ForecastFlag.GAPS_CARRIED not in whole.flags


def test_two_readings_on_a_day_are_averaged_and_later_ones_ignored():
    shown = forecast(day=1, readings=[(0, 15.0), (0, 25.0), (5, 40.0)])
    assert shown.progress == pytest.approx(1 / 8)
    assert shown.basis.days_logged == 1


def test_the_days_ahead_weigh_the_usual_temperature_as_two_days():
    shown = forecast(day=1, readings=[(0, 14.0)], usual=20.0)
    assert shown.basis.ahead_temp_c == pytest.approx((2 * 20 + 14) / 3)
    alone = forecast(day=1, readings=[(0, 14.0)], usual=None)
    assert alone.basis.ahead_temp_c == 14.0


def test_a_cold_shelf_will_not_come_up_until_it_is_warmed():
    cold = forecast(day=10, readings=[(i, 4.0) for i in range(10)], usual=4.0)
    assert cold.p50_on is None
    assert ForecastFlag.TOO_COLD in cold.flags
    assert watch(cold, today=SOWN_ON + timedelta(days=10), emerged=0) is Watch.WILL_NOT_COME
    warmed = forecast(day=10, readings=[(i, 4.0) for i in range(10)], usual=30.0)
    assert warmed.p50_on is not None
    assert ForecastFlag.TOO_COLD not in warmed.flags


def test_few_seedlings_at_a_temperature_are_pointed_out():
    poor = curve((15, 12), (25, 6), percent=28)
    good = curve((15, 12), (25, 6), percent=90)
    assert ForecastFlag.FEW_COME_UP in forecast(poor).flags
    assert ForecastFlag.FEW_COME_UP not in forecast(good).flags


def test_an_untested_temperature_is_not_called_hopeless():
    assert watch(forecast(OPEN_ENDED, usual=35), today=SOWN_ON, emerged=0) is Watch.NO_FORECAST
    assert watch(forecast(OPEN_ENDED, usual=1), today=SOWN_ON, emerged=0) is Watch.NO_FORECAST
    assert watch(forecast(usual=45), today=SOWN_ON, emerged=0) is Watch.WILL_NOT_COME


def test_a_crop_without_a_table_has_its_catalogue_range_and_says_so():
    shown = forecast(None, catalogue=CatalogueDays(low=7, high=14, source="cat"))
    assert shown.basis.kind is ForecastKind.CATALOGUE
    assert shown.basis.source == "cat"
    assert ForecastFlag.CATALOGUE_RANGE in shown.flags
    assert shown.p10_days <= 7
    assert shown.p90_days >= 14
    assert shown.p50_days == pytest.approx(math.sqrt(7 * 14))
    wide = forecast(None, catalogue=CatalogueDays(low=5, high=30, source="cat"))
    assert (wide.p10_days, wide.p90_days) == (pytest.approx(5), pytest.approx(30))


def test_without_any_temperature_the_range_is_used_and_that_is_said():
    shown = forecast(usual=None, catalogue=CatalogueDays(low=7, high=14, source="cat"))
    assert shown.basis.kind is ForecastKind.CATALOGUE
    assert ForecastFlag.NO_TEMPERATURE in shown.flags
    none = forecast(None, usual=None)
    assert none.basis.kind is ForecastKind.NONE
    assert none.flags == {ForecastFlag.NO_FIGURES}
    assert watch(none, today=SOWN_ON, emerged=0) is Watch.NO_FORECAST


@given(st.lists(st.tuples(st.floats(0.3, 3), st.integers(1, 60)), max_size=8))
def test_the_site_factor_lies_between_the_table_and_the_record(past):
    learned = site_factor(PastSowing(ratio=r, emerged=m) for r, m in past)
    logs = [0.0, *(math.log(r) for r, _ in past)]
    assert min(logs) - 1e-9 <= learned.log_factor <= max(logs) + 1e-9
    assert learned.sowings == len(past)
    assert learned.log_sd <= SiteFactor().log_sd


def test_a_slow_sowing_moves_the_site_half_way_when_sites_differ_as_sowings_do():
    learned = site_factor([PastSowing(ratio=1.5, emerged=10**9)], prior_sd=SOWING_LOG_SD)
    assert learned.factor == pytest.approx(math.sqrt(1.5))


def test_the_less_sure_a_curve_the_more_a_sowing_teaches():
    past = [PastSowing(ratio=1.5, emerged=20)]
    sure, unsure = (site_factor(past, prior_sd=prior_log_sd(sd)) for sd in (0.2, 0.45))
    assert 1 < sure.factor < unsure.factor < 1.5
    assert prior_log_sd(0) == SITE_LOG_SD


def test_looks_far_apart_teach_less_and_no_bias_towards_the_day_of_the_count():
    """Seen at 1.4 and not at 0.7: what is likely between the two, not 1.4."""
    apart, watched = (censored_ratio(low, 1.4, log_sd=0.4, emerged=20) for low in (0.7, 1.39))
    assert 0.7 < apart[0] < 1.1
    assert watched[0] == pytest.approx(1.395, rel=0.01)
    assert apart[1] < watched[1] <= 20
    assert 0 < censored_ratio(None, 1.4, log_sd=0.4, emerged=20)[0] < 1.4
    with pytest.raises(ValueError, match="bracket"):
        censored_ratio(0.5, 0.0, log_sd=0.4, emerged=3)


def test_a_colder_room_than_thought_widens_the_window_most_near_the_base():
    cold, warm = (temp_log_sd(FROZEN, temp, 2.5) for temp in (12.0, 27.0))
    assert warm < 0.1 < cold
    assert forecast(usual=12.0).basis.log_sd > forecast(usual=27.0).basis.log_sd


def test_few_seedlings_teach_less_than_many():
    few = site_factor([PastSowing(ratio=1.5, emerged=1)])
    many = site_factor([PastSowing(ratio=1.5, emerged=40)])
    assert 1 < few.factor < many.factor


def test_a_slow_site_is_forecast_later_and_more_closely():
    slow = site_factor([PastSowing(ratio=1.4, emerged=20)] * 6)
    shown, plain = forecast(site=slow), forecast()
    assert shown.p50_days == pytest.approx(plain.p50_days * slow.factor)
    assert shown.basis.log_sd < plain.basis.log_sd
    assert shown.basis.site.sowings == 6


@given(st.lists(st.floats(11, 34), min_size=8, max_size=60), st.floats(0.5, 2))
def test_the_ratio_learned_gives_the_observed_median_back(temps, factor):
    """Round trip: forecast with a factor, observe that median, learn that factor."""
    site = SiteFactor(log_factor=math.log(factor))
    readings = [DayTemp(on=SOWN_ON + timedelta(days=i), temp_c=t) for i, t in enumerate(temps)]
    shown = forecast_emergence(
        points=FROZEN,
        catalogue=None,
        sown_on=SOWN_ON,
        today=SOWN_ON + timedelta(days=len(temps)),
        readings=readings,
        site=site,
    )
    if shown.p50_days is None or shown.p50_days > len(temps):
        return
    ratio = thermal_ratio(FROZEN, sown_on=SOWN_ON, median_days=shown.p50_days, readings=readings)
    assert ratio == pytest.approx(factor)


def test_a_ratio_needs_some_temperature_that_lets_it_come_up():
    assert thermal_ratio(FROZEN, sown_on=SOWN_ON, median_days=9) is None
    assert thermal_ratio(FROZEN, sown_on=SOWN_ON, median_days=9, usual_temp_c=3.0) is None
    with pytest.raises(ValueError, match="median_days"):
        thermal_ratio(FROZEN, sown_on=SOWN_ON, median_days=0, usual_temp_c=20.0)
    with pytest.raises(ValueError, match="finished"):
        site_factor([PastSowing(ratio=0, emerged=3)])


def test_overdue_is_said_once_somebody_has_looked_after_the_90_percent_date():
    planned = forecast()
    assert planned.p90_on is not None
    days = (planned.p90_on - SOWN_ON).days + 6
    shown = forecast(day=days + 5)
    known = {"sown_on": SOWN_ON, "seeds": 12}
    after = SOWN_ON + timedelta(days=days)
    assert watch(shown, today=after, emerged=0, **known) is Watch.DUE
    on_it = planned.p90_on
    assert watch(shown, today=after, emerged=0, looked_on=on_it, **known) is Watch.DUE
    assert watch(shown, today=after, emerged=0, looked_on=after, **known) is Watch.OVERDUE
    assert watch(shown, today=after, emerged=1, looked_on=after, **known) is Watch.UP
    assert watch(forecast(), today=SOWN_ON, emerged=0) is Watch.WAITING
    # one seed alone may well be late
    one = {"sown_on": SOWN_ON, "seeds": 1}
    assert watch(shown, today=after, emerged=0, looked_on=after, **one) is Watch.DUE


def test_the_chance_of_nothing_yet_is_that_of_simulated_sowings():
    shown = forecast(day=14)
    rng = np.random.default_rng(3)
    seeds, runs, on = 12, 40_000, SOWN_ON + timedelta(days=9)
    common = rng.normal(0, shown.common_log_sd, (runs, 1))
    each = rng.normal(0, SEED_LOG_SD, (runs, round(LIVING_SHARE * seeds)))
    first = (common + each).min(axis=1)
    simulated = float(np.mean(first > math.log(shown.progress_by_day[9])))
    stated = chance_none_yet(shown, on=on, sown_on=SOWN_ON, seeds=seeds)
    assert stated == pytest.approx(simulated, abs=0.01)
    assert 0.05 < stated < 0.5


def test_a_window_shift_is_told_only_beyond_a_day():
    before = forecast(day=0, usual=20.0)
    cold = forecast(day=1, readings=[(0, 12.0)], usual=20.0)
    same = forecast(day=1, readings=[(0, 20.0)], usual=20.0)
    shift = window_shift(before, cold)
    assert shift is not None
    assert shift.p50_days > 1
    assert window_shift(before, same) is None
    back = window_shift(cold, before)
    assert back is not None
    assert back.p50_days == pytest.approx(-shift.p50_days)


def test_losing_the_window_altogether_is_a_shift():
    assert window_shift(forecast(usual=20.0), forecast(usual=2.0)) is not None
