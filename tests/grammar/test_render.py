"""Canonical text parses back to the request it was made from."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.grammar import parse, render
from core import requests as asked
from core.cells import Cell, CellPart, CellSpec, Part
from tests.grammar.made import BY_TYPE, CONTEXT, request_types


def test_every_request_type_has_a_strategy() -> None:
    assert set(BY_TYPE) == set(request_types())


@pytest.mark.parametrize("kind", request_types(), ids=lambda kind: kind.__name__)
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_rendered_text_parses_back_to_the_same_request(
    kind: type[asked.Request], data: st.DataObject
) -> None:
    request = data.draw(BY_TYPE[kind])
    text = render(request)
    lines = parse(text, CONTEXT)
    assert len(lines) == 1
    assert lines[0].problem is None, (text, lines[0].problem)
    assert lines[0].choices == (), text
    assert lines[0].echoes == (), text
    assert lines[0].request == request, text


@pytest.mark.parametrize(
    "request_",
    [
        asked.Done(notice=123456789),
        asked.Answer(dialogue=123456, choice="yes"),
        asked.Watered(where=asked.Where(trays=("T12",)), notice=123456789),
        asked.Undo(report="R123456"),
        asked.Up(
            where=asked.Where(
                trays=("T12",), cells=CellSpec((CellPart(Part.RANGE, Cell(0, 0), Cell(5, 11)),))
            ),
            count=72,
            on=date(2027, 4, 10),
            notice=123456789,
        ),
        asked.Swap(take=123456789),
        asked.MakePlan(accept=123456789),
    ],
    ids=lambda request: type(request).__name__,
)
def test_usual_button_texts_fit_in_64_ascii_bytes(request_: asked.Request) -> None:
    text = render(request_)
    assert len(text.encode("ascii")) <= 64
