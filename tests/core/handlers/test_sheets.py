"""Sheets and tags, from records to paper."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta

import pytest
from pypdf import PdfReader

from bot.papers.attachments import content
from core.errors import NoSuchSowing
from core.handlers.tags import tags_of
from core.records import snapshot
from core.requests import SetTray, Sheet, Sow, Tags, Up, Where, Wish
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 9, tzinfo=UTC)


def grown() -> OneGroup:
    one = OneGroup(AT)
    one.ask(SetTray(codes=("T1",), cells=72))
    one.ask(Sow(crop="basil", where=Where(trays=("T1",)), cell_count=8))
    one.at += timedelta(days=20)
    one.ask(Up(where=Where(crop="basil"), count=8))
    return one


def text_of(one: OneGroup, request: Sheet | Tags) -> str:
    (file,) = one.hear(request).attachments
    raw = content(one.database, {"what": file.what, "values": file.values}, one.at)
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(raw)).pages)


def test_one_tag_a_wish_that_something_living_can_answer() -> None:
    one = grown()
    one.ask(Wish(plants=3, crop="basil", for_whom="Ruiz"))
    one.ask(Wish(plants=2, crop="tomato"))
    with one.database.transaction() as session:
        garden = snapshot.garden(session, one.ids[0], one.at.date())
        found = tags_of(session, garden, one.at, one.at.date())
    assert [(tag.crop, tag.name, tag.plants, tag.tray) for tag in found] == [
        ("basil", "Ruiz", 3, "T1")
    ]
    assert "Ruiz: 3 plants" in text_of(one, Tags())


def test_nothing_to_give_is_said() -> None:
    with pytest.raises(NoSuchSowing):
        OneGroup(AT).ask(Tags())
    with pytest.raises(NoSuchSowing):
        grown().ask(Tags(crop="tomato"))


@pytest.mark.parametrize("kind", ["week", "rota", "season"])
def test_each_sheet_is_made_of_the_records(kind: str) -> None:
    said = text_of(grown(), Sheet(kind=kind))
    assert {"week": "Feel the mix", "rota": "Who comes", "season": "basil"}[kind] in said
