"""Seconds for a rehearsal of 16 weeks with 12 members and 15 crops; run with --bench -s."""

import time
from datetime import timedelta

import pytest

from core.requests import SetDuty
from tests.core.due.test_rehearsal import BEGIN, Weeks

pytestmark = pytest.mark.bench

LIMIT_S = 5.0
NAMES = tuple(f"M{letter}x" for letter in "abcdefghijkl")
CROPS = (
    "lettuce", "kale", "tomato", "pepper", "onion", "leek", "broccoli", "eggplant", "basil",
    "cucumber", "marigold", "zinnia", "cabbage", "cauliflower", "celery",
)  # fmt: skip


def test_sixteen_weeks_are_rehearsed_within_five_seconds() -> None:
    group = Weeks(NAMES, CROPS)
    for number, name in enumerate(NAMES):
        group.do(group.first, SetDuty(who=(name,), weekdays=(number % 7,)))
    began = time.perf_counter()
    heard = group.rehearsed(BEGIN.date() + timedelta(weeks=16), {})
    took_s = time.perf_counter() - began
    print(f"\n{len(heard)} messages in {took_s:.1f} s")
    assert len(heard) > 100
    assert took_s < LIMIT_S
