"""Files of daily minima: headings, units, dates, gaps and absurd values."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import (
    FrostFileDatesAmbiguous,
    FrostFileManyStations,
    FrostFileUnitUnknown,
    FrostFileUnreadable,
    UserError,
)
from core.trade.frost.absurd import AbsurdRule, absurd_values
from core.trade.frost.file import UnitBasis, read_minima, to_celsius
from core.trade.frost.headers import LAYOUTS, TempUnit, find_table, split_unit

C, F, TENTHS = TempUnit.CELSIUS, TempUnit.FAHRENHEIT, TempUnit.TENTHS_CELSIUS

# One invented excerpt in each style; each holds 1 March (-1.5 °C) and 2 March 2021 (0 °C).
STYLES = {
    "ghcn order in °F": ("STATION,NAME,DATE,TMIN (F)\nX1,A,2021-03-01,29.3\nX1,A,2021-03-02,32", F),
    "Canada": (
        '\ufeff"Station Name","Climate ID","Date/Time","Year","Month","Day","Max Temp (°C)",'
        '"Min Temp (°C)"\n"A","1","2021-03-01","2021","03","01","4.0","-1.5"\n'
        '"A","1","2021-03-02","2021","03","02","5.0","0.0"\n',
        C,
    ),
    "Australia": (
        "Product code,Bureau of Meteorology station number,Year,Month,Day,"
        "Minimum temperature (Degree C),Quality\nP,070,2021,03,01,-1.5,Y\nP,070,2021,03,02,0,Y\n",
        C,
    ),
    "Germany": (
        "STATIONS_ID;MESS_DATUM;QN_3; TXK; TNK; TGK;eor\n"
        "  44;20210301;   10;  4.1; -1.5; -3.0;eor\n  44;20210302;   10;  4.1;  0.0;-999;eor\n",
        C,
    ),
    "Europe, tenths": (
        "EUROPEAN DATA\n\nTHIS IS FREE TEXT, with a comma\n\n"
        "STAID, SOUID,    DATE,   TN, Q_TN\n 1, 35381,20210301,  -15,    0\n"
        " 1, 35381,20210302,    0,    0\n 1, 35381,20210303,-9999,    9\n",
        TENTHS,
    ),
    "Netherlands": (
        "# DATA\n# TN : minimum (0.1 degrees)\n# STN,YYYYMMDD,   TN,   TX\n"
        "  260,20210301,  -15,   40\n  260,20210302,    0,   50\n",
        TENTHS,
    ),
    "France": (
        "NUM_POSTE;NOM_USUEL;AAAAMMJJ;RR;TN;QTN\n1;A;20210301;0;-1.5;1\n1;A;20210302;0;0.0;1\n",
        C,
    ),
    "decimal comma": ("Datum;Tmin (°C)\n01.03.2021;-1,5\n02.03.2021;0,0\n", C),
    "tabs and a units row": ("date\ttmin\n\tdegF\n2021-03-01\t29.3\n2021-03-02\t32.0\n", F),
    "quoted decimal comma": ('date,tmin_c\n2021-03-01,"-1,5"\n2021-03-02,"0,0"\n', C),
    "day first": ("date,tmin_c\n01/03/2021,-1.5\n02/03/2021,0\n13/03/2021,\n", C),
    "month first": ("date,tmin_c\n3/1/2021,-1.5\n3/2/2021,0\n3/13/2021,M\n", C),
    "times": ("time;min °C\n2021-03-01T00:00;-1.5\n2021-03-02 00:00;0\n", C),
    "year, month, day": ("Year,Month,Day,Low (F)\n2021,3,1,29.3\n2021,3,2,32\n", F),
}


@pytest.mark.parametrize("style", STYLES)
def test_each_style_reads_to_the_same_two_days(style):
    content, unit = STYLES[style]
    for form in (content, content.encode("utf-8"), content.replace("\n", "\r\n")):
        read = read_minima(form)
        assert read.days[:2] == ((date(2021, 3, 1), -1.5), (date(2021, 3, 2), 0.0))
        assert read.unit_read is unit


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_other_encodings_read_too(encoding):
    content, _ = STYLES["Canada"]
    read = read_minima(content.lstrip("\ufeff").encode(encoding))
    assert read.days[0] == (date(2021, 3, 1), -1.5)


@pytest.mark.parametrize("layout", LAYOUTS.rows(), ids=lambda row: row.id)
def test_each_layout_row_is_found_by_its_example(layout):
    table = find_table(layout.example + "\n" + layout.example)
    assert split_unit(table.column)[0] == layout.minimum_column
    assert table.layout_unit is layout.unit
    names = [split_unit(cell)[0] for cell in table.header]
    assert tuple(names[at] for at in table.date_at) == layout.date_columns


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("Min Temp (°C)", "min temp", C),
        ("Minimum temperature (Degree C)", "minimum temperature", C),
        ("tmin (deg c)", "tmin", C),
        ("Tmin [0.1 °C]", "tmin", TENTHS),
        ("TMIN_F", "tmin", F),
        ("Low °F", "low", F),
        ("MESS_DATUM", "mess_datum", TempUnit.UNKNOWN),
        ("basic", "basic", TempUnit.UNKNOWN),
    ],
)
def test_a_heading_parts_into_name_and_unit(heading, name, unit):
    assert split_unit(heading) == (name, unit)


def year_of(minima, heading="date,tmin"):
    start = date(2021, 1, 1)
    lines = [f"{start + timedelta(days=n)},{value}" for n, value in enumerate(minima)]
    return "\n".join([heading, *lines])


def test_a_short_file_without_a_unit_asks():
    with pytest.raises(FrostFileUnitUnknown) as asked:
        read_minima("date,tmin\n2021-03-01,29.3\n2021-03-02,32.0\n")
    assert (asked.value.column, asked.value.lowest, asked.value.highest) == ("tmin", 29.3, 32.0)


def test_the_persons_unit_settles_it_and_overrules_the_heading():
    read = read_minima("date,tmin\n2021-03-01,29.3\n2021-03-02,32.0\n", unit=F)
    assert (read.days[0][1], read.unit_basis) == (-1.5, UnitBasis.GIVEN)
    assert read_minima("date,tmin_f\n2021-03-01,1\n", unit=C).days[0][1] == 1.0


@pytest.mark.parametrize(
    ("minima", "unit"),
    [
        ([60 - abs(n - 180) // 4 for n in range(365)], F),
        ([18.5 - abs(n - 180) // 8 for n in range(365)], C),
        ([180 - abs(n - 180) for n in range(365)], TENTHS),
    ],
)
def test_values_of_a_year_tell_the_unit(minima, unit):
    read = read_minima(year_of(minima))
    assert (read.unit_read, read.unit_basis) == (unit, UnitBasis.VALUES)


def test_a_year_that_fits_both_units_asks():
    with pytest.raises(FrostFileUnitUnknown):
        read_minima(year_of([40 - abs(n - 180) // 6 for n in range(365)]))


def test_freezing_point_is_zero_exactly_in_every_unit():
    assert to_celsius(32.0, F) == to_celsius(0, TENTHS) == to_celsius(0, C) == 0.0
    with pytest.raises(ValueError, match="unit"):
        to_celsius(1.0, TempUnit.UNKNOWN)


def test_gaps_blanks_and_codes_count_as_missing():
    read = read_minima(
        "date,tmin_c\n2021-03-01,1\n2021-03-02,\n2021-03-03,-9999\n2021-03-06,M\n2021-03-07,2\n"
    )
    assert read.missing_days == 5
    assert [day for day, _ in read.days] == [date(2021, 3, n) for n in range(1, 8)]


def test_of_two_rows_for_a_day_the_colder_stands_and_is_counted():
    read = read_minima("date,tmin_c\n2021-03-01,1\n2021-03-01,-2\n2021-03-01,\n2021-03-02,3\n")
    assert (read.days[0][1], read.duplicates) == (-2.0, 2)


def test_rows_without_a_date_are_counted_not_guessed():
    read = read_minima(
        "date,tmin_c\n2021-03-01,1\n2021-02-30,-2\ntotal,9\n2021-03-02,3\n2021-03-03,1"
    )
    assert (len(read.days), read.unreadable_rows) == (3, 2)


def test_dates_that_read_both_ways_ask():
    with pytest.raises(FrostFileDatesAmbiguous) as asked:
        read_minima("date,tmin_c\n01/02/2021,1\n02/03/2021,2\n")
    assert asked.value.example == "01/02/2021"


def test_several_places_ask_which_and_one_named_is_read():
    content = "station,date,tmin_c\nA,2021-03-01,1\nB,2021-03-01,2\n"
    with pytest.raises(FrostFileManyStations) as asked:
        read_minima(content)
    assert asked.value.stations == ("A", "B")
    assert read_minima(content, station="b").days == ((date(2021, 3, 1), 2.0),)
    with pytest.raises(FrostFileManyStations):
        read_minima(content, station="C")


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        ("", "empty"),
        ("\n \n", "empty"),
        ("a,b\n1,2\n", "no_date_column"),
        ("date,rain\n2021-03-01,2\n", "no_minimum_column"),
        ("date,tmin_c\nMonday,2\nTuesday,3\n", "dates"),
        ("date,tmin_c\n2021-03-01,\n", "no_values"),
        ("date,tmin_c\n", "no_values"),
        ("hello there", "no_date_column"),
    ],
)
def test_an_unreadable_file_says_why(content, reason):
    with pytest.raises(FrostFileUnreadable) as refused:
        read_minima(content)
    assert refused.value.reason == reason


def test_two_bare_columns_need_only_a_unit():
    read = read_minima("2021-03-01;-1,5\n2021-03-02;0\n", unit=C)
    assert read.days == ((date(2021, 3, 1), -1.5), (date(2021, 3, 2), 0.0))


def by_day(*values, start=date(2021, 3, 1)):
    return {start + timedelta(days=n): value for n, value in enumerate(values)}


def test_a_value_not_on_earth_is_absurd_and_dropped():
    found = absurd_values(by_day(1.0, 61.0, -91.0, 60.0))
    assert [a.rule for a in found][:2] == [AbsurdRule.NOT_ON_EARTH] * 2
    read = read_minima("date,tmin_c\n2021-03-01,1\n2021-03-02,-95\n2021-03-03,2\n")
    assert read.days[1] == (date(2021, 3, 2), None)
    assert (read.missing_days, read.absurd[0].min_c) == (1, -95.0)


def test_a_spike_needs_twenty_five_degrees_from_both_neighbours():
    assert [a.rule for a in absurd_values(by_day(10.0, -15.0, 10.0))] == [AbsurdRule.SPIKE]
    assert [a.rule for a in absurd_values(by_day(5.0, 30.0, 4.0))] == [AbsurdRule.SPIKE]
    assert absurd_values(by_day(10.0, -14.9, 10.0)) == ()
    assert absurd_values(by_day(5.0, 29.9, 4.0)) == ()
    assert absurd_values(by_day(10.0, -15.0, -15.0)) == ()
    assert absurd_values(by_day(10.0, -15.0)) == ()


def test_a_lasting_impossible_cold_is_an_outlier_of_its_month():
    ordinary = {date(y, 7, d): 15.0 + d % 5 for y in range(2010, 2015) for d in range(1, 32)}
    cold = {date(2014, 7, 10): -6.0, date(2014, 7, 11): -6.0}
    assert [a.rule for a in absurd_values(ordinary | cold)] == [AbsurdRule.OUTLIER] * 2
    cool = {date(2014, 7, 10): 3.0, date(2014, 7, 11): 3.0}
    assert absurd_values(ordinary | cool) == ()


@given(st.text(alphabet='0123456789-/;,.\tdatetmin cf\n"°#', max_size=300))
def test_no_text_raises_anything_but_a_user_error(content):
    for form in (content, "date,tmin_c\n" + content):
        try:
            read = read_minima(form)
        except UserError:
            continue
        assert read.days


@given(
    st.lists(st.none() | st.integers(-300, 300), min_size=1, max_size=60).filter(any),
    st.sampled_from([",", ";", "\t"]),
)
def test_what_is_written_is_read_back(tenths, delimiter):
    start = date(2020, 2, 20)
    lines = [
        f"{start + timedelta(days=n)}{delimiter}{'' if t is None else t / 10}"
        for n, t in enumerate(tenths)
    ]
    read = read_minima(f"date{delimiter}tmin_c\n" + "\n".join(lines))
    absurd = {a.day for a in read.absurd}
    for day, value in read.days:
        written = tenths[(day - start).days]
        assert value == (None if written is None or day in absurd else written / 10)
