"""How long ago a sowing may have been."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from core.errors import DateInFuture, DateTooOld
from core.replies.reports import Sown
from core.requests import SetTray, Sow, Where
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
TODAY = date(2027, 3, 1)


@pytest.fixture
def group() -> OneGroup:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), rows=2, cols=6))
    return group


def sow(on: date) -> Sow:
    return Sow(where=Where(trays=("T1",)), crop="tomato", cell_count=1, on=on)


@pytest.mark.parametrize("days_ago", [0, 400])
def test_a_sowing_of_up_to_400_days_ago_is_recorded(group: OneGroup, days_ago: int) -> None:
    assert isinstance(group.ask(sow(TODAY - timedelta(days=days_ago))), Sown)


def test_one_of_401_days_ago_is_taken_for_a_slip(group: OneGroup) -> None:
    with pytest.raises(DateTooOld) as refused:
        group.ask(sow(TODAY - timedelta(days=401)))
    assert refused.value.earliest == TODAY - timedelta(days=400)


def test_one_of_tomorrow_has_not_come_yet(group: OneGroup) -> None:
    with pytest.raises(DateInFuture):
        group.ask(sow(TODAY + timedelta(days=1)))
