"""A backup shows one instant, and comes back the same into either engine."""

from __future__ import annotations

import gzip
import json
import stat
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, func, select, text

from core.records import backup, people, schema
from core.records import models as m
from core.records.backup import BackupBroken, NotEmpty, NothingToKeep
from core.records.database import Database, open_engine
from tests.databases import new_database, new_url
from tests.records.filling import content, fill

NOW = datetime(2027, 3, 14, 8, 30, tzinfo=UTC)

Make = Callable[..., Engine]


@pytest.fixture
def make(both_engines: str, tmp_path: Path) -> Any:
    """Open databases of the engine at hand: `make()` empty, `make(revision)` upgraded so far."""
    made: list[Engine] = []

    def new(revision: str | None = None) -> Engine:
        engine = open_engine(new_url(tmp_path, empty=True))
        made.append(engine)
        if revision is not None:
            schema.upgrade(engine, revision)
        return engine

    yield new
    for engine in made:
        engine.dispose()


@pytest.fixture
def sqlite_too(tmp_path: Path) -> Any:
    """An empty SQLite database, whichever engine is at hand."""
    engine = open_engine(f"sqlite:///{tmp_path / 'other.db'}")
    yield engine
    engine.dispose()


def test_every_row_comes_back_as_it_was(make: Make, tmp_path: Path) -> None:
    source, target = make(schema.HEAD), make()
    fill(source)
    kept = backup.backup(source, tmp_path / "a.gz", NOW)
    assert backup.restore(target, tmp_path / "a.gz") == kept
    assert content(target) == content(source)
    assert kept.rows == {table: len(rows) for table, rows in content(source).items()}
    assert set(kept.rows) == set(m.Base.metadata.tables)


def test_it_comes_back_into_sqlite_from_either_engine(
    make: Make, sqlite_too: Engine, tmp_path: Path
) -> None:
    source = make(schema.HEAD)
    fill(source)
    backup.backup(source, tmp_path / "a.gz", NOW)
    backup.restore(sqlite_too, tmp_path / "a.gz")
    assert content(sqlite_too) == content(source)


def test_it_goes_from_sqlite_into_either_engine_and_back(
    make: Make, sqlite_too: Engine, tmp_path: Path
) -> None:
    schema.upgrade(sqlite_too)
    fill(sqlite_too)
    backup.backup(sqlite_too, tmp_path / "a.gz", NOW)
    target = make()
    backup.restore(target, tmp_path / "a.gz")
    backup.backup(target, tmp_path / "b.gz", NOW)
    assert (tmp_path / "b.gz").read_bytes() == (tmp_path / "a.gz").read_bytes()


def test_rows_written_after_a_restore_are_numbered_on(make: Make, tmp_path: Path) -> None:
    source, target = make(schema.HEAD), make()
    fill(source)
    backup.backup(source, tmp_path / "a.gz", NOW)
    backup.restore(target, tmp_path / "a.gz")
    with Database(target).transaction() as session:
        last = session.scalar(select(func.max(m.Group.id))) or 0
        assert people.found_group(session, "Bench", NOW).id == last + 1


@pytest.mark.parametrize("revision", schema.KNOWN)
def test_a_backup_of_an_earlier_schema_is_upgraded(
    make: Make, tmp_path: Path, revision: str
) -> None:
    source, target = make(revision), make()
    fill(source)
    assert backup.backup(source, tmp_path / "a.gz", NOW).revision == revision
    backup.restore(target, tmp_path / "a.gz")
    assert schema.current(target) == schema.HEAD
    schema.upgrade(source)
    assert content(target) == content(source)


def test_a_database_with_a_row_is_left_alone(make: Make, tmp_path: Path) -> None:
    source, target = make(schema.HEAD), make(schema.HEAD)
    fill(source)
    with Database(target).transaction() as session:
        people.found_group(session, "Bench", NOW)
    before = content(target)
    backup.backup(source, tmp_path / "a.gz", NOW)
    with pytest.raises(NotEmpty):
        backup.restore(target, tmp_path / "a.gz")
    assert content(target) == before


def test_a_database_of_another_program_is_left_alone(make: Make, tmp_path: Path) -> None:
    source, target = make(schema.HEAD), make()
    backup.backup(source, tmp_path / "a.gz", NOW)
    with target.begin() as connection:
        connection.execute(text("CREATE TABLE visitors (name TEXT)"))
    with pytest.raises(NotEmpty):
        backup.restore(target, tmp_path / "a.gz")


def test_a_database_with_tables_and_no_rows_is_empty(make: Make, tmp_path: Path) -> None:
    source, target = make(schema.HEAD), make(schema.HEAD)
    fill(source)
    backup.backup(source, tmp_path / "a.gz", NOW)
    backup.restore(target, tmp_path / "a.gz")
    assert content(target) == content(source)


def test_an_empty_database_gives_no_backup(make: Make, tmp_path: Path) -> None:
    with pytest.raises(NothingToKeep):
        backup.backup(make(), tmp_path / "a.gz", NOW)
    assert not list(tmp_path.glob("a.gz*"))


def test_a_backup_is_private_and_replaces_nothing(make: Make, tmp_path: Path) -> None:
    source = make(schema.HEAD)
    backup.backup(source, tmp_path / "a.gz", NOW)
    assert stat.S_IMODE((tmp_path / "a.gz").stat().st_mode) == 0o600
    before = (tmp_path / "a.gz").read_bytes()
    fill(source)
    with pytest.raises(FileExistsError):
        backup.backup(source, tmp_path / "a.gz", NOW)
    assert (tmp_path / "a.gz").read_bytes() == before
    assert len(list(tmp_path.glob("a.gz*"))) == 1


def test_a_backup_is_of_one_instant_while_writing_goes_on(make: Make, tmp_path: Path) -> None:
    """Every transaction adds a group and a member of it: no backup has one without the other."""
    database = Database(make(schema.HEAD))
    stop = threading.Event()
    written = 0

    def write() -> None:
        nonlocal written
        while not stop.is_set():
            with database.transaction() as session:
                group = people.found_group(session, f"Bench {written}", NOW)
                people.join(session, group.id, None, "Ana", NOW)
            written += 1

    pool = ThreadPoolExecutor(1)
    writing = pool.submit(write)
    seen: list[int] = []
    try:
        for number in range(6):
            while written < 20 * (number + 1):
                assert not writing.done()
            before = written
            kept = backup.backup(database.engine, tmp_path / f"{number}.gz", NOW)
            assert before <= kept.rows["groups"] == kept.rows["members"]
            seen.append(kept.rows["groups"])
    finally:
        stop.set()
        pool.shutdown()
    writing.result()
    assert seen == sorted(set(seen))


def test_writers_do_not_wait_for_a_backup(
    make: Make, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = Database(make(schema.HEAD))
    fill(database.engine)
    rows = backup._rows

    def rows_and_a_write(connection: Any, table: Any) -> Any:
        if table.name == "marks":  # in the middle of reading
            with database.transaction() as session:
                people.found_group(session, "Bench", NOW)
                session.add(m.Mark(name="late", value="x", at=NOW))
        return rows(connection, table)

    monkeypatch.setattr(backup, "_rows", rows_and_a_write)
    kept = backup.backup(database.engine, tmp_path / "a.gz", NOW)
    after = content(database.engine)
    assert len(after["groups"]) == kept.rows["groups"] + 1
    assert len(after["marks"]) == kept.rows["marks"] + 1


# --- files that will not do; the engine makes no difference ---


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    database = new_database()
    fill(database.engine)
    backup.backup(database.engine, tmp_path / "whole.gz", NOW)
    database.close()
    return tmp_path / "whole.gz"


def repacked(path: Path, lines: list[bytes]) -> Path:
    path.write_bytes(gzip.compress(b"".join(line + b"\n" for line in lines)))
    return path


def test_a_whole_file_reads_to_its_end(whole: Path) -> None:
    kept = backup.read_kept(whole)
    assert (kept.revision, kept.made_at) == (schema.HEAD, NOW)


@pytest.mark.parametrize("part", [0.0, 0.1, 0.5, 0.9, 0.999])
def test_a_file_cut_short_is_refused(whole: Path, part: float) -> None:
    content_ = whole.read_bytes()
    whole.write_bytes(content_[: int(part * len(content_))])
    with pytest.raises(BackupBroken):
        backup.read_kept(whole)


def test_a_file_without_its_last_lines_is_refused(whole: Path) -> None:
    lines = gzip.decompress(whole.read_bytes()).splitlines()
    for missing in range(1, len(lines) + 1):
        with pytest.raises(BackupBroken):
            backup.read_kept(repacked(whole, lines[:-missing]))


def test_a_changed_or_missing_or_doubled_row_is_refused(whole: Path) -> None:
    lines = gzip.decompress(whole.read_bytes()).splitlines()
    row = next(n for n, line in enumerate(lines) if line.startswith(b"["))
    changed = [*lines[:row], lines[row].replace(b"1", b"9", 1), *lines[row + 1 :]]
    for wrong in (changed, lines[:row] + lines[row + 1 :], lines[: row + 1] + lines[row:]):
        with pytest.raises(BackupBroken, match="changed"):
            backup.read_kept(repacked(whole, wrong))


@pytest.mark.parametrize(
    "words",
    [
        b"",
        b"not gzip at all",
        gzip.compress(b"hello\n", mtime=0),  # the time would be part of the test's name
        gzip.compress(b'{"a": 1}\n', mtime=0),
    ],
    ids=["empty", "words", "other words", "other JSON"],
)
def test_another_file_is_refused_as_no_backup(tmp_path: Path, words: bytes) -> None:
    (tmp_path / "a.gz").write_bytes(words)
    with pytest.raises(BackupBroken, match="other"):
        backup.read_kept(tmp_path / "a.gz")


def test_a_backup_of_a_newer_program_is_refused(whole: Path) -> None:
    lines = gzip.decompress(whole.read_bytes()).splitlines()
    head = json.loads(lines[0]) | {"schema": "9999"}
    with pytest.raises(schema.SchemaTooNew):
        backup.read_kept(repacked(whole, [json.dumps(head).encode(), *lines[1:]]))


def test_a_refused_file_leaves_the_database_empty(whole: Path, tmp_path: Path) -> None:
    whole.write_bytes(whole.read_bytes()[:-40])
    engine = open_engine(f"sqlite:///{tmp_path / 'target.db'}")
    with pytest.raises(BackupBroken):
        backup.restore(engine, whole)
    assert schema.current(engine) is None
    engine.dispose()
