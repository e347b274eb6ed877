"""Dates, figures and lists follow the language; units follow the reader."""

from __future__ import annotations

from datetime import date, time

import pytest

from bot.wording.voice import Voice

TODAY = date(2027, 3, 1)
ES = Voice(today=TODAY, language="es")
ES_US = Voice(today=TODAY, language="es", fahrenheit=True, inches=True)
EN = Voice(today=TODAY)
EN_US = Voice(today=TODAY, fahrenheit=True, inches=True)


def test_near_days_have_their_weekday_and_far_ones_their_year() -> None:
    assert ES.day(date(2027, 3, 3)) == "mié 3 mar"
    assert ES.day(date(2027, 4, 28)) == "28 abr"
    assert ES.day(date(2028, 4, 28)) == "28 abr 2028"
    assert EN.day(date(2027, 3, 3)) == "Wed 3 Mar"
    assert EN_US.day(date(2027, 3, 3)) == "Wed, Mar 3"


def test_weekdays_are_named_in_the_language() -> None:
    assert [ES.weekday(n) for n in range(7)] == ["lun", "mar", "mié", "jue", "vie", "sáb", "dom"]


def test_spanish_has_a_decimal_comma_and_english_a_point() -> None:
    assert ES.number(2.5) == "2,5"
    assert ES.length(125) == "12,5 cm"
    assert ES.temp_exact(20.4) == "20,4 °C"
    assert EN.number(2.5) == "2.5"


def test_a_percent_sign_stands_apart_in_spanish() -> None:
    assert ES.percent(0.83) == "83\N{NO-BREAK SPACE}%"
    assert ES.percent(0.001) == "menos del 1\N{NO-BREAK SPACE}%"
    assert EN.percent(0.83) == "83%"
    assert ES.percent_fine(0.0129) == "1,3\N{NO-BREAK SPACE}%"
    assert (EN.percent_fine(0.999), EN.percent_fine(0.07)) == ("99.9%", "7%")


def test_lists_take_the_languages_and() -> None:
    assert ES.listed(["T1", "T2", "T3"]) == "T1, T2 y T3"
    assert ES.listed(["Ana", "Inés"]) == "Ana e Inés"
    assert ES.listed(["nieve", "hielo"]) == "nieve y hielo"
    assert EN.listed(["T1", "T2"]) == "T1 and T2"


@pytest.mark.parametrize("voice", [ES_US, EN_US])
def test_units_do_not_depend_on_the_language(voice: Voice) -> None:
    assert voice.temp(20) == "68 °F"
    assert voice.length(25.4) == "1 in"


def test_a_wall_time_is_said_as_the_reader_is_used_to() -> None:
    assert ES.clock(time(19, 5)) == "19:05"
    assert EN.clock(time(19, 5)) == "19:05"


def test_crops_are_named_in_the_language() -> None:
    assert (ES.crop("tomato"), EN.crop("tomato")) == ("tomate", "tomato")
    assert ES.crop("tomato", "Amber Pip") == "tomate (Amber Pip)"


@pytest.mark.parametrize("value", [10**40, -(10**40), 10**400, 1e300, float("inf")])
def test_a_number_of_any_size_is_said(value: float) -> None:

    said = EN.number(value, 1)
    assert said == ("<-" if value < 0 else ">") + "1,000,000,000,000"
    assert EN.number(999_999_999_999) == "999,999,999,999"
