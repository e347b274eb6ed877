"""What was really sown stands for the plan's line: early, in two goes, and not when it was lost."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from core.due.items import Work
from core.due.open_work import due_items
from core.records import models as m
from core.records import snapshot
from core.requests import Lost, Planted, SetTray, Sow, Up, Where
from tests.core.handlers.one_group import OneGroup

LINES = (
    ("p1", "pepper", "2027-04-26"),
    ("l1", "lettuce", "2027-03-15"),
    ("l2", "lettuce", "2027-04-05"),
)


@pytest.fixture
def group() -> OneGroup:
    one = OneGroup(datetime(2027, 3, 15, 12, tzinfo=UTC))
    one.ask(SetTray(codes=("T1", "T2"), cells=72))
    sowings = [{"id": id_, "crop": crop, "sow_on": on} for id_, crop, on in LINES]
    with one.database.transaction() as session:
        session.add(
            m.Plan(
                group_id=one.ids[0], made_at=one.at, accepted_at=one.at, dropped_at=None,
                body={"sowings": sowings},
            )
        )  # fmt: skip
    return one


def to_sow(one: OneGroup, day: date) -> list[str]:
    """Return the plan's lines that a day asks to sow."""
    with one.database.transaction() as session:
        garden = snapshot.garden(session, one.ids[0], day)
    return [item.values["id"] for item in due_items(garden, day) if item.kind is Work.SOW]


def sow(one: OneGroup, crop: str, cells: int, tray: str = "T1") -> None:
    one.ask(Sow(where=Where(trays=(tray,)), crop=crop, cell_count=cells))


def test_peppers_sown_six_weeks_early_are_not_asked_for_again(group: OneGroup) -> None:
    assert to_sow(group, date(2027, 4, 26)) == ["l2", "p1"]
    sow(group, "pepper", 24)
    assert to_sow(group, date(2027, 4, 26)) == ["l2"]


def test_two_sowings_of_one_day_are_one_succession(group: OneGroup) -> None:
    sow(group, "lettuce", 12)
    sow(group, "lettuce", 10, "T2")
    assert to_sow(group, date(2027, 3, 16)) == []
    assert to_sow(group, date(2027, 4, 5)) == ["l2"]
    group.at = datetime(2027, 4, 4, 12, tzinfo=UTC)
    sow(group, "lettuce", 12)
    assert to_sow(group, date(2027, 4, 5)) == []


def test_what_was_lost_whole_is_asked_for_again(group: OneGroup) -> None:
    sow(group, "lettuce", 12)
    group.at = datetime(2027, 3, 25, 12, tzinfo=UTC)
    group.ask(Lost(where=Where(crop="lettuce"), cause="damping off"))
    assert to_sow(group, date(2027, 3, 26)) == ["l1"]


def test_what_was_planted_out_is_not(group: OneGroup) -> None:
    sow(group, "lettuce", 12)
    group.at = datetime(2027, 4, 1, 12, tzinfo=UTC)
    group.ask(Up(where=Where(crop="lettuce"), count=12))
    group.ask(Planted(where=Where(crop="lettuce"), count=10))
    group.ask(Lost(where=Where(crop="lettuce")))
    assert to_sow(group, date(2027, 4, 2)) == []
