"""A member may take a report back for a day; a coordinator at any time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from sqlalchemy import select

from core.handlers.undo import may_undo
from core.records import models as m
from core.requests import Note, Where
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def refusal(after: timedelta, *, coordinator: bool = False, another: bool = False) -> str | None:
    """Return why a note may not be taken back some time later, or None."""
    group = OneGroup(AT)
    group.ask(Note(where=Where(), text="the window was open"))
    scene = replace(group.scene, now=AT + after, coordinator=coordinator)
    if another:
        scene = replace(scene, member_id=group.ids[1] + 1)
    with group.database.transaction() as session:
        return may_undo(session.scalars(select(m.Act)).one(), scene)


def test_a_report_can_be_taken_back_for_exactly_a_day() -> None:
    assert refusal(timedelta(days=1)) is None
    assert refusal(timedelta(days=1, seconds=1)) == "old"


def test_a_coordinator_may_take_back_what_is_older_and_what_others_said() -> None:
    assert refusal(timedelta(days=90), coordinator=True) is None
    assert refusal(timedelta(0), coordinator=True, another=True) is None


def test_another_member_may_not_take_it_back() -> None:
    assert refusal(timedelta(0), another=True) == "other"
