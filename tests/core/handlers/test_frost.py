"""Frost dates through the handler: the core's own figures, honest words, nothing lost."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from core.errors import (
    FrostDateOffSeason,
    FrostDatesOrder,
    FrostFileUnitUnknown,
    FrostFileUnreadable,
    HemisphereUnknown,
    NoFrostYet,
)
from core.replies.frost import FrostSaid
from core.requests import SetFrost, SetSite, SetTray, Sow, Where
from core.trade.frost.estimate import dates_from_levels, dates_from_record, dates_from_typical
from core.trade.frost.file import read_minima
from core.trade.frost.seasons import FrostSide, Hemisphere, frost_record
from core.trade.frost.store import frost_from_values
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
LATE, MIDDLE, EARLY = date(2027, 5, 15), date(2027, 4, 28), date(2027, 4, 9)


def daily(first_year: int, last_year: int, *, south: bool = False, warm: float = 0.0) -> str:
    """An invented record in °C: one cold season a year, its last frost moving with the year."""
    rows = ["date,tmin_c"]
    day = date(first_year, 1, 1)
    while day <= date(last_year, 12, 31):
        of_year = day.timetuple().tm_yday + (182 if south else 0)
        off = abs((of_year - 15 + 182) % 365 - 182)  # days from midwinter
        shift = 6 * ((day.year * 7) % 5)
        low = -8.0 + warm + (off - shift) / 7.5
        rows.append(f"{day.isoformat()},{low:.1f}")
        day += timedelta(days=1)
    return "\n".join(rows) + "\n"


def said(group: OneGroup, request: SetFrost) -> FrostSaid:
    reply = group.ask(request)
    assert isinstance(reply, FrostSaid)
    return reply


def test_nothing_to_show_says_how_to_set_it() -> None:
    group = OneGroup(AT)
    with pytest.raises(NoFrostYet):
        group.ask(SetFrost())
    assert "/frost 28 April" in group.hear(SetFrost()).text


def test_one_date_is_kept_as_core_reckons_it_and_says_its_spread_is_assumed() -> None:
    group = OneGroup(AT)
    reply = said(group, SetFrost(typical=MIDDLE))
    own = dates_from_typical(MIDDLE, FrostSide.LAST, Hemisphere.NORTH)
    assert reply.last is not None
    assert [level.on for level in reply.last.levels] == [
        own.date_at(level, 2027) for level in (0.1, 0.5, 0.9)
    ]
    assert reply.last.assumed_sd_days == 14.0
    with group.group() as row:
        assert row.frost is not None
        assert frost_from_values(row.frost["last"]) == own
    assert "assumed" in group.hear(SetFrost()).text


def test_a_place_named_later_brings_the_spread_of_its_region() -> None:
    first_date, first_place = OneGroup(AT), OneGroup(AT)
    first_date.ask(SetFrost(late=LATE, first=date(2027, 10, 10)))
    first_date.ask(SetSite(place="Duluth, Minnesota"))
    first_place.ask(SetSite(place="Duluth, Minnesota"))
    first_place.ask(SetFrost(late=LATE, first=date(2027, 10, 10)))
    one, other = said(first_date, SetFrost()), said(first_place, SetFrost())
    assert (one.last, one.first) == (other.last, other.first)
    assert one.last is not None
    assert one.last.spread_by_region
    assert one.last.levels[0].on == LATE
    assert "weather stations of that region" in first_date.hear(SetFrost()).text


def test_a_lone_ten_percent_date_is_that_level() -> None:
    reply = said(OneGroup(AT), SetFrost(late=LATE))
    assert reply.last is not None
    assert reply.last.levels[0].on == LATE


def test_dates_by_chance_come_back_as_given() -> None:
    group = OneGroup(AT)
    reply = said(group, SetFrost(late=LATE, middle=MIDDLE, early=EARLY))
    assert reply.last is not None
    assert [level.on for level in reply.last.levels] == [LATE, MIDDLE, EARLY]
    assert reply.last.assumed_sd_days is None
    own = dates_from_levels({0.1: LATE, 0.5: MIDDLE, 0.9: EARLY}, FrostSide.LAST, Hemisphere.NORTH)
    with group.group() as row:
        assert row.frost is not None
        assert frost_from_values(row.frost["last"]) == own


def test_the_words_say_which_way_a_percentage_runs() -> None:
    text = OneGroup(AT).hear(SetFrost(late=LATE, middle=MIDDLE, early=EARLY)).text
    assert "One year in ten still has frost on or after 15 May" in text
    assert "nine in ten on or after 9 Apr" in text


def test_a_usual_date_and_another_even_chance_contradict() -> None:
    with pytest.raises(FrostDatesOrder):
        OneGroup(AT).ask(SetFrost(typical=MIDDLE, middle=date(2027, 4, 30)))


def test_the_first_frost_is_kept_beside_the_last() -> None:
    group = OneGroup(AT)
    group.ask(SetFrost(typical=MIDDLE))
    reply = said(group, SetFrost(first=date(2027, 10, 10)))
    assert reply.last is not None
    assert reply.first is not None
    assert reply.first.levels[1].on == date(2027, 10, 10)
    own = dates_from_typical(date(2027, 10, 10), FrostSide.FIRST, Hemisphere.NORTH)
    assert reply.first.levels[0].on == own.date_at(0.1, 2027)
    assert said(group, SetFrost(typical=date(2027, 5, 1))).first == reply.first


def test_a_file_gives_the_dates_that_core_reckons() -> None:
    text = daily(1991, 2020)
    record = frost_record(read_minima(text).days, Hemisphere.NORTH)
    group = OneGroup(AT)
    reply = said(group, SetFrost(file_name="lows.csv", file_text=text))
    for side, told in ((FrostSide.LAST, reply.last), (FrostSide.FIRST, reply.first)):
        own = dates_from_record(record, side)
        assert told is not None
        assert told.n_seasons == own.n_seasons
        assert told.n_set_aside == own.n_set_aside
        assert [one.on for one in told.levels] == [own.date_at(p, 2027) for p in (0.1, 0.5, 0.9)]
        assert [one.counted for one in told.levels] == [
            own.empirical_date_at(p, 2027) for p in (0.1, 0.5, 0.9)
        ]
        with group.group() as row:
            assert row.frost is not None
            assert frost_from_values(row.frost[side.value]) == own
    assert reply.last is not None
    assert reply.last.n_seasons == 30
    chance = reply.last.levels[0].chance
    assert chance is not None
    assert chance.low < 0.1 < chance.high


def test_what_a_file_had_set_aside_is_said() -> None:
    lines = daily(1991, 2020).splitlines()
    lines = [line for line in lines if not line.startswith("1999-04")]
    at = next(n for n, line in enumerate(lines) if line.startswith("2005-07-18"))
    lines[at] = "2005-07-18,-57.8"
    group = OneGroup(AT)
    reply = said(group, SetFrost(file_name="lows.csv", file_text="\n".join(lines)))
    assert reply.file is not None
    assert reply.file.absurd == ((date(2005, 7, 18), -57.8, "spike"),)
    assert reply.file.days_missing == 31
    assert reply.last is not None
    assert reply.last.n_set_aside >= 1
    text = group.hear(SetFrost()).text
    assert "18 Jul 2005 (-57.8 °C)" in text
    assert "31 days have no value" in text
    assert "set aside" in text
    assert "by the column's heading" in text


def test_a_group_in_fahrenheit_hears_fahrenheit() -> None:
    lines = daily(1991, 2020).splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("2005-07-18"))
    lines[at] = "2005-07-18,-57.8"
    text = OneGroup(AT, fahrenheit=True).hear(SetFrost(file_text="\n".join(lines))).text
    assert "32 °F or less" in text
    assert "-72 °F" in text
    assert "°C)" not in text.replace("read as °C", "")


def test_the_unit_a_member_states_overrules_and_an_unknown_unit_is_asked() -> None:
    text = daily(1991, 2020, warm=22.0).replace("tmin_c", "tmin")
    group = OneGroup(AT)
    with pytest.raises(FrostFileUnitUnknown):
        group.ask(SetFrost(file_text=text))
    reply = said(group, SetFrost(file_text=text, fahrenheit=False))
    assert reply.file is not None
    assert (reply.file.unit, reply.file.unit_told_by) == ("celsius", "given")


def test_the_south_is_told_by_the_file_and_its_spring_lies_late_in_the_year() -> None:
    reply = said(OneGroup(AT), SetFrost(file_text=daily(1991, 2020, south=True)))
    assert (reply.hemisphere, reply.hemisphere_told_by) == ("south", "file")
    assert reply.last is not None
    assert reply.first is not None
    last, first = reply.last.levels[1].on, reply.first.levels[1].on
    assert last is not None
    assert first is not None
    assert (last.year, last.month >= 8) == (2027, True)
    assert first.year == 2028
    assert 2 <= first.month <= 7


def test_a_southern_place_makes_an_october_date_its_spring() -> None:
    group = OneGroup(AT)
    with group.group() as row:
        row.latitude = -33.9
    reply = said(group, SetFrost(typical=date(2027, 9, 20)))
    assert (reply.hemisphere, reply.hemisphere_told_by) == ("south", "place")
    assert reply.last is not None
    assert reply.last.levels[1].on == date(2027, 9, 20)
    assert reply.or_first is None


def test_an_autumn_date_is_not_taken_for_a_last_frost_where_the_place_is_known() -> None:
    group = OneGroup(AT)
    with group.group() as row:
        row.latitude = 41.9
    with pytest.raises(FrostDateOffSeason):
        group.ask(SetFrost(typical=date(2027, 10, 10)))
    assert "/frost first 2027-10-10" in group.hear(SetFrost(typical=date(2027, 10, 10))).text
    with group.group() as row:
        assert row.frost is None


def test_where_no_place_decides_a_lone_autumn_date_offers_the_other_reading() -> None:
    group = OneGroup(AT)
    message = group.hear(SetFrost(typical=date(2027, 10, 10)))
    assert "south of the equator" in message.text
    (button,) = message.rows[0]
    assert button.request == SetFrost(first=date(2027, 10, 10))
    reply = said(group, button.request)
    assert reply.hemisphere == "north"
    assert reply.last is None
    assert reply.first is not None


def test_a_file_of_the_other_half_of_the_world_is_pointed_out() -> None:
    group = OneGroup(AT)
    with group.group() as row:
        row.latitude = -33.9
    reply = said(group, SetFrost(file_text=daily(1991, 2020)))
    assert reply.against_place
    assert "other half of the world" in group.hear(SetFrost(file_text=daily(1991, 2020))).text


def test_a_place_that_never_freezes_is_said_to_and_few_years_are_not_enough_to_say_so() -> None:
    warm = OneGroup(AT)
    text = warm.hear(SetFrost(file_text=daily(1991, 2020, warm=30.0))).text
    assert text.startswith("No frost at Bench in 29 seasons: it does not freeze there.")
    few = OneGroup(AT).hear(SetFrost(file_text=daily(2018, 2020, warm=30.0))).text
    assert "too few to say it never freezes" in few


def test_years_without_frost_leave_their_levels_without_a_date() -> None:
    rows = ["date,tmin_c"]
    day = date(1991, 1, 1)
    while day <= date(2020, 12, 31):  # invented: one year in three freezes, in February
        cold = day.month == 2 and day.day == 1 + day.year % 20 and day.year % 3 == 0
        rows.append(f"{day},{-1.0 if cold else (4.0 if day.month in (12, 1, 2) else 12.0)}")
        day += timedelta(days=1)
    reply = said(OneGroup(AT), SetFrost(file_text="\n".join(rows)))
    assert reply.last is not None
    assert 0.3 < reply.last.share < 0.4
    assert [one.on is None for one in reply.last.levels] == [False, True, True]
    assert (reply.last.n_seasons, reply.last.n_without) == (29, 19)  # the ends are cut


def test_a_record_without_a_clear_winter_needs_the_place() -> None:
    flat = "\n".join(
        ["date,tmin_c", *(f"{date(2010, 1, 1) + timedelta(days=n)},20.5" for n in range(4000))]
    )
    group = OneGroup(AT)
    with pytest.raises(HemisphereUnknown):
        group.ask(SetFrost(file_text=flat))
    with group.group() as row:
        row.latitude = 1.3
    reply = said(group, SetFrost(file_text=flat))
    assert reply.hemisphere_told_by == "place"
    assert reply.last is not None
    assert reply.last.share == 0


def test_a_bad_file_changes_nothing() -> None:
    group = OneGroup(AT)
    group.ask(SetFrost(typical=MIDDLE))
    with group.group() as row:
        stood = dict(row.frost or {})
    with pytest.raises(FrostFileUnreadable):
        group.ask(SetFrost(file_text="hello there\nno table\n"))
    with group.group() as row:
        assert row.frost == stood


def test_a_change_names_the_sowings_whose_planting_out_moves() -> None:
    group = OneGroup(AT)
    group.ask(SetFrost(typical=MIDDLE))
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=6))
    reply = said(group, SetFrost(late=date(2027, 5, 1), middle=date(2027, 4, 10)))
    (moved,) = reply.moved
    assert (moved.sowing, moved.crop) == ("S1", "tomato")
    assert (moved.before, moved.after) == (date(2027, 5, 16), date(2027, 5, 1))
    assert said(group, SetFrost(late=date(2027, 5, 1), middle=date(2027, 4, 10))).moved == ()


def test_the_old_dates_can_be_put_back() -> None:
    group = OneGroup(AT)
    before = said(group, SetFrost(late=LATE, middle=MIDDLE, early=EARLY, first=date(2027, 10, 9)))
    assert before.put_back is None
    changed = said(group, SetFrost(typical=date(2027, 5, 30)))
    assert changed.put_back is not None
    again = said(group, changed.put_back)
    assert (again.last, again.first) == (before.last, before.first)


def test_spanish_is_spoken_without_a_crash() -> None:
    group = OneGroup(AT, language="es")
    for request in (
        SetFrost(typical=MIDDLE),
        SetFrost(first=date(2027, 10, 10)),
        SetFrost(file_name="x.csv", file_text=daily(1991, 2020)),
        SetFrost(),
    ):
        assert group.hear(request).text
