"""An export reads back into an empty group, and out of that again the same."""

from __future__ import annotations

import io
import zipfile
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from bot.papers.export import export_zip
from core.group.records_file import MOST_BYTES, RecordsUnreadable, read_records
from core.records import models as m
from core.records.tables_in import is_empty, write_tables
from core.records.tables_out import SITE, TABLES, columns_of, meanings, tables_of
from core.requests import (
    Harden,
    Lost,
    MakePlan,
    Note,
    PlanItem,
    Planted,
    Potted,
    SetAway,
    SetClosed,
    SetDuty,
    SetFrost,
    SetLot,
    SetReminder,
    SetShelf,
    SetTray,
    Sow,
    Temp,
    Undo,
    Up,
    Watered,
    Where,
    Wish,
)
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 9, tzinfo=UTC)


def season() -> OneGroup:
    """A group with something in every table."""
    one = OneGroup(AT)
    one.ask(SetFrost(typical=date(2027, 4, 28)))
    one.ask(SetShelf(code="A", lamp="white_led", places=8))
    one.ask(SetTray(codes=("T1", "T2"), cells=72, shelf="A"))
    one.ask(SetLot(crop="tomato", variety="=Amber, 'Pip'", packed_for=2026))
    one.ask(MakePlan(items=(PlanItem(crop="basil", plants=12),)))
    plan = one.ask(MakePlan(items=(PlanItem(crop="lettuce", plants=20),))).plan  # type: ignore[attr-defined]
    one.ask(MakePlan(accept=plan))
    one.ask(SetDuty(who=("Ana",), weekdays=(0, 2)))
    one.ask(SetAway(first=date(2027, 3, 8), last=date(2027, 3, 9)))
    one.ask(SetClosed(first=date(2027, 3, 27), last=date(2027, 4, 4), label="Spring; break"))
    one.ask(Sow(lot="L1", where=Where(trays=("T1",)), cell_count=12))
    one.ask(Note(text="-2 looks\nodd 'so'", where=Where(trays=("T1",))))
    one.at += timedelta(days=10)
    one.ask(Up(where=Where(sowing="S1"), count=11))
    one.ask(Watered(where=Where(trays=("T1",))))
    one.ask(Temp(temp_c=21.25, where=Where(trays=("T1",))))
    one.ask(Undo(last=True))
    one.ask(SetReminder(text="bring labels", on=date(2027, 3, 19), who="me"))
    one.ask(Wish(plants=3, crop="tomato", for_whom="Ruiz"))
    one.at += timedelta(days=20)
    one.ask(Potted(where=Where(sowing="S1"), count=6, pot_mm=90.0))
    one.ask(Lost(where=Where(sowing="S1"), count=1, cause="slugs"))
    one.ask(Planted(where=Where(sowing="S1"), count=2, to_whom="Ruiz"))
    return one


def exported(one: OneGroup) -> bytes:
    with one.database.transaction() as session:
        return export_zip(session, {"group_id": one.ids[0]}, one.at)


def tables(one: OneGroup) -> dict[str, str]:
    with one.database.transaction() as session:
        return tables_of(session, one.ids[0])


def imported(raw: bytes) -> OneGroup:
    other = OneGroup(AT + timedelta(days=90))
    with other.database.transaction() as session:
        session.add(m.Group(name="another", created_at=AT))  # so that no id is the same
        assert is_empty(session, other.ids[0])
        write_tables(session, other.ids[0], read_records(raw, "x.zip"), "x.zip")
    return other


def test_export_import_export_gives_the_same_tables() -> None:
    one = season()
    other = imported(exported(one))
    first, second = tables(one), tables(other)
    assert first == second
    for name in TABLES:
        assert first[f"tables/{name}.csv"].count("\n") > 1, f"nothing in {name} was tried"


def test_what_was_read_back_answers_as_before() -> None:
    one = season()
    other = imported(exported(one))
    other.at = one.at
    for request in (Harden(where=Where(sowing="S1")), Up(where=Where(sowing="S1"), count=12)):
        assert type(one.ask(request)) is type(other.ask(request))
    with other.database.transaction() as session:
        (name,) = session.scalars(
            select(m.Member.name).where(m.Member.group_id == other.ids[0])
        ).all()
    assert name == "Ana"


def test_a_plan_keeps_its_sowings_under_its_new_number() -> None:
    one = season()
    other = OneGroup(AT)
    with other.database.transaction() as session:
        elsewhere = m.Group(name="another", created_at=AT)
        session.add(elsewhere)
        session.flush()
        session.add_all(
            m.Plan(group_id=elsewhere.id, made_at=AT, body={"sowings": []}) for _ in range(7)
        )
        session.flush()
        write_tables(session, other.ids[0], read_records(exported(one), "x.zip"), "x.zip")
        plans = session.scalars(select(m.Plan).where(m.Plan.group_id == other.ids[0])).all()
        for plan in plans:
            assert {entry["id"].split("-")[0] for entry in plan.body["sowings"]} <= {f"P{plan.id}"}


def test_every_column_that_goes_out_says_what_it_holds() -> None:
    every = {f"{table}.{c.name}" for table in (SITE, *TABLES) for c in columns_of(table)}
    assert set(meanings()) == every


def test_no_account_goes_out() -> None:
    text = "".join(tables(season()).values())
    assert "person" not in text.replace("person_", "")
    assert "platform" not in text


def test_a_group_with_anything_in_it_is_not_empty() -> None:
    one = OneGroup(AT)
    with one.database.transaction() as session:
        assert is_empty(session, one.ids[0])
    one.ask(SetTray(codes=("T1",), cells=72))
    with one.database.transaction() as session:
        assert not is_empty(session, one.ids[0])


def changed(raw: bytes, name: str, put: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w") as new:
        for member in old.infolist():
            new.writestr(member, put if member.filename == name else old.read(member))
    return out.getvalue()


@pytest.mark.parametrize(
    ("table", "old", "new"),
    [
        ("sowings", "tomato", "nonsense"),
        ("sowings", "A1 A2", "A1 ??"),
        ("trays", ",6,12,", ",600,12,"),
        ("members", "yes", "perhaps"),
        ("acts", "2027-03-01T", "yesterday"),
    ],
)
def test_a_damaged_row_is_named_and_nothing_is_written(table: str, old: str, new: str) -> None:
    one = season()
    text = tables(one)[f"tables/{table}.csv"]
    assert old in text
    raw = changed(exported(one), f"tables/{table}.csv", text.replace(old, new))
    other = OneGroup(AT)
    with pytest.raises(RecordsUnreadable) as caught, other.database.transaction() as session:
        write_tables(session, other.ids[0], read_records(raw, "x.zip"), "x.zip")
    assert caught.value.where.startswith(table)
    with other.database.transaction() as session:
        assert is_empty(session, other.ids[0])


def test_an_archive_that_unpacks_without_end_is_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("tables/site.csv", b"a" * (MOST_BYTES + 1))
    with pytest.raises(RecordsUnreadable) as caught:
        read_records(out.getvalue(), "x.zip")
    assert caught.value.reason == "size"


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300))
def test_whatever_is_sent_is_read_or_refused(data: bytes) -> None:
    with pytest.raises(RecordsUnreadable):
        read_records(data, "x.zip")
