"""Frost dates as a distribution: laws, seasons, sampling error, round trips."""

import json
import math
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from core.errors import HemisphereUnknown, NoSeasonsInRecord
from core.trade.frost.dates import FrostBasis
from core.trade.frost.estimate import (
    dates_from_levels,
    dates_from_record,
    dates_from_typical,
    dates_from_years,
)
from core.trade.frost.seasons import (
    FrostSide,
    Hemisphere,
    frost_record,
    hemisphere_at,
    hemisphere_shown,
    season_date,
    season_day,
    season_year,
)
from core.trade.frost.spread import ASSUMED_SD_DAYS
from core.trade.frost.store import frost_from_values, frost_values

NORTH, SOUTH = Hemisphere.NORTH, Hemisphere.SOUTH
LAST, FIRST = FrostSide.LAST, FrostSide.FIRST


def chance(frost, day, year):
    if frost.side is LAST:
        return frost.chance_on_or_after(day, year=year)
    return frost.chance_on_or_before(day, year=year)


@st.composite
def frosts(draw):
    side = draw(st.sampled_from(FrostSide))
    hemisphere = draw(st.sampled_from(Hemisphere))
    kind = draw(st.sampled_from(["years", "levels", "typical"]))
    if kind == "typical":
        day = draw(st.dates(date(2001, 1, 1), date(2001, 12, 31)))
        return dates_from_typical(day, side, hemisphere, level=draw(st.sampled_from([0.1, 0.5])))
    if kind == "levels":
        share = draw(st.sampled_from([1.0, 0.95]))
        days = sorted(draw(st.sets(st.integers(60, 330), min_size=3, max_size=3)))
        late_first = days[::-1] if side is LAST else days
        given_dates = [season_date(day, 2021, hemisphere, side) for day in late_first]
        levels = dict(zip((0.1, 0.5, 0.9), given_dates, strict=True))
        return dates_from_levels(levels, side, hemisphere, share=share)
    days = draw(st.lists(st.none() | st.integers(60, 330), min_size=1, max_size=40))
    return dates_from_years(
        [None if d is None else season_date(d, 2021, hemisphere, side) for d in days],
        side,
        hemisphere,
    )


@given(frosts(), st.integers(0, 363), st.integers(1, 120))
def test_a_later_date_is_never_riskier_in_spring_nor_safer_in_autumn(frost, number, later_by):
    later = min(number + later_by, 364)
    early, late = (
        chance(frost, season_date(n, 2027, frost.hemisphere, frost.side), 2027)
        for n in (number, later)
    )
    if frost.side is FIRST:
        early, late = late, early
    assert late.fitted <= early.fitted + 1e-12
    if frost.n_seasons is not None:
        assert late.empirical <= early.empirical


@given(frosts(), st.dates(date(2026, 1, 1), date(2028, 12, 31)))
def test_chances_and_intervals_stay_proportions_in_order(frost, day):
    found = chance(frost, day, 2027)
    assert 0 <= found.fitted <= frost.share <= 1
    if frost.n_seasons is None:
        assert (found.empirical, found.fitted_interval, found.empirical_interval) == (None,) * 3
        return
    assert 0 <= found.fitted_interval.low <= found.fitted <= found.fitted_interval.high <= 1
    assert (
        0 <= found.empirical_interval.low <= found.empirical <= found.empirical_interval.high <= 1
    )


@given(frosts(), st.floats(0.02, 0.97), st.floats(0.005, 0.5))
def test_a_safer_level_never_has_a_riskier_date(frost, level, safer_by):
    safe, usual = max(level - safer_by, 0.01), level
    for at in (frost.date_at, frost.safe_date):
        careful, ordinary = at(safe, 2027), at(usual, 2027)
        if ordinary is None:
            assert usual >= frost.share
            continue
        assert careful >= ordinary if frost.side is LAST else careful <= ordinary


@given(frosts(), st.floats(0.02, 0.98))
def test_the_date_of_a_level_has_that_chance_to_within_half_a_day(frost, level):
    found = frost.date_at(level, 2027)
    assert (found is None) == (level >= frost.share)
    if found is None or season_year(found, frost.hemisphere, frost.side) != 2027:
        return
    near = [found + timedelta(days=n) for n in (-1, 1)]
    if any(season_year(day, frost.hemisphere, frost.side) != 2027 for day in near):
        return
    if (near[1].month, near[1].day) == (2, 29):
        near[1] = date(near[1].year, 3, 1)  # 29 February counts as 28
    around = sorted(chance(frost, day, 2027).fitted for day in near)
    assert around[0] - 1e-9 <= level <= around[1] + 1e-9


@given(frosts(), st.sampled_from([0.05, 0.1, 0.2, 0.5]))
def test_the_safe_date_is_the_first_day_no_riskier_than_its_level(frost, level):
    safe = frost.safe_date(level, 2027)
    if safe is None:
        assert frost.share <= level
        return
    riskier = safe - timedelta(days=1) if frost.side is LAST else safe + timedelta(days=1)
    if season_year(riskier, frost.hemisphere, frost.side) != 2027:
        return
    if season_year(safe, frost.hemisphere, frost.side) == 2027:
        assert chance(frost, safe, 2027).fitted <= level + 1e-6
    assert chance(frost, riskier, 2027).fitted > level - 1e-6


@given(frosts())
def test_stored_values_give_the_same_distribution_back(frost):
    assert frost_from_values(json.loads(json.dumps(frost_values(frost)))) == frost


@given(
    st.dates(date(1900, 1, 1), date(2100, 12, 31)),
    st.sampled_from(Hemisphere),
    st.sampled_from(FrostSide),
)
def test_a_date_round_trips_through_its_season_day(day, hemisphere, side):
    year = season_year(day, hemisphere, side)
    back = season_date(season_day(day, hemisphere), year, hemisphere, side)
    leap_day = (day.month, day.day) == (2, 29)
    assert back == (day - timedelta(days=1) if leap_day else day)


@pytest.mark.parametrize(
    ("day", "hemisphere", "spring", "autumn"),
    [
        (date(2026, 12, 20), NORTH, 2027, 2026),
        (date(2027, 4, 20), NORTH, 2027, 2026),
        (date(2027, 8, 1), NORTH, 2028, 2027),
        (date(2027, 7, 20), SOUTH, 2027, 2027),
        (date(2027, 10, 5), SOUTH, 2027, 2027),
        (date(2028, 1, 31), SOUTH, 2027, 2027),
        (date(2028, 2, 1), SOUTH, 2028, 2028),
    ],
)
def test_a_cold_season_is_named_after_its_spring_or_its_autumn(day, hemisphere, spring, autumn):
    assert season_year(day, hemisphere, LAST) == spring
    assert season_year(day, hemisphere, FIRST) == autumn


def minima_of(first, last, frosty=(), gaps=(), warm=8.0):
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return [(d, None if d in gaps else 0.0 if d in frosty else warm) for d in days]


def days_from(first, n):
    return {first + timedelta(days=k) for k in range(n)}


def test_a_december_frost_can_be_the_last_of_the_cold_season():
    record = frost_record(
        minima_of(date(2019, 8, 1), date(2021, 7, 31), {date(2019, 12, 24), date(2021, 1, 9)}),
        NORTH,
    )
    frost = dates_from_record(record, LAST)
    assert frost.n_seasons == 2
    assert [season_date(d, 2021, NORTH, LAST) for d in frost.days] == [
        date(2020, 12, 24),
        date(2021, 1, 9),
    ]


def test_in_the_south_the_season_turns_in_february():
    frosty = {date(2020, 5, 2), date(2020, 9, 28), date(2021, 6, 1), date(2021, 10, 4)}
    record = frost_record(minima_of(date(2020, 2, 1), date(2022, 1, 31), frosty), SOUTH)
    last, first = dates_from_record(record, LAST), dates_from_record(record, FIRST)
    assert last.usual_date(2027) == date(2027, 10, 1)
    assert first.usual_date(2027) == date(2027, 5, 17)
    assert last.chance_on_or_after(date(2027, 10, 3), year=2027).empirical == 0.5
    assert first.chance_on_or_before(date(2027, 5, 10), year=2027).empirical == 0.5


@pytest.mark.parametrize(("missing", "counts"), [(10, True), (11, False)])
def test_more_than_ten_missing_days_before_the_frost_set_the_season_aside(missing, counts):
    span = (date(2020, 8, 1), date(2021, 7, 31))
    after = days_from(date(2021, 5, 1), missing)
    [season] = frost_record(minima_of(*span, {date(2021, 4, 1)}, after), NORTH).seasons
    assert season.counts(LAST) is counts
    assert season.counts(FIRST)
    before = days_from(date(2020, 9, 1), missing)
    [season] = frost_record(minima_of(*span, {date(2020, 11, 1)}, before), NORTH).seasons
    assert season.counts(FIRST) is counts


def test_a_season_without_frost_counts_only_when_nearly_complete():
    span = (date(2020, 8, 1), date(2022, 7, 31))
    gaps = days_from(date(2020, 12, 1), 11)
    record = frost_record(minima_of(*span, set(), gaps), NORTH)
    frost = dates_from_record(record, LAST)
    assert (frost.n_seasons, frost.n_without_frost, frost.n_set_aside) == (1, 1, 1)


def test_a_record_with_no_season_to_count_says_how_many_days_it_has():
    record = frost_record(minima_of(date(2021, 5, 1), date(2021, 5, 20)), NORTH)
    with pytest.raises(NoSeasonsInRecord) as refused:
        dates_from_record(record, LAST)
    assert refused.value.days == 20


def test_zero_is_a_frost_unless_asked_otherwise():
    days = minima_of(date(2020, 8, 1), date(2021, 7, 31), {date(2021, 4, 1)})
    assert frost_record(days, NORTH).seasons[0].last_frost == date(2021, 4, 1)
    assert frost_record(days, NORTH, inclusive=False).seasons[0].last_frost is None
    assert frost_record(days, NORTH, threshold_c=-2.0).seasons[0].last_frost is None


def test_the_hemisphere_comes_from_latitude_or_the_record():
    assert (hemisphere_at(43.7), hemisphere_at(0.0), hemisphere_at(-37)) == (NORTH, NORTH, SOUTH)
    with pytest.raises(ValueError, match="latitude"):
        hemisphere_at(91)
    equator = minima_of(date(2020, 1, 1), date(2020, 12, 31))
    with pytest.raises(HemisphereUnknown):
        hemisphere_shown(equator)
    with pytest.raises(HemisphereUnknown):
        hemisphere_shown(equator[:100])
    warm_january = [(d, 15.0 if d.month == 1 else 5.0) for d, _ in equator]
    assert hemisphere_shown(warm_january) is SOUTH


def test_few_frosts_take_the_assumed_spread_and_say_so():
    few = dates_from_years([date(2001, 4, d) for d in (10, 11, 12)], LAST, NORTH)
    many = dates_from_years([date(2001, 4, d) for d in (10, 11, 12)] * 4, LAST, NORTH)
    assert few.spread_assumed
    assert not many.spread_assumed
    width = few.date_at(0.1, 2027) - few.date_at(0.9, 2027)
    assert width.days == pytest.approx(2 * 1.2816 * ASSUMED_SD_DAYS[LAST], abs=1)
    assert (many.date_at(0.1, 2027) - many.date_at(0.9, 2027)).days <= 3
    wide = dates_from_years([date(2001, 3, 1), date(2001, 5, 30)], LAST, NORTH)
    assert not wide.spread_assumed


def test_a_typical_date_may_be_given_at_any_level():
    safe = dates_from_typical(date(2021, 5, 15), LAST, NORTH, level=0.1)
    assert safe.basis is FrostBasis.TYPICAL_DATE
    assert safe.date_at(0.1, 2027) == date(2027, 5, 15)
    assert safe.date_at(0.5, 2027) == date(2027, 4, 27)
    with pytest.raises(ValueError, match="level"):
        dates_from_typical(date(2021, 5, 15), LAST, NORTH, level=1.0)


def test_outside_the_season_the_chance_is_none_or_all():
    frost = dates_from_typical(date(2021, 4, 20), LAST, NORTH)
    assert frost.chance_on_or_after(date(2027, 8, 1), year=2027).fitted == 0
    assert frost.chance_on_or_after(date(2026, 7, 31), year=2027).fitted == 1
    autumn = dates_from_typical(date(2021, 10, 20), FIRST, NORTH)
    assert autumn.chance_on_or_before(date(2028, 8, 1), year=2027).fitted == 1
    assert autumn.chance_on_or_before(date(2027, 7, 31), year=2027).fitted == 0


def test_the_wrong_side_or_level_is_the_callers_mistake():
    last = dates_from_typical(date(2021, 4, 20), LAST, NORTH)
    first = dates_from_typical(date(2021, 10, 20), FIRST, NORTH)
    with pytest.raises(ValueError, match="first frosts"):
        last.chance_on_or_before(date(2027, 4, 1))
    with pytest.raises(ValueError, match="last frosts"):
        first.chance_on_or_after(date(2027, 4, 1))
    for level in (0.0, 1.0):
        with pytest.raises(ValueError, match="level"):
            last.date_at(level, 2027)
        with pytest.raises(ValueError, match="level"):
            last.empirical_date_at(level, 2027)
    with pytest.raises(ValueError, match="no seasons"):
        dates_from_years([], LAST, NORTH)
    with pytest.raises(ValueError, match="share"):
        dates_from_levels({0.5: date(2021, 4, 1), 0.95: date(2021, 3, 1)}, LAST, NORTH, share=0.9)


@pytest.mark.parametrize("share", [1.0, 0.8])
@pytest.mark.parametrize("n", [15, 30])
def test_the_fitted_interval_covers_the_truth_nearly_as_often_as_it_says(n, share):
    """1500 invented records a case; 95 % intended, 91-98 % accepted for so few seasons."""
    rng = np.random.default_rng(20270301)
    mean, sd, runs = 250.0, 12.0, 1500
    days = [season_date(int(mean + z * sd), 2027, NORTH, LAST) for z in (-0.5, 0.5, 1.25)]
    truth = [share * norm.sf(season_day(d, NORTH), mean, sd) for d in days]
    hits = np.zeros(len(days))
    for _ in range(runs):
        drawn = np.rint(rng.normal(mean, sd, n)).astype(int)
        froze = rng.random(n) < share
        frost = dates_from_years(
            [
                season_date(int(d), 2027, NORTH, LAST) if f else None
                for d, f in zip(drawn, froze, strict=True)
            ],
            LAST,
            NORTH,
        )
        for k, day in enumerate(days):
            found = frost.chance_on_or_after(day).fitted_interval
            hits[k] += found.low <= truth[k] <= found.high
    assert all(0.91 <= share_hit <= 0.98 for share_hit in hits / runs), hits / runs


def test_one_year_in_is_the_inverse_of_the_chance():
    frost = dates_from_typical(date(2021, 4, 20), LAST, NORTH)
    day = frost.one_year_in(20, 2027)
    assert day == frost.date_at(0.05, 2027)
    years = frost.chance_on_or_after(day).one_year_in
    assert math.isclose(years, 20, rel_tol=0.1)
