"""Questions for the records are told from their neighbours."""

from __future__ import annotations

import pytest

from core.trouble.deeds import DEEDS
from core.trouble.looked_up import LOOKED_UP, Sought, sought_in

ROWS = (*LOOKED_UP.rows(), *DEEDS.rows())
FIRES = [(row.id, text) for row in ROWS for text in row.fires]
SILENT = [(row.id, text) for row in ROWS for text in row.silent]


@pytest.mark.parametrize(("what", "text"), FIRES)
def test_a_question_for_the_records_is_known(what: str, text: str) -> None:
    assert sought_in(text) == what


@pytest.mark.parametrize(("what", "text"), SILENT)
def test_its_neighbour_is_not_taken_for_one(what: str, text: str) -> None:
    assert sought_in(text) != what


def test_each_row_is_something_that_can_be_looked_up() -> None:
    assert {row.id for row in ROWS} == {str(one) for one in Sought}


@pytest.mark.parametrize("text", ["why did the kale die", "why are they pale", ""])
def test_a_question_why_is_for_the_causes(text: str) -> None:
    assert sought_in(text) is None
