"""Questions for the records are told from their neighbours."""

from __future__ import annotations

import pytest

from core.trouble.looked_up import LOOKED_UP, Sought, sought_in

FIRES = [(row.id, text) for row in LOOKED_UP.rows() for text in row.fires]
SILENT = [(row.id, text) for row in LOOKED_UP.rows() for text in row.silent]


@pytest.mark.parametrize(("what", "text"), FIRES)
def test_a_question_for_the_records_is_known(what: str, text: str) -> None:
    assert sought_in(text) == what


@pytest.mark.parametrize(("what", "text"), SILENT)
def test_its_neighbour_is_not_taken_for_one(what: str, text: str) -> None:
    assert sought_in(text) != what


def test_each_row_is_something_that_can_be_looked_up() -> None:
    assert {row.id for row in LOOKED_UP.rows()} == {str(one) for one in Sought}


@pytest.mark.parametrize("text", ["why did T1 and T4 do differently?", "what died and why", ""])
def test_a_question_why_is_for_the_causes(text: str) -> None:
    assert sought_in(text) is None
