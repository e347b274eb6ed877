"""The days a question names, counted on a calendar."""

from __future__ import annotations

from datetime import date

import pytest

from core.trouble.days_asked import days_asked

TODAY = date(2027, 3, 12)  # a Friday


def day(number: int, month: int = 3) -> date:
    return date(2027, month, number)


BACK = [
    ("who watered today", day(12), day(12)),
    ("who watered this morning?", day(12), day(12)),
    ("what got moved yesterday", day(11), day(11)),
    ("who fed them the day before yesterday", day(10), day(10)),
    ("who was on duty last friday", day(5), day(5)),
    ("who was on friday", day(12), day(12)),
    ("what did Ben do on tuesday", day(9), day(9)),
    ("anything new since monday?", day(8), day(12)),
    ("what did we do last week", day(1), day(7)),
    ("what was sown this week", day(8), day(14)),
    ("anything happen over the weekend?", day(6), day(7)),
    ("who watered 3 days ago", day(9), day(9)),
    ("who had duty on the 3rd", day(3), day(3)),
    ("who had duty on the 20th", day(20, 2), day(20, 2)),
    ("what did we do on 2 March", day(2), day(2)),
    ("what did we do in february", day(1, 2), day(28, 2)),
    ("what did I miss while I was away", day(5), day(12)),
    ("¿quién regó ayer?", day(11), day(11)),
    ("¿quién estuvo de turno el martes?", day(9), day(9)),
    ("¿qué se hizo el fin de semana?", day(6), day(7)),
    ("¿qué se hizo esta mañana?", day(12), day(12)),
    ("¿quién regó hace 2 días?", day(10), day(10)),
    ("¿quién regó el 2 de marzo?", day(2), day(2)),
]
AHEAD = [
    ("who is on tomorrow", day(13), day(13)),
    ("who waters on sunday", day(14), day(14)),
    ("who is doing the weekend", day(13), day(14)),
    ("who is on next week", day(15), day(21)),
    ("am I on the 3rd", day(3, 4), day(3, 4)),
    ("¿a quién le toca mañana?", day(13), day(13)),
    ("¿me toca el lunes?", day(15), day(15)),
]


@pytest.mark.parametrize(("text", "first", "last"), BACK)
def test_days_that_have_been(text: str, first: date, last: date) -> None:
    assert days_asked(text, TODAY) == (first, last)


@pytest.mark.parametrize(("text", "first", "last"), AHEAD)
def test_days_to_come(text: str, first: date, last: date) -> None:
    assert days_asked(text, TODAY, ahead=True) == (first, last)


@pytest.mark.parametrize("text", ["who watered T3", "how many came up", "", "may I water"])
def test_no_day_is_named(text: str) -> None:
    assert days_asked(text, TODAY) is None


def test_the_thirtieth_after_february_is_the_one_before() -> None:
    assert days_asked("who had duty on the 30th", date(2027, 3, 12)) == (
        date(2027, 1, 30),
        date(2027, 1, 30),
    )
