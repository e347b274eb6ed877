"""Published freeze-date tables against the curve through some of their own dates.

Read at the agency: Toronto, Canadian Climate Normals 1991-2020, 0 °C (ECCC-TOR).
Read in a reprint that states no period, so unverified at the source: NCEI freeze normals
(NCEI-REPRINT). "10 %" is the chance on or after (last) or on or before (first) the date.
"""

from datetime import date

import pytest

from core.errors import FrostDatesOrder
from core.trade.frost.estimate import dates_from_levels, dates_from_typical
from core.trade.frost.seasons import FrostSide, Hemisphere, season_day
from core.trade.frost.spread import ASSUMED_SD_DAYS

NORTH = Hemisphere.NORTH
LAST, FIRST = FrostSide.LAST, FrostSide.FIRST
YEAR = 2021

TORONTO_LAST = {
    0.10: (5, 15),
    0.25: (5, 7),
    0.33: (5, 4),
    0.50: (4, 28),
    0.66: (4, 21),
    0.75: (4, 17),
    0.90: (4, 9),
}
TORONTO_FIRST = {
    0.10: (10, 1),
    0.25: (10, 10),
    0.33: (10, 13),
    0.50: (10, 19),
    0.66: (10, 26),
    0.75: (11, 1),
    0.90: (11, 11),
}
BOISE = dict(
    zip(
        [n / 10 for n in range(1, 10)],
        [(5, 30), (5, 23), (5, 18), (5, 14), (5, 10), (5, 7), (5, 2), (4, 28), (4, 21)],
        strict=True,
    )
)
REPRINT_LAST = {
    "Boise Air Terminal ID": ((5, 30), (5, 10), (4, 21)),
    "Milton-Freewater OR": ((4, 22), (4, 2), (3, 14)),
    "Headquarters ID": ((7, 7), (6, 13), (5, 21)),
    "Deer Flat Dam ID": ((5, 25), (4, 28), (3, 31)),
    "Arrowrock Dam ID": ((5, 20), (5, 2), (4, 14)),
    "Foster Dam OR": ((4, 25), (4, 3), (3, 12)),
    "Five Points CA": ((4, 17), (3, 6), (1, 23)),
}
FIVE_POINTS_28F = dict(
    zip(
        [n / 10 for n in range(1, 10)],
        [(3, 11), (2, 22), (2, 10), (1, 31), (1, 21), (1, 11), (12, 31), (12, 16), (11, 19)],
        strict=True,
    )
)
FIVE_POINTS_24F = {0.1: (2, 21), 0.2: (1, 28), 0.3: (1, 5), 0.4: (12, 1)}


def on(month_day):
    return date(YEAR, *month_day)


def through(table, levels, side=LAST, **given):
    return dates_from_levels({level: on(table[level]) for level in levels}, side, NORTH, **given)


def days_off(dates, table):
    """Largest distance, days, between our dates and the printed ones."""
    return max(
        abs(season_day(dates.date_at(level, YEAR), NORTH) - season_day(on(printed), NORTH))
        for level, printed in table.items()
    )


def test_the_dates_given_come_back():
    for table, side in ((TORONTO_LAST, LAST), (TORONTO_FIRST, FIRST)):
        dates = through(table, table, side)
        for level, printed in table.items():
            assert dates.date_at(level, YEAR) == on(printed)


def test_toronto_spring_between_its_three_dates_is_within_two_days():
    assert days_off(through(TORONTO_LAST, (0.1, 0.5, 0.9)), TORONTO_LAST) <= 2


def test_toronto_autumn_is_empirical_and_misses_the_normal_curve_by_up_to_three_days():
    off = days_off(through(TORONTO_FIRST, (0.1, 0.9), FIRST), TORONTO_FIRST)
    assert 2 <= off <= 3


def test_toronto_chance_on_a_published_date_is_its_level():
    dates = through(TORONTO_LAST, (0.1, 0.5, 0.9))
    assert dates.chance_on_or_after(date(2027, 5, 15)).fitted == pytest.approx(0.10)
    assert dates.chance_on_or_after(date(2027, 4, 28)).fitted == pytest.approx(0.50)
    assert dates.one_year_in(10, 2027) == date(2027, 5, 15)
    assert dates.chance_on_or_after(date(2027, 5, 15)).one_year_in == pytest.approx(10)


def test_toronto_median_season_is_as_printed_but_percentiles_do_not_subtract():
    spring, autumn = (
        through(TORONTO_LAST, TORONTO_LAST),
        through(TORONTO_FIRST, TORONTO_FIRST, FIRST),
    )
    assert (autumn.date_at(0.5, YEAR) - spring.date_at(0.5, YEAR)).days == 174
    printed_shortest_in_ten = 144
    assert (autumn.date_at(0.1, YEAR) - spring.date_at(0.1, YEAR)).days < printed_shortest_in_ten


@pytest.mark.parametrize("station", REPRINT_LAST)
def test_us_normals_follow_the_normal_curve_through_their_outer_dates(station):
    late, middle, early = REPRINT_LAST[station]
    table = {0.1: late, 0.5: middle, 0.9: early}
    assert days_off(through(table, (0.1, 0.9)), table) <= 1


def test_us_first_freeze_follows_the_normal_curve_too():
    table = {0.1: (9, 10), 0.5: (9, 23), 0.9: (10, 5)}  # Forman ND, same reprint
    assert days_off(through(table, (0.1, 0.9), FIRST), table) <= 1


def test_all_nine_boise_levels_come_from_two_dates():
    assert days_off(through(BOISE, (0.1, 0.9)), BOISE) <= 1


def test_a_mild_place_wraps_into_the_year_before():
    dates = through(FIVE_POINTS_28F, FIVE_POINTS_28F, threshold_c=-2.2)
    assert dates.date_at(0.9, 2021) == date(2020, 11, 19)
    assert dates.date_at(0.1, 2021) == date(2021, 3, 11)
    assert days_off(dates, FIVE_POINTS_28F) == 0


def test_where_many_seasons_hardly_freeze_three_dates_miss_the_rest_by_up_to_five_days():
    three = through(FIVE_POINTS_28F, (0.1, 0.5, 0.9), threshold_c=-2.2)
    assert 3 <= days_off(three, FIVE_POINTS_28F) <= 5


def test_levels_above_the_share_of_freezing_seasons_have_no_date():
    dates = through(FIVE_POINTS_24F, FIVE_POINTS_24F, share=0.45, threshold_c=-4.4)
    assert dates.date_at(0.4, 2021) == date(2020, 12, 1)
    assert dates.date_at(0.5, 2021) is None
    assert dates.safe_date(0.5, 2021) is None


def test_dates_given_in_the_wrong_direction_are_refused():
    with pytest.raises(FrostDatesOrder) as refused:
        dates_from_levels({0.1: date(2021, 4, 9), 0.9: date(2021, 5, 15)}, LAST, NORTH)
    assert refused.value.side == "last"
    with pytest.raises(FrostDatesOrder):
        dates_from_levels({0.1: date(2021, 11, 1), 0.9: date(2021, 10, 1)}, FIRST, NORTH)


@pytest.mark.parametrize(("table", "side"), [(TORONTO_LAST, LAST), (TORONTO_FIRST, FIRST)])
def test_the_assumed_spread_is_torontos(table, side):
    typical = dates_from_typical(on(table[0.5]), side, NORTH)
    assert typical.spread_assumed
    width = abs((typical.date_at(0.9, YEAR) - typical.date_at(0.1, YEAR)).days)
    printed = abs((on(table[0.9]) - on(table[0.1])).days)
    assert abs(width - printed) <= 1
    assert ASSUMED_SD_DAYS[side] * 2 * 1.2816 == pytest.approx(printed, abs=0.6)
