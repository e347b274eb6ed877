"""Losses and hours outside: whom they count for, and what is asked instead of guessed."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from core.cells import ALL_CELLS, Cell, CellPart, CellSpec, Part
from core.errors import CellsEmpty, CountTooHigh
from core.replies.base import Choice
from core.replies.reports import HardenRecorded, LostRecorded, OutRecorded
from core.requests import Lost, Out, SetFrost, SetTray, Sow, Up, Where
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
SIX = CellSpec((CellPart(Part.RANGE, Cell(0, 0), Cell(0, 5)),))


@pytest.fixture
def group() -> OneGroup:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1", "T2"), rows=2, cols=6))
    group.ask(Sow(where=Where(trays=("T1",), cells=SIX), crop="tomato", seeds_per_cell=2))
    return group


def test_a_few_plants_lost_close_no_sowing_of_which_nothing_shows(group: OneGroup) -> None:
    for count in (1, 5, 7, 11):
        with pytest.raises(CountTooHigh):
            group.ask(Lost(where=Where(crop="tomato"), count=count))


@pytest.mark.parametrize("count", [6, 12, None])
def test_every_cell_or_seed_lost_closes_it(group: OneGroup, count: int | None) -> None:
    reply = group.ask(Lost(where=Where(crop="tomato"), count=count))
    assert isinstance(reply, LostRecorded)
    assert reply.left == 0
    assert group.hear(Lost(where=Where(crop="tomato"))).text.startswith("No tomato grows")


def test_hours_outside_of_nothing_near_its_time_are_asked_about(group: OneGroup) -> None:
    group.ask(SetFrost(typical=date(2027, 5, 20)))
    group.ask(Up(where=Where(crop="tomato"), count=6))
    reply = group.ask(Out(hours=3))
    assert isinstance(reply, Choice)
    (only,) = reply.options
    assert only.request == Out(hours=3, where=Where(sowing="S1"))
    doubted = group.ask(only.request)
    assert isinstance(doubted, Choice)
    assert doubted.question == "out_early"
    once, begin = doubted.options
    outing = group.ask(once.request)
    assert isinstance(outing, OutRecorded)
    assert (outing.once, outing.days) == (("S1",), ())
    assert isinstance(group.ask(Out(hours=4)), Choice)  # an outing has begun nothing
    assert isinstance(group.ask(begin.request), HardenRecorded)
    assert isinstance(group.ask(Out(hours=4)), OutRecorded)  # hardening now: no need to ask


def test_nothing_is_outside_before_it_shows(group: OneGroup) -> None:
    for where in (Where(), Where(trays=("T1",)), Where(trays=("T1",), cells=ALL_CELLS)):
        with pytest.raises(CellsEmpty):
            group.ask(Out(hours=3, where=where))
    assert "Nothing is up in T1" in group.hear(Out(hours=3)).text
