"""Ends of a range are written alike, and lengths as people say them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.wording.voice import NEAR_DAYS
from tests.pictures.gardens import TODAY, voice

DAYS = st.integers(-500, 500).map(lambda n: TODAY + timedelta(days=n))


@given(DAYS, st.integers(0, 60), st.sampled_from(["en", "es"]))
def test_weekdays_stand_with_both_ends_or_with_neither(
    first: date, days: int, language: str
) -> None:
    last = first + timedelta(days=days)
    said = voice(language).span(first, last)
    near = [abs((day - TODAY).days) <= NEAR_DAYS for day in (first, last)]
    speaker = voice(language)
    with_weekday = [
        text != speaker.month_day(day) and text != speaker.plain_day(day)
        for text, day in zip((said["first"], said["last"]), (first, last), strict=True)
    ]
    assert with_weekday == [all(near), all(near)]


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(99, 150, "4–6 in"), (180, 231, "7–9 in"), (140, 200, "5 1/2–8 in"), (51, 51, "2 in")],
)
def test_inches_are_said_to_the_half(low: float, high: float, said: str) -> None:
    from dataclasses import replace

    assert replace(voice(), inches=True).lengths(low, high) == said
