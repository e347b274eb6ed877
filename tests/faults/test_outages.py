"""What a service lives through in years: a database that crashes, a process that freezes, a disk
that is full, a clock that is set, a line that is cut. Nothing is lost, nothing recorded twice.
"""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from core.records.database import Database, open_engine
from tests.databases import new_database, new_url
from tests.faults.line import CUTS, OPEN, SILENT, Line
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import Scene, Talk, say, set_up, wait
from tests.faults.tally import Tally, settle, tally
from tests.postgres import PostgresServer

CHATS, IN_GROUPS = 12, 4
PER_S = 6.0
SETTLES_S = 120.0
CRASHES, BETWEEN_S = 6, 1.5
LEASE_S = 3.0
FROZEN_S = 2 * LEASE_S
TROUBLE_S = 4.0
ODD = ("-m", "tests.faults.serve_oddly")
DAY_S = 86_400.0


def _check(found: Tally, *, repeats: int, stray: bool = False) -> None:
    sys.stdout.write(f"\n{found.line}\n")
    assert found.reports > 0
    assert found.notices_doubled == 0
    assert found.lost == found.doubled == found.unanswered == found.disordered == []
    assert found.parked == 0
    assert found.repeats <= repeats
    assert stray or found.stray == []


@contextmanager
def _serving(
    server: ServerProcess, urls: list[str], folder: Path, *, at: str = "", **odd: str
) -> Iterator[list[Bot]]:
    """Run a `serve` for each database address, the platform at `at` (its own when empty)."""
    os.environ.update(odd)
    bots = [Bot(at or server.url, url, folder / f"serve-{n}.log") for n, url in enumerate(urls)]
    try:
        for bot in bots:
            bot.start(ODD)
        wait("serving", lambda: bool(server.ask("stats")["polling"]), 60, 0.05)
        yield bots
        assert all(bot.runs for bot in bots)
    finally:
        for name in odd:
            del os.environ[name]
        for bot in bots:
            if bot.runs:
                os.kill(bot.process.pid, signal.SIGCONT)
            bot.close()


def _felt(folder: Path, *words: str) -> None:
    """The trouble was one, and was told of in lines, not in tracebacks."""
    logs = "\n".join(log.read_text(encoding="utf-8") for log in folder.glob("serve-*.log"))
    assert any(word in logs for word in words), logs[-2000:]
    assert "Traceback" not in logs


@contextmanager
def _talking(server: ServerProcess, scene: Scene) -> Iterator[None]:
    talk = Talk(server, scene, PER_S)
    try:
        yield
    finally:
        talk.stop()


@pytest.mark.postgres
def test_postgresql_crashes_six_times_under_two_processes(tmp_path: Path) -> None:
    own = PostgresServer({"synchronous_commit": "on"})  # what is committed outlives its crash
    try:
        url = own.new()
        database = Database(open_engine(url))
        with ServerProcess() as server:
            scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
            with _serving(server, [url, url], tmp_path):
                with _talking(server, scene):
                    for _ in range(CRASHES):
                        time.sleep(BETWEEN_S)
                        _crash(database)
                    time.sleep(BETWEEN_S)
                settle(database, scene, SETTLES_S)
                found = tally(server, database, scene)
        database.close()
    finally:
        own.stop()
    _check(found, repeats=CRASHES)
    _felt(tmp_path, "OperationalError")


def _crash(database: Database) -> None:
    """End one of its processes by SIGKILL: the server ends all and recovers from its log."""
    ended = False
    while not ended:
        try:
            with database.engine.connect() as connection:
                pid = connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
                os.kill(pid, signal.SIGKILL)
                ended = True
                connection.execute(text("SELECT 1"))
        except SQLAlchemyError:
            time.sleep(0.1)


@pytest.mark.postgres
def test_a_process_that_freezes_longer_than_its_lease_is_followed(
    on_postgresql: tuple[str, Database], tmp_path: Path
) -> None:
    url, database = on_postgresql
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        with _serving(server, [url, url], tmp_path, LEASE_S=str(LEASE_S)) as bots:
            with _talking(server, scene):
                for bot in bots:
                    time.sleep(1.0)
                    os.kill(bot.process.pid, signal.SIGSTOP)
                    time.sleep(FROZEN_S)
                    os.kill(bot.process.pid, signal.SIGCONT)
                time.sleep(1.0)
            settle(database, scene, SETTLES_S)
            found = tally(server, database, scene)
    _check(found, repeats=len(bots))


def test_a_disk_that_takes_no_write(on_sqlite: tuple[str, Database], tmp_path: Path) -> None:
    """As a medium that went read-only under way does: every write of the process fails."""
    url, database = on_sqlite
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        with _serving(server, [url], tmp_path) as (bot,):
            with _talking(server, scene):
                time.sleep(1.0)
                most = resource.prlimit(bot.process.pid, resource.RLIMIT_FSIZE)
                resource.prlimit(bot.process.pid, resource.RLIMIT_FSIZE, (0, most[1]))
                stored = _stored(database)
                time.sleep(TROUBLE_S)
                assert _stored(database) == stored  # nothing could be
                resource.prlimit(bot.process.pid, resource.RLIMIT_FSIZE, most)
                time.sleep(1.0)
            settle(database, scene, SETTLES_S)
            found = tally(server, database, scene)
    _check(found, repeats=1)


def _stored(database: Database) -> int:
    with database.engine.connect() as connection:
        return int(connection.execute(text("SELECT count(*) FROM inbox")).scalar_one())


def test_a_disk_that_is_full(small_disk: Path, tmp_path: Path) -> None:
    url = new_url(small_disk)
    database = new_database(url)
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        with _serving(server, [url], tmp_path) as (bot,):
            with _talking(server, scene):
                time.sleep(1.0)
                filler = small_disk / "filler"
                _fill(filler)
                time.sleep(TROUBLE_S)
                assert bot.runs
                filler.unlink()
                time.sleep(1.0)
            settle(database, scene, SETTLES_S)
            found = tally(server, database, scene)
    database.close()
    _check(found, repeats=1)
    _felt(tmp_path, "could not be stored")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of a few megabytes, where this user may make one."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=6m,mode=700", "tmpfs", str(place)]
    if subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("this user may not mount a file system")
    yield place
    subprocess.run(["umount", "-l", str(place)], check=True)


def _fill(file: Path) -> None:
    """Write until nothing fits."""
    with file.open("wb", buffering=0) as out:
        for size in (65536, 4096, 1):
            try:
                while True:
                    out.write(b"x" * size)
            except OSError:
                continue


def test_a_clock_set_back_and_forward(on_sqlite: tuple[str, Database], tmp_path: Path) -> None:
    url, database = on_sqlite
    clock = tmp_path / "clock"
    clock.write_text("0", encoding="ascii")
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        with _serving(server, [url], tmp_path, CLOCK_FILE=str(clock)):
            for off_s in (-3600.0, 0.0, DAY_S, 0.0):
                clock.write_text(str(off_s), encoding="ascii")
                time.sleep(0.5)
                before = int(server.ask("stats")["by_bot"])
                say(server, scene, scene.places)
                _answered(server, before + CHATS)
            settle(database, scene, SETTLES_S)
            found = tally(server, database, scene)
    _check(found, repeats=0, stray=True)  # the rounds of the day to which it was set


def _answered(server: ServerProcess, count: int) -> None:
    wait("answers", lambda: int(server.ask("stats")["by_bot"]) >= count, 30)


@pytest.mark.parametrize("cut", CUTS)
@pytest.mark.parametrize(
    "lasts_s", [TROUBLE_S, pytest.param(60.0, marks=pytest.mark.bench)], ids=["short", "full"]
)
def test_a_line_that_is_cut(
    on_sqlite: tuple[str, Database], tmp_path: Path, cut: str, lasts_s: float
) -> None:
    url, database = on_sqlite
    with ServerProcess() as server, Line(server.url) as line:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        with _serving(server, [url], tmp_path, at=line.url):
            with _talking(server, scene):
                time.sleep(1.0)
                line.put(cut)
                time.sleep(0.5)
                said = int(server.ask("stats")["by_bot"])
                time.sleep(lasts_s)
                assert int(server.ask("stats")["by_bot"]) == said  # nothing passed
                line.put(OPEN)
                time.sleep(1.0)
            settle(database, scene, SETTLES_S)
            found = tally(server, database, scene)
    if cut != SILENT:  # where nothing is heard for so short a time, nothing is amiss yet
        _felt(tmp_path, "cannot be reached", "no connection")
    _check(found, repeats=2)  # of what was on its way at the cut, and once more at its end
