"""Every cause is named first by its own example, asked through the conversation; its neighbour
stays silent."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from core.replies.trouble import Causes
from core.requests import Ask
from core.trouble.causes import CAUSES, Cause
from tests.core.handlers.one_group import OneGroup

ROWS = CAUSES.rows()


@pytest.fixture(scope="module")
def group() -> OneGroup:
    return OneGroup(datetime(2027, 3, 1, 12, tzinfo=UTC))


def named(group: OneGroup, text: str) -> list[str]:
    reply = group.ask(Ask(text=text))
    return [ranked.cause.id for ranked in reply.causes] if isinstance(reply, Causes) else []


def test_there_are_causes_enough() -> None:
    assert len(ROWS) >= 140
    assert all(row.fires_es for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_its_example_names_it_first(row: Cause, group: OneGroup) -> None:
    assert named(group, row.fires)[:1] == [row.id]
    assert named(group, row.fires_es)[:1] == [row.id]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_its_neighbour_leaves_it_unnamed(row: Cause, group: OneGroup) -> None:
    assert row.id not in named(group, row.silent)[:3]


def test_causes_say_different_things() -> None:
    assert len({row.cause for row in ROWS}) == len(ROWS)
