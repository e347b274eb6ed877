"""Reading records in, from the file to the answer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.errors import CoordinatorsOnly
from core.group.records_file import RecordsUnreadable
from core.handlers.table import answer
from core.records import snapshot
from core.replies.importing import Imported, ImportShown, RowsTaken
from core.requests import Import, SetTray
from tests.core.handlers.one_group import OneGroup
from tests.records.test_import import AT, exported, season

TABLE = (
    b"crop,tray,cells,sown,seeds per cell,up,counted\n"
    b"tomato,T1,12,2027-02-01,2,20,2027-02-12\n"
    b"basil,T1,6,2027-02-20,,,\n"
    b"basil,T7,6,2027-02-20,,,\n"
)


def test_an_export_is_read_into_an_empty_group_and_into_no_other() -> None:
    raw = exported(season())
    one = OneGroup(AT)
    reply = one.ask(Import(file_name="x.zip", data=raw))
    assert isinstance(reply, Imported)
    assert dict(reply.counts)["sowings"] == 1
    with pytest.raises(RecordsUnreadable) as caught:
        one.ask(Import(file_name="x.zip", data=raw))
    assert caught.value.reason == "not_empty"


def test_a_table_is_shown_first_and_written_once() -> None:
    one = OneGroup(AT)
    one.ask(SetTray(codes=("T1",), cells=72))
    shown = one.ask(Import(file_name="x.csv", data=TABLE))
    assert isinstance(shown, ImportShown)
    assert len(shown.rows) == 2
    assert shown.unclear == ((4, "tray", "T7"),)
    with one.database.transaction() as session:
        assert not snapshot.all_sowings(session, one.ids[0])
    taken = one.ask(Import(dialogue=shown.dialogue))
    assert taken == RowsTaken(sowings=2, counted=1)
    with one.database.transaction() as session:
        first, second = snapshot.all_sowings(session, one.ids[0])
    assert (first.crop, first.seeds, first.happenings[0].values) == ("tomato", 24, {"total": 20})
    assert second.crop == "basil"
    with pytest.raises(RecordsUnreadable):
        one.ask(Import(dialogue=shown.dialogue))


def test_only_coordinators_read_records_in() -> None:
    one = OneGroup(AT)
    with pytest.raises(CoordinatorsOnly), one.database.transaction() as session:
        answer(Import(data=TABLE), replace(one.scene, coordinator=False), session)


def test_the_button_of_a_table_writes_it() -> None:
    one = OneGroup(AT)
    one.ask(SetTray(codes=("T1",), cells=72))
    message = one.hear(Import(file_name="x.csv", data=TABLE))
    assert "Row 4 left out" in message.text
    assert isinstance(one.ask(message.rows[0][0].request), RowsTaken)
