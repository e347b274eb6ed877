"""Notices go stale after a day, and not before."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.records import models as m
from core.records.outbox_age import mark_stale
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 7, tzinfo=UTC)


@pytest.mark.parametrize(
    ("later", "state"),
    [(timedelta(hours=24), "due"), (timedelta(hours=24, seconds=1), "stale")],
    ids=["a day", "a second more"],
)
def test_a_notice_due_for_more_than_a_day_is_stale(later: timedelta, state: str) -> None:
    group = OneGroup(AT)
    group_id, _, _, chat_id = group.ids
    with group.database.transaction() as session:
        notice = m.Notice(group_id=group_id, kind="round", subject="", on_day=AT.date(), made_at=AT)
        session.add(notice)
        session.flush()
        row = m.Outbox(key="n", chat_id=chat_id, notice_id=notice.id, body={}, due_at=AT)
        session.add(row)
        session.flush()
        mark_stale(session, "test", AT + later)
        session.refresh(row)
        assert row.state == state
