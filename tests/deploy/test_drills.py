"""Drills: a backup read into an empty place answers the same; an old database is brought up."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bot.operate.open_database import open_database
from core.records import schema
from core.records.database import Database, open_engine
from tests.databases import new_database, new_url
from tests.reading.garden import build, say
from tests.records.filling import fill

ROOT = Path(__file__).resolve().parents[2]
QUESTIONS = ("/trays", "/due", "/log", "/log T1", "/duty", "/plan", "/members", "/site", "/results")


def run(*words: str, url: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "DATABASE_URL": url, "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        words, env=environment | {"PYTHON": sys.executable}, cwd=cwd, text=True,
        capture_output=True, timeout=120, check=False,
    )  # fmt: skip


def bot(*words: str, url: str, cwd: Path) -> None:
    done = run(sys.executable, "-P", "-m", "bot", *words, url=url, cwd=cwd)
    assert done.returncode == 0, done.stderr


def answers(database: Database) -> list[list[str]]:
    return [say(database, "Ana", question, 9000 + n) for n, question in enumerate(QUESTIONS)]


def files(folder: Path) -> list[str]:
    """Return what lies in a folder; what SQLite keeps beside an open file comes and goes."""
    return sorted(p.name for p in folder.iterdir() if not p.name.endswith(("-wal", "-shm")))


def plain(database: Database) -> str:
    return database.engine.url.render_as_string(hide_password=False)


@pytest.mark.usefixtures("both_engines")
def test_a_backup_read_into_an_empty_place_answers_the_same(tmp_path: Path) -> None:
    database = new_database(new_url(tmp_path))
    build(database)
    bot("backup", "kept.gz", url=plain(database), cwd=tmp_path)
    target = new_url(tmp_path, empty=True)
    bot("restore", "kept.gz", "--database", target, url=plain(database), cwd=tmp_path)
    restored = Database(open_engine(target))
    said = answers(database)
    assert answers(restored) == said
    assert all(text for one in said for text in one)
    assert len({tuple(one) for one in said}) > len(said) / 2  # not the same excuse everywhere
    # and it goes on: what is said next is recorded in both alike
    assert say(restored, "Ana", "/watered T1", 9900) == say(database, "Ana", "/watered T1", 9900)
    restored.close()


@pytest.mark.usefixtures("both_engines")
def test_the_drill_says_that_all_came_back_and_leaves_nothing(tmp_path: Path) -> None:
    database = new_database(new_url(tmp_path))
    build(database)
    before = files(tmp_path)
    done = run(str(ROOT / "deploy" / "drill"), url=plain(database), cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "restored as they were" in done.stdout
    assert files(tmp_path) == before


@pytest.mark.usefixtures("both_engines")
def test_the_drill_fails_where_something_is_lost(tmp_path: Path) -> None:
    database = new_database(new_url(tmp_path))
    build(database)
    false = tmp_path / "python"
    false.write_text(
        f'#!/bin/sh\n"{sys.executable}" "$@" || exit 1\n'
        f'case "$*" in *restore*) "{sys.executable}" -c \'import sqlite3, sys\n'
        'file = sys.argv[1].removeprefix("sqlite:///")\n'
        'base = sqlite3.connect(file)\nbase.execute("UPDATE groups SET name = 1")\nbase.commit()\''
        ' "$7";; esac\n',
        encoding="utf-8",
    )
    false.chmod(0o755)
    environment = {**os.environ, "DATABASE_URL": plain(database), "PYTHON": str(false)}
    done = subprocess.run(
        [str(ROOT / "deploy" / "drill")], env=environment, cwd=tmp_path, text=True,
        capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 1, done.stdout + done.stderr
    assert "differs" in done.stderr


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("revision", [schema.KNOWN[0], schema.KNOWN[-2]])
def test_an_old_database_is_brought_up_and_then_drilled(tmp_path: Path, revision: str) -> None:
    """As `serve` finds it after an upgrade: opened, brought up, and a backup of it comes back."""
    url = new_url(tmp_path, empty=True)
    engine = open_engine(url)
    schema.upgrade(engine, revision)
    fill(engine)
    assert schema.current(engine) == revision
    engine.dispose()
    database = open_database(url)
    assert schema.current(database.engine) == schema.HEAD
    assert say(database, "Zoe", "/help", 1)[0]
    database.close()
    done = run(str(ROOT / "deploy" / "drill"), url=url, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "restored as they were" in done.stdout
