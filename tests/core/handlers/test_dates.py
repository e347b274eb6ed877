"""Dates and the crop's card through the handlers: core's figures, with what they rest on."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from core.errors import CropTimesMissing, NoFrostYet
from core.replies.dates import CropDates, CropList, CropSaid, DatesWithoutFrost
from core.requests import CropInfo, SetFrost, SetShelf, SetTray, Sow, Temp, TempKind, When, Where
from core.trade.crops.row import Method
from core.trade.crops.table import CROPS, crop_by_id
from core.trade.dates.schedule import schedule_crop
from core.trade.frost.estimate import dates_from_levels, dates_from_typical, dates_from_years
from core.trade.frost.seasons import FrostSide, Hemisphere
from core.trade.frost.store import frost_values
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
FROST = SetFrost(late=date(2027, 5, 15), middle=date(2027, 4, 28), early=date(2027, 4, 9))
LEVELS = {0.1: date(2027, 5, 15), 0.5: date(2027, 4, 28), 0.9: date(2027, 4, 9)}


def group_with_frost(**options: object) -> OneGroup:
    group = OneGroup(AT, **options)  # type: ignore[arg-type]
    group.ask(FROST)
    return group


def dates(group: OneGroup, crop: str) -> CropDates:
    reply = group.ask(When(crop=crop))
    assert isinstance(reply, CropDates)
    return reply


def card(group: OneGroup, crop: str) -> CropSaid:
    reply = group.ask(CropInfo(crop=crop))
    assert isinstance(reply, CropSaid)
    return reply


def test_without_frost_dates_the_answer_says_how_to_set_them() -> None:
    group = OneGroup(AT)
    with pytest.raises(NoFrostYet):
        group.ask(When(crop="tomato"))
    assert "/frost 28 April" in group.hear(When(crop="tomato")).text


def test_the_dates_are_those_that_core_reckons() -> None:
    group = group_with_frost()
    own = dates_from_levels(LEVELS, FrostSide.LAST, Hemisphere.NORTH)
    for crop in ("tomato", "lettuce", "carrot", "basil", "pepper"):
        assert dates(group, crop).schedule == schedule_crop(crop_by_id(crop), own, 2027)


def test_tomato_is_answered_with_every_step_and_the_chance_of_frost() -> None:
    group = group_with_frost()
    schedule = dates(group, "tomato").schedule
    assert schedule.indoors is not None
    text = group.hear(When(crop="tomato")).text
    voice = group.voice
    for day in (
        schedule.indoors.sow.target,
        schedule.indoors.harden_from,
        schedule.indoors.plant_out.target,
    ):
        assert voice.day(day) in text
    assert schedule.indoors.plant_out.target == date(2027, 5, 15)
    assert "Frost on or after 15 May: 10% of years, about one year in 10." in text
    assert "Held back" in text
    assert "Chances rest on the frost dates given." in text
    assert "sow again by" in text


def test_a_record_states_its_sampling_error() -> None:
    group = OneGroup(AT)
    years = [date(1990 + n, 4, 10 + n % 18) for n in range(30)]
    own = dates_from_years(years, FrostSide.LAST, Hemisphere.NORTH)
    with group.group() as row:
        row.frost = {"last": frost_values(own)}
    text = group.hear(When(crop="tomato")).text
    indoors = dates(group, "tomato").schedule.indoors
    assert indoors is not None
    error = indoors.chance.fitted_interval
    assert error is not None
    assert "By 30 seasons that could be" in text
    assert group.voice.percent(error.low) in text
    assert group.voice.percent(error.high) in text


def test_a_crop_sown_outdoors_has_outdoor_dates_only() -> None:
    group = group_with_frost()
    reply = dates(group, "carrot")
    assert reply.schedule.indoors is None
    text = group.hear(When(crop="carrot")).text
    assert "Sow outdoors" in text
    assert "Sow indoors" not in text
    assert "Plant out" not in text
    assert "last outdoor sowing date" in text


def test_the_season_is_said_as_of_today() -> None:
    group = group_with_frost()
    assert dates(group, "pepper").season == "ahead"
    group.at = group.at.replace(month=4, day=10)
    assert dates(group, "tomato").season == "indoors"
    assert "sown indoors now" in group.hear(When(crop="tomato")).text
    group.at = group.at.replace(month=7, day=1)
    assert dates(group, "tomato").season == "over"
    assert "2027 are over" in group.hear(When(crop="tomato")).text
    group.at = group.at.replace(month=9, day=1)
    assert dates(group, "tomato").schedule.year == 2028
    assert dates(group, "tomato").season == "ahead"


def test_what_grows_already_is_said_with_its_own_date() -> None:
    group = group_with_frost()
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=6))
    (growing,) = dates(group, "tomato").growing
    assert (growing.sowing, growing.tray) == ("S1", "T1")
    assert growing.plant_out_on == date(2027, 5, 15)
    assert "Growing: S1 in T1" in group.hear(When(crop="tomato")).text
    assert dates(group, "pepper").growing == ()


def test_the_southern_spring_is_in_the_second_half_of_the_year() -> None:
    group = OneGroup(AT)
    with group.group() as row:
        row.latitude = -37.8
    group.ask(SetFrost(typical=date(2027, 9, 20)))
    indoors = dates(group, "tomato").schedule.indoors
    own = dates_from_typical(date(2027, 9, 20), FrostSide.LAST, Hemisphere.SOUTH)
    assert indoors is not None
    assert indoors == schedule_crop(crop_by_id("tomato"), own, 2027).indoors
    assert (indoors.plant_out.target.year, indoors.plant_out.target.month) == (2027, 10)


def test_where_it_never_freezes_cold_nights_set_the_date() -> None:
    group = OneGroup(AT)
    own = dates_from_years([None] * 30, FrostSide.LAST, Hemisphere.NORTH)
    with group.group() as row:
        row.frost = {"last": frost_values(own)}
    reply = group.ask(When(crop="tomato"))
    assert isinstance(reply, DatesWithoutFrost)
    assert reply.n_seasons == 30
    text = group.hear(When(crop="tomato")).text
    assert "frost sets no date here" in text
    assert "nights of 10 °C or more" in text
    assert "weeks before it" in text


def test_every_crop_is_answered_in_every_language_and_unit() -> None:
    for options in ({}, {"language": "es"}, {"fahrenheit": True}):
        group = group_with_frost(**options)
        answered = 0
        for crop in CROPS.rows():
            try:
                group.ask(When(crop=crop.id))
            except CropTimesMissing:
                assert crop.method is Method.TRANSPLANT
            else:
                answered += 1
            for request in (When(crop=crop.id), CropInfo(crop=crop.id)):
                text = group.hear(request).text
                assert text
                assert "{" not in text
                assert "None" not in text
                assert len(text) < 2000
        assert answered >= 60


def test_the_card_is_a_dozen_short_lines() -> None:
    group = group_with_frost()
    for crop in CROPS.rows():
        lines = [
            line
            for line in group.hear(CropInfo(crop=crop.id)).text.split("\n")
            if not line.startswith("⚠")
        ]
        assert len(lines) <= 12, crop.id


def test_days_to_emergence_go_by_the_warmest_shelf_then_by_what_is_read_there() -> None:
    group = group_with_frost()
    plain = card(group, "tomato").up_in
    assert plain is not None
    assert (plain.temp_c, plain.shelf) == (21.0, None)
    group.ask(SetShelf(code="A", places=4, usual_temp_c=20.0))
    group.ask(SetShelf(code="B", places=4, usual_temp_c=25.0))
    usual = card(group, "tomato").up_in
    assert usual is not None
    assert (usual.shelf, usual.temp_c, usual.temp_basis) == ("B", 25.0, "usual")
    group.ask(Temp(where=Where(shelf="B"), temp_c=15.0, kind=TempKind.MIX))
    read = card(group, "tomato").up_in
    assert read is not None
    assert (read.shelf, read.temp_basis) == ("A", "usual")
    group.ask(Temp(where=Where(shelf="A"), temp_c=16.0, kind=TempKind.MIX))
    cooler = card(group, "tomato").up_in
    assert cooler is not None
    assert (cooler.shelf, cooler.temp_c, cooler.temp_basis) == ("A", 16.0, "read")
    assert None not in (usual.low, usual.high, cooler.low, cooler.high)
    assert (cooler.low or 0) > (usual.low or 0)
    assert (cooler.high or 0) > (usual.high or 0)


def test_a_crop_that_will_not_come_up_on_the_shelf_is_said_not_to() -> None:
    group = group_with_frost()
    group.ask(SetShelf(code="A", places=4, usual_temp_c=4.0))
    up_in = card(group, "pepper").up_in
    assert up_in is not None
    assert up_in.low is None
    assert "Will not come up" in group.hear(CropInfo(crop="pepper")).text


def test_unverified_figures_are_marked_and_sources_named() -> None:
    group = group_with_frost()
    marked = 0
    for crop in CROPS.rows():
        reply = card(group, crop.id)
        assert set(reply.unverified) <= set(crop.from_memory)
        text = group.hear(CropInfo(crop=crop.id)).text
        if "sow_depth_mm_min" in reply.unverified:
            marked += 1
            assert "Rule of thumb, unverified" in text
        if reply.sources:
            assert "Sources: " in text
    assert marked > 20
    assert "storage_years" not in card(group, "tomato").unverified


def test_a_poisonous_plant_carries_its_caution() -> None:
    group = group_with_frost()
    assert card(group, "castor_bean").cautions
    assert "⚠" in group.hear(CropInfo(crop="castor_bean")).text
    assert not card(group, "lettuce").cautions


def test_a_group_in_fahrenheit_hears_fahrenheit_and_inches() -> None:
    text = group_with_frost(fahrenheit=True).hear(CropInfo(crop="tomato")).text
    assert "50 °F" in text
    assert "1/4 in deep" in text
    assert "°C" not in text
    assert " cm" not in text


def test_the_list_holds_every_crop_by_kind_once() -> None:
    group = OneGroup(AT)
    reply = group.ask(CropInfo())
    assert isinstance(reply, CropList)
    listed = [crop for _, crops in reply.kinds for crop in crops]
    assert sorted(listed) == sorted(crop.id for crop in CROPS.rows())
    text = group.hear(CropInfo()).text
    assert "Vegetables: arugula" in text
    assert len(text) < 4096
