"""The year of a report's day that is typed without one."""

from __future__ import annotations

from datetime import date

import pytest

from bot.grammar import GrammarContext, parse
from core.requests import Watered

CONTEXT = GrammarContext(today=date(2027, 4, 10), trays=("T1",), private=True)


@pytest.mark.parametrize(
    ("typed", "on"),
    [
        ("10 April", date(2027, 4, 10)),
        ("11 April", date(2027, 4, 11)),  # a slip, refused by the handler
        ("25 May", date(2027, 5, 25)),  # 45 days ahead: still taken for a slip
        ("26 May", date(2026, 5, 26)),  # 46 days ahead: last year is meant
    ],
)
def test_a_day_up_to_45_ahead_is_of_this_year_and_later_ones_of_the_last(
    typed: str, on: date
) -> None:
    (line,) = parse(f"watered T1 {typed}", CONTEXT)
    assert isinstance(line.request, Watered)
    assert line.request.on == on
