"""Upgrading keeps every row on both engines, and ends at what the models say."""

from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Engine, inspect, text

from bot.operate.open_database import DatabaseClosed, open_database
from core.records import models as m
from core.records import schema
from core.records.database import open_engine
from tests.databases import new_url
from tests.records.filling import content, fill

VERSIONS = schema.MIGRATIONS / "versions"
FILES = sorted(VERSIONS.glob("[0-9]*.py"))

# A revision that databases out there may stand at is never edited: what comes later is a new one.
FROZEN = {
    "0001": "30be8836f8a8e906a2e0aa595dc52d54336d983c5a4b38cc52aca8b7a7ba1eeb",
    "0002": "a5de91e09ce2fe54fc27c803c7049f0e3e2348ecc3d00c5a8966adf4b8316675",
    "0003": "d420d8a0321a087864e0b2f6f0170be6b384134a9a12896ac1745981b0930643",
    "0004": "2358bef8af413a26be53a1ebda1ff0952073c16784f00f3db8406a95d2efb256",
    "0005": "fd1bf0d108dd9ed31d22f0aa3254e2656cc734090f66a33b7c97f5a1a0d02f02",
    "0006": "11cf8c94907d862163a629af5a2dff74681633dc9545343623184ea0ea7b4f92",
    "0007": "c4512b1dcca4d558b8dfa686e388dc6f412290d9d1de73c6114ca95888283446",
    "0008": "b222d65567702bf440ae587e590fc3158cbb6eb5d026f02554021c1886b3eb68",
    "0009": "6c360414a18da692b5d542126c5d38809fa1a9899c71dca58c1c33a377cedd0c",
    "0010": "9cc9cb3b9bf8b523e23afd2f8e7ee8eaf089e7c96bd7e0a4faaa4756af4724cf",
    "0011": "69246fd581cafbb03ce2b85fbd5dee4bf88304f65069a1c3ec659713a5271167",
    "0012": "a9a2c6f1237efa759729a227c27af82f7b63d1ab2e6b4a921c5746c4ee99fe51",
}


@pytest.fixture
def engine(both_engines: str, tmp_path: Path) -> Any:
    made = open_engine(new_url(tmp_path, empty=True))
    yield made
    made.dispose()


def test_the_newest_revision_known_is_the_newest_file() -> None:
    assert tuple(file.name[:4] for file in FILES) == schema.KNOWN
    assert schema.KNOWN[-1] == schema.HEAD


def test_each_revision_follows_the_one_before_it() -> None:
    before = None
    for file in FILES:
        words = file.read_text(encoding="utf-8")
        found = re.search(r"^down_revision = (.*)$", words, re.MULTILINE)
        assert found is not None
        assert found[1] == (repr(before).replace("'", '"'))
        before = file.name[:4]


def test_there_is_no_way_down() -> None:
    for file in FILES:
        assert "def downgrade" not in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("revision", FROZEN)
def test_a_revision_in_use_is_as_it_was(revision: str) -> None:
    (file,) = VERSIONS.glob(f"{revision}_*.py")
    assert hashlib.sha256(file.read_bytes()).hexdigest() == FROZEN[revision]


TEXT_NOW = {("chats", "thread")}  # was a number: its digits are kept


def _as_before(table: str, name: str, was: dict[str, Any], row: dict[str, Any]) -> Any:
    return type(was[name])(row[name]) if (table, name) in TEXT_NOW and was[name] else row[name]


def differences(engine: Engine) -> list[Any]:
    """Return what a further revision would have to change."""

    def other_default(_c: Any, _i: Any, _m: Any, found: Any, _d: Any, meant: Any) -> bool | None:
        bare = [re.sub(r"::[\w ]+$", "", str(x)).strip("'()") for x in (found, meant)]
        return False if found is not None and meant is not None and bare[0] == bare[1] else None

    options = {"compare_type": True, "compare_server_default": other_default}
    with engine.connect() as connection:
        return compare_metadata(
            MigrationContext.configure(connection, opts=options), m.Base.metadata
        )


def test_the_newest_schema_is_what_the_models_say(engine: Engine) -> None:
    schema.upgrade(engine)
    assert differences(engine) == []


def test_a_column_that_is_missing_would_be_seen(engine: Engine) -> None:
    schema.upgrade(engine)
    with engine.begin() as connection:
        connection.execute(text("ALTER TABLE plans DROP COLUMN dropped_at"))
    assert len(differences(engine)) == 1


@pytest.mark.parametrize("revision", schema.KNOWN)
def test_every_row_is_kept_from_every_earlier_revision(engine: Engine, revision: str) -> None:
    schema.upgrade(engine, revision)
    assert schema.current(engine) == revision
    fill(engine)
    before = content(engine)
    assert all(before.values())
    schema.upgrade(engine)
    assert schema.current(engine) == schema.HEAD
    after = content(engine)
    for table, rows in before.items():
        if table == "presses" and revision < "0007":
            assert after[table] == []  # words under a number that anybody could guess
            continue
        kept = [
            {name: _as_before(table, name, was, row) for name in was if name in row}
            for was, row in zip(rows, after[table], strict=True)
        ]
        assert kept == rows


def test_plants_in_loose_pots_get_a_tray_where_they_stand(engine: Engine) -> None:
    schema.upgrade(engine, "0005")
    with engine.begin() as connection:
        for statement in LOOSE_POTS:
            connection.execute(text(statement))
    schema.upgrade(engine)
    with engine.connect() as connection:
        tray = connection.execute(text("SELECT * FROM trays WHERE code = 'T2'")).one()
        told = connection.execute(
            sa.select(m.Report.values).where(m.Report.kind == "potted").order_by(m.Report.id)
        )
        values = [row[0] for row in told]
    assert (tray.shelf_id, tray.rows, tray.cols, tray.pot_mm) == (1, 2, 6, 76.2)
    assert [value["tray"] for value in values] == ["T2", "T2"]
    assert [len(value["cells"].split()) for value in values] == [5, 3]
    assert not set(values[0]["cells"].split()) & set(values[1]["cells"].split())


LOOSE_POTS = (
    "INSERT INTO groups (id, name, created_at) VALUES (1, 'Ours', '2027-01-01 00:00:00')",
    "INSERT INTO shelves (id, group_id, code) VALUES (1, 1, 'A')",
    "INSERT INTO trays (id, group_id, code, rows, cols, shelf_id) VALUES (900, 1, 'T1', 6, 12, 1)",
    "INSERT INTO acts (id, group_id, number, kind, recorded_at) "
    "VALUES (1, 1, 1, 'sow', '2027-03-01 12:00:00')",
    "INSERT INTO sowings (id, group_id, act_id, number, crop, tray_id, cells, sown_on, "
    "seeds_per_cell) VALUES (1, 1, 1, 1, 'tomato', 900, 'A1 A2', '2027-03-01', 4)",
    *(
        'INSERT INTO reports (id, group_id, act_id, kind, sowing_id, on_day, at, "values") '
        f"VALUES ({n}, 1, 1, 'potted', 1, '2027-04-0{n}', '2027-04-0{n} 12:00:00', "
        f'\'{{"count": {count}, "tray": null, "cells": ""}}\')'
        for n, count in ((1, 5), (2, 3))
    ),
)


def test_upgrading_twice_changes_nothing(engine: Engine) -> None:
    schema.upgrade(engine)
    fill(engine)
    before = content(engine)
    schema.upgrade(engine)
    assert content(engine) == before


REBUILD = """
import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{head}"
branch_labels = None
depends_on = None


def upgrade() -> None:
    sqlite = op.get_bind().dialect.name == "sqlite"
    with op.batch_alter_table("groups", recreate="always" if sqlite else "never") as batch_op:
        batch_op.add_column(sa.Column("motto", sa.Text(), nullable=True))
    {further}
"""


@pytest.fixture
def next_revision(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Write a revision after the newest, in a copy of the folder."""

    def write(further: str = "pass") -> None:
        copy = tmp_path / "migrations"
        shutil.copytree(schema.MIGRATIONS, copy)
        words = REBUILD.format(head=schema.HEAD, further=further)
        (copy / "versions" / "9999_rebuild.py").write_text(words, encoding="utf-8")
        monkeypatch.setattr(schema, "MIGRATIONS", copy)

    return write


def test_rebuilding_a_parent_table_keeps_the_rows_that_point_to_it(
    engine: Engine, next_revision: Any
) -> None:
    schema.upgrade(engine)
    fill(engine)
    before = content(engine)
    next_revision()
    schema.upgrade(engine, "9999")
    after = content(engine)
    assert [row.pop("motto") for row in after["groups"]] == [None] * len(before["groups"])
    assert after == before


def test_foreign_keys_hold_again_after_an_upgrade(engine: Engine, next_revision: Any) -> None:
    schema.upgrade(engine)
    fill(engine)
    next_revision()
    schema.upgrade(engine, "9999")
    with engine.connect() as connection, pytest.raises(Exception, match=r"(?i)foreign key"):
        connection.execute(text("DELETE FROM groups"))


def test_a_revision_that_would_orphan_rows_is_taken_back_whole(
    engine: Engine, next_revision: Any
) -> None:
    schema.upgrade(engine)
    fill(engine)
    before = content(engine)
    next_revision('op.execute("DELETE FROM groups WHERE id = 1")')
    with pytest.raises(Exception, match=r"(?i)foreign key"):
        schema.upgrade(engine, "9999")
    assert schema.current(engine) == schema.HEAD
    assert content(engine) == before
    assert "motto" not in {c["name"] for c in inspect(engine).get_columns("groups")}


def test_a_newer_schema_is_refused_in_one_line(both_engines: str, tmp_path: Path) -> None:
    url = new_url(tmp_path)
    engine = open_engine(url)
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    engine.dispose()
    with pytest.raises(DatabaseClosed, match=r"newer Traywarden \(schema 9999\)") as refused:
        open_database(url)
    assert "\n" not in str(refused.value)
