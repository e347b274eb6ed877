"""Laws of the emergence forecast, on a small frozen table."""

from __future__ import annotations

import math
from datetime import date, timedelta

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
    thermal_ratio,
)
from core.trade.emergence.watch import Watch, overdue, watch, window_shift

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


def test_a_hopeless_temperature_with_seedlings_in_the_other_table_is_in_doubt():
    def rows(percent_at_25):
        return EmergencePoints(
            points=(
                EmergencePoint(temp_c=15, days=12, percent=90),
                EmergencePoint(temp_c=20, days=7, percent=97),
                EmergencePoint(temp_c=25, days=NG, percent=percent_at_25),
            ),
            source="frozen",
        )

    doubtful = forecast(rows(65), usual=25.0)
    assert doubtful.flags >= {ForecastFlag.TOO_HOT, ForecastFlag.TABLES_DISAGREE}
    assert ForecastFlag.TABLES_DISAGREE not in forecast(rows(0), usual=25.0).flags
    assert ForecastFlag.TABLES_DISAGREE not in forecast(rows(65), usual=20.0).flags


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


def test_two_big_slow_sowings_move_the_site_half_way():
    # Prior weight 2 against two sowings with next to no noise of their own.
    learned = site_factor([PastSowing(ratio=1.5, emerged=10**9)] * 2)
    assert learned.factor == pytest.approx(math.sqrt(1.5))


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


def test_overdue_begins_the_day_after_the_90_percent_date():
    shown = forecast()
    assert shown.p90_on is not None
    on_it, after = shown.p90_on, shown.p90_on + timedelta(days=1)
    assert not overdue(shown, today=on_it, emerged=0)
    assert watch(shown, today=on_it, emerged=0) is Watch.DUE
    assert overdue(shown, today=after, emerged=0)
    assert not overdue(shown, today=after, emerged=1)
    assert watch(shown, today=SOWN_ON, emerged=0) is Watch.WAITING


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
