"""How often, and how long, what nobody knows the fate of is sent again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.records import models as m
from core.records.delivery import unknown
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 7, tzinfo=UTC)


def state_after(*, later: timedelta = timedelta(0), before: int = 0, notice: bool = False) -> str:
    """Return the state of a message whose outcome is unknown some time after it was due.

    `before`: sends of it whose outcome was unknown already.
    """
    group = OneGroup(AT)
    group_id, _, _, chat_id = group.ids
    with group.database.transaction() as session:
        row = m.Outbox(
            key="k",
            chat_id=chat_id,
            body={},
            due_at=AT,
            state="sending",
            lease_by="here",
            unknowns=before,
        )
        if notice:
            said = m.Notice(
                group_id=group_id, kind="round", subject="", on_day=AT.date(), made_at=AT
            )
            session.add(said)
            session.flush()
            row.notice_id = said.id
        session.add(row)
        session.flush()
        unknown(session, [row.id], "here", AT + later)
        return row.state


@pytest.mark.parametrize(
    ("later", "state"),
    [(timedelta(hours=1), "due"), (timedelta(hours=1, seconds=1), "parked")],
    ids=["an hour", "a second more"],
)
def test_an_answer_is_repeated_within_an_hour_of_being_due(later: timedelta, state: str) -> None:
    assert state_after(later=later) == state


def test_a_notice_is_repeated_after_an_hour_too() -> None:
    assert state_after(later=timedelta(hours=5), notice=True) == "due"


@pytest.mark.parametrize(("before", "state"), [(6, "due"), (7, "parked")])
def test_a_message_is_sent_eight_times_at_most(before: int, state: str) -> None:
    assert state_after(before=before, notice=True) == state
