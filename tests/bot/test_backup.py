"""`backup` and `restore` at the command line: one line when done, one line when not."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from sqlalchemy import func, select

from bot.__main__ import main
from core.records import models as m
from core.records import people
from core.records.backup import read_kept
from core.records.database import Database, open_engine
from tests.databases import new_url
from tests.records.test_backup import NOW

pytestmark = pytest.mark.usefixtures("both_engines")


def filled(folder: Path) -> str:
    url = new_url(folder)
    database = Database(open_engine(url))
    with database.transaction() as session:
        people.found_group(session, "Bench", NOW)
    database.close()
    return url


def groups(url: str) -> int:
    database = Database(open_engine(url))
    with database.transaction() as session:
        count = session.scalar(select(func.count()).select_from(m.Group))
    database.close()
    return count or 0


def ask(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """Return the exit status and the one line said."""
    status = main(words)
    said = capsys.readouterr()
    (line,) = (said.out + said.err).splitlines()
    return status, line


def test_a_database_goes_into_a_file_and_out_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    source, target = filled(tmp_path), new_url(tmp_path, empty=True)
    monkeypatch.setenv("DATABASE_URL", source)
    status, line = ask(capsys, "backup", "a.gz")
    assert status == 0
    assert line.startswith("a.gz: 1 row in ")
    assert stat.S_IMODE(Path("a.gz").stat().st_mode) == 0o600
    assert read_kept(Path("a.gz")).rows["groups"] == 1
    status, line = ask(capsys, "restore", "a.gz", "--database", target)
    assert status == 0
    assert " restored, as of " in line
    assert groups(target) == 1


def test_what_cannot_be_done_is_said_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    source, empty = filled(tmp_path), new_url(tmp_path, empty=True)
    monkeypatch.setenv("DATABASE_URL", source)
    Path("letter.gz").write_text("Dear all", encoding="utf-8")
    assert ask(capsys, "backup", "a.gz")[0] == 0
    for words, said in (
        (("backup", "a.gz"), "a.gz is there already; choose another name"),
        (("backup", "none/a.gz"), "a.gz cannot be written: "),
        (("backup", "b.gz", "--database", empty), "nothing of Traywarden"),
        (("restore", "a.gz"), "this database is not empty; restore into a new one"),
        (("restore", "none.gz", "--database", empty), "none.gz cannot be read: "),
        (("restore", "letter.gz", "--database", empty), "letter.gz: this is no backup"),
    ):
        status, line = ask(capsys, *words)
        assert status == 2
        assert said in line
    assert groups(source) == 1


def test_a_backup_cut_short_is_not_restored(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("DATABASE_URL", filled(tmp_path))
    ask(capsys, "backup", "a.gz")
    Path("a.gz").write_bytes(Path("a.gz").read_bytes()[:-30])
    status, line = ask(capsys, "restore", "a.gz", "--database", new_url(tmp_path, empty=True))
    assert status == 2
    assert "cut short" in line
