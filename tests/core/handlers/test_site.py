"""The group's place and habits: looked up, checked, and kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from core.due.hours import next_look
from core.errors import CoordinatorsOnly
from core.handlers.table import answer
from core.records.snapshot import site_of
from core.replies.site import PlacesFound, SiteSaid
from core.requests import SetFrost, SetSite
from core.set_up_errors import LanguageUnknown, PlaceUnknown, ZoneUnknown
from core.trade.places import find_place, zone_named
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def said(group: OneGroup, request: SetSite) -> SiteSaid:
    reply = group.ask(request)
    assert isinstance(reply, SiteSaid)
    return reply


def test_a_place_brings_its_zone_and_where_it_lies() -> None:
    group = OneGroup(AT)
    reply = said(group, SetSite(place="reykjavik"))
    assert reply.site.zone == "Atlantic/Reykjavik"
    assert reply.site.latitude == pytest.approx(64.13, abs=0.1)  # 64° 08' N, any atlas
    assert reply.site.longitude == pytest.approx(-21.9, abs=0.1)
    assert reply.local_time == time(12, 0)


def test_a_zone_said_with_a_place_wins_over_the_places_own() -> None:
    group = OneGroup(AT)
    assert said(group, SetSite(place="Reykjavik", zone="Europe/Oslo")).site.zone == "Europe/Oslo"


def test_several_towns_of_a_name_are_a_question_and_change_nothing() -> None:
    group = OneGroup(AT)
    reply = group.ask(SetSite(place="Springfield", language="es"))
    assert isinstance(reply, PlacesFound)
    states = {option.values["region"] for option in reply.options}
    assert {"Illinois", "Missouri", "Massachusetts"} <= states
    with group.group() as row:
        assert row.place is None
        assert row.language == "en"
    for option in reply.options:
        assert isinstance(option.request, SetSite)
        settled = said(OneGroup(AT), option.request)
        assert settled.site.language == "es"
        assert settled.site.place is not None
        assert settled.site.place.startswith(f"Springfield, {option.values['region']}")


@pytest.mark.parametrize(
    ("typed", "zone"),
    [
        ("Springfield, IL", "America/Chicago"),
        ("springfield, illinois, usa", "America/Chicago"),
        ("Valencia, Spain", "Europe/Madrid"),
        ("Valencia, Venezuela", "America/Caracas"),
        ("London, UK", "Europe/London"),
        ("Sao Paulo", "America/Sao_Paulo"),
        ("München", "Europe/Berlin"),
    ],
)
def test_state_and_country_narrow_and_accents_do_not_matter(typed: str, zone: str) -> None:
    assert find_place(typed).places[0].zone == zone


def test_a_town_too_small_for_the_first_list_is_found_in_the_second() -> None:
    (place,) = find_place("Whitby, UK").places
    assert place.people < 15_000
    assert place.zone == "Europe/London"


def test_an_unknown_place_names_the_nearest_spellings() -> None:
    with pytest.raises(PlaceUnknown) as caught:
        OneGroup(AT).ask(SetSite(place="Barcelna"))
    assert "Barcelona" in caught.value.nearest
    with pytest.raises(PlaceUnknown):
        OneGroup(AT).ask(SetSite(place=" , "))


def test_a_mistyped_zone_names_the_nearest() -> None:
    with pytest.raises(ZoneUnknown) as caught:
        OneGroup(AT).ask(SetSite(zone="Europe/Madird"))
    assert caught.value.nearest[0] == "Europe/Madrid"
    assert zone_named("america/new york") == ("America/New_York", ())


def test_only_languages_that_are_spoken_are_taken() -> None:
    with pytest.raises(LanguageUnknown):
        OneGroup(AT).ask(SetSite(language="fi"))


@pytest.mark.parametrize(
    "request_",
    [
        SetSite(zone="Asia/Tokyo"),
        SetSite(round_at=time(18)),
        SetSite(quiet_from=time(20), quiet_to=time(9)),
        SetSite(place="Madrid, Spain"),
    ],
)
def test_the_next_look_follows_zone_round_and_quiet_hours(request_: SetSite) -> None:
    group = OneGroup(AT)
    group.ask(request_)
    with group.group() as row:
        assert row.next_look_at == next_look(site_of(row), AT)
        assert row.next_look_at is not None
        local = row.next_look_at.astimezone(ZoneInfo(row.zone)).time()
        assert local >= row.quiet_to


def test_a_round_within_the_quiet_hours_is_said_to_come_after_them() -> None:
    assert said(OneGroup(AT), SetSite(round_at=time(6))).round_in_quiet
    assert "07:00" in OneGroup(AT).hear(SetSite(round_at=time(6))).text


def test_looking_says_what_is_set_and_what_is_not() -> None:
    group = OneGroup(AT)
    assert said(group, SetSite()).missing == (
        "place", "zone", "units", "language", "frost", "shelf", "tray",
    )  # fmt: skip
    group.ask(SetSite(place="Madrid, Spain", fahrenheit=False, language="en"))
    group.ask(SetFrost(typical=date(2027, 4, 1)))
    assert said(group, SetSite()).missing == ("shelf", "tray")


def test_the_answer_comes_in_the_language_and_units_just_set() -> None:
    group = OneGroup(AT)
    assert "español" in group.hear(SetSite(language="es")).text
    assert "°F" in group.hear(SetSite(fahrenheit=True)).text


def test_members_may_look_and_coordinators_change() -> None:
    group = OneGroup(AT)
    scene = replace(group.scene, coordinator=False)
    with group.database.transaction() as session:
        assert isinstance(answer(SetSite(), scene, session), SiteSaid)
        with pytest.raises(CoordinatorsOnly):
            answer(SetSite(zone="UTC"), scene, session)
