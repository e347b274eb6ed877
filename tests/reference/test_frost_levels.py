"""Plotting rules and leap years against numpy, statistics and worked arithmetic."""

from datetime import date, timedelta
from statistics import NormalDist, fmean, stdev

import numpy as np
import pytest

from core.trade.frost.estimate import dates_from_years
from core.trade.frost.seasons import FrostSide, Hemisphere

DAYS = [98, 101, 104, 105, 108, 110, 112, 115, 119, 126]  # invented days of the year
NORTH, LAST = Hemisphere.NORTH, FrostSide.LAST


def as_dates(days, year=2001):
    return [date(year, 1, 1) + timedelta(days=day - 1) for day in days]


def day_of(found):
    return found.timetuple().tm_yday


@pytest.fixture
def ten():
    return dates_from_years(as_dates(DAYS), LAST, NORTH)


@pytest.mark.parametrize(
    ("level", "weibull", "normal"), [(0.1, 125.3, 120.7), (0.5, 109.0, 109.8), (0.9, 98.3, 98.9)]
)
def test_ten_seasons_give_the_worked_levels(ten, level, weibull, normal):
    assert np.quantile(DAYS, 1 - level, method="weibull") == pytest.approx(weibull, abs=0.05)
    curve = NormalDist(fmean(DAYS), stdev(DAYS))
    assert curve.inv_cdf(1 - level) == pytest.approx(normal, abs=0.05)
    assert day_of(ten.empirical_date_at(level, 2001)) == round(weibull)
    assert day_of(ten.date_at(level, 2001)) == round(normal)


def test_other_plotting_rules_would_move_the_safe_date_by_days():
    rules = ("linear", "hazen", "median_unbiased", "weibull")
    late = [float(np.quantile(DAYS, 0.9, method=rule)) for rule in rules]
    assert late == pytest.approx([119.7, 122.5, 123.4, 125.3], abs=0.05)


def test_two_seasons_without_frost_take_away_the_early_date():
    mixed = dates_from_years([*as_dates(DAYS), None, None], LAST, NORTH)
    assert mixed.share == pytest.approx(10 / 12)
    assert mixed.date_at(0.9, 2001) is None
    assert mixed.empirical_date_at(0.9, 2001) is None
    curve = NormalDist(fmean(DAYS), stdev(DAYS))
    assert day_of(mixed.date_at(0.5, 2001)) == round(curve.inv_cdf(1 - 0.6))
    conditional = np.quantile(DAYS, 1 - 0.6, method="weibull")
    assert day_of(mixed.empirical_date_at(0.5, 2001)) == round(float(conditional))


def test_nine_seasons_resolve_no_empirical_level_and_ten_resolve_down_to_one_in_eleven(ten):
    nine = dates_from_years(as_dates(DAYS[:9]), LAST, NORTH)
    assert nine.empirical_date_at(0.1, 2001) is None
    assert nine.empirical_date_at(0.5, 2001) is None
    assert ten.empirical_date_at(0.1, 2001) is not None
    assert ten.empirical_date_at(0.09, 2001) is None


@pytest.mark.parametrize("month_day", [(2, 27), (3, 1), (4, 15), (5, 31), (10, 15), (12, 31)])
@pytest.mark.parametrize("hemisphere", list(Hemisphere))
@pytest.mark.parametrize("side", list(FrostSide))
def test_a_date_averages_to_itself_over_a_common_and_a_leap_year(month_day, hemisphere, side):
    dates = dates_from_years([date(2023, *month_day), date(2024, *month_day)], side, hemisphere)
    found = [dates.usual_date(year) for year in (2023, 2024, 2025)]
    assert {(day.month, day.day) for day in found} == {month_day}


def test_raw_days_of_the_year_would_not_average_to_the_date():
    raw = fmean(date(year, 4, 15).timetuple().tm_yday for year in (2023, 2024))
    assert raw != day_of(date(2023, 4, 15))


def test_29_february_counts_as_28_february():
    dates = dates_from_years([date(2024, 2, 29)] * 3, LAST, NORTH)
    assert dates.usual_date(2028) == date(2028, 2, 28)
