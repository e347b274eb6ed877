"""Readings are taken from a sentence with their unit, and only where they are meant."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.trouble.evidence import Origin
from core.trouble.evidence_text import evidence_in


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("lamp is 30 cm above", "light_distance_cm", 30),
        ("the tubes are 12 in above the leaves", "light_distance_cm", 30.5),
        ("lights 6 inches away", "light_distance_cm", 15.2),
        ("it's 15C in there", "air_day_c", 15),
        ("its 59F in there", "air_day_c", 15),
        ("the mix is at 12 °C", "mix_temp_c", 12),
        ("soil is 18.5 degrees C", "mix_temp_c", 18.5),
        ("drops to 9C at night", "air_night_c", 9),
        ("it was -2C outside", "outdoor_low_c", -2),
        ("lights on 10 hours", "light_hours", 10),
        ("10h of light", "light_hours", 10),
        ("lamp runs 16 hrs a day", "light_hours", 16),
        ("soil is soaked", "mix_moisture", 5),
        ("limp but soil is wet", "mix_moisture", 4),
        ("the tray is dry", "mix_moisture", 2),
        ("it is bone dry", "mix_moisture", 1),
        ("dli of 6", "dli", 6),
        ("i measured 150 umol", "light_ppfd_umol", 150),
        ("only 2000 lux", "light_lux", 2000),
        ("humidity is 80%", "rh_pct", 80),
        ("pH 7.1", "mix_ph", 7.1),
        ("EC 2.5", "ec_ds_m", 2.5),
        ("fed at 200 ppm", "feed_ppm_n", 200),
        ("gusts of 30 mph", "wind_kmh", 48.28),
        ("sown 10 days ago", "days_since_sowing", 10),
        ("sowed two weeks ago", "days_since_sowing", 14),
        ("came up 3 days ago", "days_since_emergence", 3),
        ("planted out 2 days ago", "days_since_transplant", 2),
        ("potted them up 4 days ago", "days_since_transplant", 4),
        ("fed them 3 weeks ago", "days_since_feed", 21),
        ("sown 2 cm deep", "sow_depth_mm", 20),
        ("three per cell", "plants_per_cell", 3),
        ("the lid is still on", "humidity_cover_on", True),
        ("took the lid off", "humidity_cover_on", False),
        ("there is no fan", "fan_on", False),
        ("they are on the windowsill", "light_source", "window"),
        ("under fluorescent tubes", "lamp_type", "fluorescent"),
        ("we use a paraffin heater", "heater_unvented", True),
        ("we reused the trays", "tray_reused", True),
        ("wilts at noon then recovers", "recovers_by_evening", True),
    ],
)
def test_a_stated_reading_is_taken(text: str, name: str, value: object) -> None:
    reading = evidence_in(text).get(name)
    assert reading is not None
    assert reading.origin is Origin.REPORT
    assert reading.value == pytest.approx(value)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("the soil is not wet", "mix_moisture"),
        ("not soaked", "mix_moisture"),
        ("dry crispy edges on the leaves", "mix_moisture"),
        ("the plant is 30 cm tall", "light_distance_cm"),
        ("room 15", "air_day_c"),
        ("it is 15 degrees", "air_day_c"),
        ("it is 400C in there", "air_day_c"),
        ("sow 10 beans", "days_since_sowing"),
        ("no slime trails", "slime"),
        ("12 plants", "plants_per_cell"),
    ],
)
def test_what_is_denied_or_not_meant_is_left_out(text: str, name: str) -> None:
    assert evidence_in(text).get(name) is None


def test_a_bare_degree_takes_the_members_own_unit() -> None:
    celsius = evidence_in("it is 15 degrees", temperature_unit="C").get("air_day_c")
    fahrenheit = evidence_in("it is 59 degrees", temperature_unit="F").get("air_day_c")
    assert celsius is not None
    assert fahrenheit is not None
    assert celsius.value == fahrenheit.value == 15


def test_how_long_it_has_been_wet_is_kept() -> None:
    reading = evidence_in("the soil is soaked, for 4 days now").get("mix_moisture")
    assert reading is not None
    assert (reading.value, reading.held_days) == (5, 4)


def test_several_readings_in_one_sentence_are_all_taken() -> None:
    evidence = evidence_in("lights on 10 hours, lamp 30cm above, mix is 16C and soggy")
    got = {name: reading.value for name, reading in evidence.readings.items()}
    wanted = {"light_hours": 10, "light_distance_cm": 30, "mix_temp_c": 16, "mix_moisture": 4}
    assert got == {**got, **wanted}


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200))
def test_no_text_crashes(text: str) -> None:
    assert evidence_in(text) == evidence_in(text)


UNITS = ["lamp", "soil", "15", "1e9", "C", "F", "cm", "in", "ago", "days", "fed", "pH", "%", "-"]


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from(UNITS)))
def test_no_pile_of_units_crashes(words: list[str]) -> None:
    for reading in evidence_in(" ".join(words), temperature_unit="C").readings.values():
        assert reading.origin is Origin.REPORT
