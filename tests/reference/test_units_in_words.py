"""Lengths and spans of time in words against their definitions.

The foot of the international yard and pound agreement (1959) is 30.48 cm and the inch 2.54 cm,
exactly. A month said of plants is taken as thirty days, which is a choice.
"""

from __future__ import annotations

import pytest

from core.trouble.evidence_text import days_said, evidence_in

NUMBERS = {
    **{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8},
    **{"nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fourteen": 14},
}
NUMEROS = {
    **{"un": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8},
    **{"nueve": 9, "diez": 10, "doce": 12, "quince": 15, "veinte": 20},
}


@pytest.mark.parametrize(("word", "count"), NUMBERS.items())
def test_a_number_in_words_is_that_number_of_days_weeks_and_months(word, count):
    for unit, days in (("day", 1), ("week", 7), ("month", 30)):
        assert days_said(f"about {word} {unit}{'s' if count > 1 else ''}") == count * days


@pytest.mark.parametrize(("word", "count"), NUMEROS.items())
def test_a_number_in_spanish_words_is_that_number_of_days_and_weeks(word, count):
    for unit, days in (("día", 1), ("semana", 7)):
        assert days_said(f"unas {word} {unit}{'s' if count > 1 else ''}") == count * days


@pytest.mark.parametrize(
    ("text", "cm"),
    [
        ("the lamp is 1 ft above the leaves", 30.5),
        ("the lamp is 2 feet above the leaves", 61.0),
        ("the lamp is 10 in above the leaves", 25.4),
        ("the lamp is 10 inches above the leaves", 25.4),
        ("the lamp is 1 m above the leaves", 100.0),
    ],
)
def test_a_length_in_words_is_the_defined_one(text, cm):
    reading = evidence_in(text).get("light_distance_cm")
    assert reading is not None
    assert reading.value == cm


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("sown 2 days ago", 2),
        ("sown a week ago", 7),
        ("sown 2 wks ago", 14),
        ("sown two months ago", 60),
        ("sembrado hace 2 meses", 60),
        ("sembrado hace 3 semanas", 21),
    ],
)
def test_days_since_are_those_said(text, days):
    reading = evidence_in(text).get("days_since_sowing")
    assert reading is not None
    assert reading.value == days
