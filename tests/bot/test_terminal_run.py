"""The terminal itself: a prompt that speaks while idle, and where things are kept."""

from __future__ import annotations

import os
import select
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.operate.clock import MovableClock
from bot.terminal import run
from bot.terminal.chat import TerminalChat
from bot.terminal.keeping import data_dir, saver, set_aside
from core.records.database import Database
from tests.databases import new_database, new_url

ROOT = Path(__file__).resolve().parents[2]
NOW = datetime(2027, 3, 1, 12, 0, tzinfo=UTC)


# --- bytes and lines ---


@given(st.binary(max_size=200))
def test_no_bytes_steer_the_terminal(raw: bytes) -> None:
    lines = list(run.decoded(raw))
    assert lines
    for line in lines:
        assert all(c.isprintable() or c == "\t" for c in line)


def test_plain_text_comes_through_as_it_was_typed() -> None:
    assert list(run.decoded("/note T1 café 🌱\r\n".encode())) == ["/note T1 café 🌱"]
    assert [len(line) for line in run.decoded(b"x" * 50_000)] == [run.LONGEST_LINE]


# --- where things are kept ---


def test_files_are_kept_where_the_desktop_says(tmp_path: Path) -> None:
    assert data_dir({"XDG_DATA_HOME": str(tmp_path)}) == tmp_path / "traywarden"
    assert data_dir({}).parts[-3:] == (".local", "share", "traywarden")


def test_setting_aside_never_writes_over_anything(tmp_path: Path) -> None:
    file = tmp_path / "chat.sqlite3"
    assert set_aside(file, NOW) is None
    kept = []
    for content in ("first", "second", "third"):
        file.write_text(content)
        (tmp_path / "chat.sqlite3-wal").write_text(content)
        kept.append(set_aside(file, NOW))
    assert len(set(kept)) == 3
    for path, content in zip(kept, ("first", "second", "third"), strict=True):
        assert path is not None
        assert path.read_text() == content
        assert path.with_name(path.name + "-wal").read_text() == content
    assert not file.exists()


def test_saved_files_stay_in_their_folder_and_keep_earlier_ones(tmp_path: Path) -> None:
    save = saver(tmp_path / "files")
    first = save("T1.png", b"one")
    assert save("T1.png", b"one") == first
    second = save("T1.png", b"two")
    assert (Path(first).read_bytes(), Path(second).read_bytes()) == (b"one", b"two")
    for name in ("../../evil.png", "/etc/passwd", "..", "", "a\x00b"):
        assert Path(save(name, b"x")).resolve().parent == tmp_path / "files"


# --- speaking while idle ---


@pytest.fixture
def database(both_engines: str, tmp_path: Path) -> Database:
    return new_database(new_url(tmp_path))


def test_what_falls_due_is_said_while_nobody_types(database: Database) -> None:
    said: list[str] = []
    heard = threading.Event()

    def say(line: str) -> None:
        said.append(line)
        if "Feel the mix" in line:
            heard.set()

    clock = MovableClock(NOW)
    chat = TerminalChat(database, clock, say)
    for line in ("/start", "/tray T1 72", "/sow tomato T1 A1-B3"):
        chat.feed(line)
    said.clear()
    clock.set(NOW + timedelta(days=4))
    lock, leaving = threading.Lock(), threading.Event()
    ticker = threading.Thread(
        target=run.tick, args=(chat, lock, leaving), kwargs={"every_seconds": 0.01}
    )
    ticker.start()
    assert heard.wait(20)
    leaving.set()
    ticker.join(20)
    assert not ticker.is_alive()
    assert len([line for line in said if "Feel the mix" in line]) == 1


# --- at a TTY ---


class Seat:
    """A person at a terminal: types, and reads until something is on the screen."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.screen, theirs = os.openpty()
        self.child = subprocess.Popen(
            [sys.executable, "-P", "-m", "bot", *words],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            cwd=folder,
            env={
                "PATH": os.environ["PATH"],
                "HOME": str(folder),
                "PYTHONPATH": str(ROOT),
                "TERM": "xterm",
                "PROMPT_TOOLKIT_NO_CPR": "1",
            },
            start_new_session=True,
        )
        os.close(theirs)
        self.seen = ""

    def read_until(self, words: str) -> None:
        while words not in self.seen:
            assert select.select([self.screen], [], [], 30)[0], f"no {words!r} in {self.seen!r}"
            self.seen += os.read(self.screen, 65536).decode("utf-8", "replace")
        self.seen = self.seen.partition(words)[2]

    def type(self, keys: str) -> None:
        os.write(self.screen, keys.encode())

    def leave(self) -> int:
        """Read to the end and return the exit status."""
        try:
            while select.select([self.screen], [], [], 30)[0] and os.read(self.screen, 65536):
                pass
        except OSError:
            pass  # the other end is gone
        os.close(self.screen)
        return self.child.wait(30)


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
@pytest.mark.parametrize("keys", ["\x04", "\x03", ":quit\r"], ids=["Ctrl-D", "Ctrl-C", ":quit"])
def test_at_a_tty_there_is_a_prompt_with_a_history_and_a_clean_way_out(
    tmp_path: Path, keys: str
) -> None:
    seat = Seat(tmp_path, "chat", "--empty")
    seat.read_until("Robin>")
    seat.type("/start\r")
    seat.read_until("Hello!")
    seat.type(":private\r")
    seat.read_until("with the bot")
    seat.read_until("(private)>")
    seat.type("half-a-line")
    seat.read_until("half-a-line")
    seat.type("\x03")  # drops the line only
    seat.read_until("(private)>")
    seat.type("\x1b[A\r")  # up in the history
    seat.read_until("with the bot")
    seat.read_until("(private)>")
    seat.type(keys)
    assert seat.leave() == 0
    folder = tmp_path / ".local" / "share" / "traywarden"
    assert "+/start" in (folder / "history").read_text(encoding="utf-8")
    assert not (folder / "chat.log").exists()
