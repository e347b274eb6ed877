"""The command line as a person meets it: each test runs the real program."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from bot.operate.open_database import open_database
from bot.operate.version import VERSION
from core.records import models as m
from core.records.outbox import put

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "core" / "data"


def run(
    *words: str, folder: Path, typed: bytes = b"", **environment: str
) -> subprocess.CompletedProcess[str]:
    """Run the program in an empty folder, without any setting of this machine."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT") if name in os.environ}
    done = subprocess.run(
        [sys.executable, "-P", "-m", "bot", *words],
        input=typed,
        capture_output=True,
        cwd=folder,
        env={
            **kept,
            "HOME": str(folder),
            "PYTHONPATH": str(ROOT),
            "PYTHONIOENCODING": "utf-8",
            **environment,
        },
        timeout=120,
        check=False,
    )
    return subprocess.CompletedProcess(
        done.args, done.returncode, done.stdout.decode(), done.stderr.decode()
    )


# --- help and version ---


@pytest.mark.parametrize("word", ["chat", "serve", "check", "parked", "backup", "restore"])
def test_every_command_has_help(word: str, tmp_path: Path) -> None:
    done = run(word, "--help", folder=tmp_path)
    assert done.returncode == 0
    assert done.stdout.startswith(f"usage: traywarden {word}")
    assert len(done.stdout.splitlines()) > 5


def test_help_lists_the_commands_and_no_command_shows_it(tmp_path: Path) -> None:
    asked, bare = run("--help", folder=tmp_path), run(folder=tmp_path)
    assert (asked.returncode, bare.returncode) == (0, 2)
    assert asked.stdout == bare.stdout
    for word in ("chat", "serve", "check", "parked", "backup", "restore"):
        assert re.search(rf"^    {word} ", asked.stdout, re.MULTILINE)


def test_the_version_is_the_packages(tmp_path: Path) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == VERSION
    assert run("--version", folder=tmp_path).stdout == f"traywarden {VERSION}\n"


# --- settings ---


def test_serving_without_a_token_says_in_one_line_what_to_set(tmp_path: Path) -> None:
    done = run("serve", folder=tmp_path)
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert line.startswith("traywarden: TELEGRAM_BOT_TOKEN: is missing; set it to")
    assert not list(tmp_path.iterdir())


def test_a_database_that_cannot_be_opened_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("This is no database, it is a letter.\n" * 50)
    for url in ("sqlite:///none/such.db", "sqlite:///letter.txt"):
        done = run("parked", folder=tmp_path, DATABASE_URL=url)
        assert done.returncode == 2
        (line,) = done.stderr.splitlines()
        assert line.startswith("traywarden: DATABASE_URL: ")


# --- check ---


def test_the_shipped_tables_are_sound(tmp_path: Path) -> None:
    done = run("check", folder=tmp_path)
    assert (done.returncode, done.stdout) == (0, "All tables and settings are sound.\n")


def test_check_reports_settings_beside_tables(tmp_path: Path) -> None:
    (tmp_path / ".env").write_text("LOG_LEVEL=LOUD\nHEALTH_LISTEN=x\n", encoding="utf-8")
    done = run("check", folder=tmp_path)
    assert done.returncode == 1
    assert [line.partition(":")[0] for line in done.stdout.splitlines()] == [
        "LOG_LEVEL",
        "HEALTH_LISTEN",
        "2 faults",
    ]


BROKEN = [
    # kind, file, what is replaced (first occurrence after the row's id), by what, row, words
    ("unknown key", "lamps.toml", 'id = "white_led"', "{}\nshine = 3", "white_led", "shine"),
    ("unknown source", "crops.toml", "sources = [", '{}"NO-SUCH", ', "tomato", "NO-SUCH"),
    ("missing source", "lamps.toml", "source = ", "# {}", "white_led", "source"),
    ("missing key", "crops.toml", "scientific_name = ", "# {}", "tomato", "missing"),
    ("wrong type", "crops.toml", "name = ", "name = 5 # ", "tomato", "must be"),
    (
        "not a choice",
        "crops.toml",
        "hardiness_class = ",
        'hardiness_class = "arctic" # ',
        "tomato",
        "arctic",
    ),
    ("duplicate id", "lamps.toml", 'id = "white_led"', 'id = "window"', "window", "earlier row"),
    ("bad id", "lamps.toml", 'id = "white_led"', 'id = "White LED!"', "White LED!", "pattern"),
    ("name taken", "crops.toml", "synonyms = [", '{}"basil", ', "basil", "names tomato"),
    (
        "out of range",
        "crops.toml",
        "sow_depth_mm_min = ",
        "sow_depth_mm_min = -900 # ",
        "tomato",
        "-900",
    ),
]


@pytest.mark.parametrize(
    ("file", "old", "new", "row", "words"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN]
)
def test_check_names_file_and_row_of_a_broken_row(
    tmp_path: Path, file: str, old: str, new: str, row: str, words: str
) -> None:
    shutil.copytree(DATA, tmp_path / "data")
    path = tmp_path / "data" / file
    content = path.read_text(encoding="utf-8")
    start = content.index('id = "white_led"' if file == "lamps.toml" else 'id = "tomato"')
    at = content.index(old, start)
    path.write_text(content[:at] + new.format(old) + content[at + len(old) :], encoding="utf-8")
    done = run("check", "--data", "data", folder=tmp_path)
    assert done.returncode == 1, done.stdout + done.stderr
    named = [line for line in done.stdout.splitlines() if line.startswith(f"{file}: {row}")]
    assert any(words in line for line in named), done.stdout


def test_check_of_a_folder_that_is_not_there_cannot_start(tmp_path: Path) -> None:
    assert run("check", "--data", "nowhere", folder=tmp_path).returncode == 2


# --- parked ---


def test_parked_rows_show_where_it_failed_and_nothing_private(tmp_path: Path) -> None:
    database = open_database(f"sqlite:///{tmp_path / 'a.sqlite3'}")
    error = (
        'deadbeef: Traceback (most recent call last):\n  File "/opt/x/core/handlers/care.py", '
        'line 12, in watered\n    raise KeyError\nKeyError: "Private Words"\n'
    )
    now = datetime(2027, 3, 1, 7, 30, tzinfo=UTC)
    with database.transaction() as session:
        session.add(
            m.Inbox(
                platform="telegram",
                update_key="777000111",
                chat="-100200300",
                received_at=now,
                body={"event": "text", "text": "Private Words", "name": "Secret Name"},
                state="parked",
                tries=1,
                lease_until=None,
                lease_by=None,
                error=error,
                handled_at=now,
            )
        )
        chat = m.Chat(
            platform="telegram",
            platform_chat="-100200300",
            private=False,
            title="Secret Name",
            thread=None,
            group_id=None,
            person_id=None,
            dead_since=None,
            dead_because=None,
            paused_until=None,
        )
        session.add(chat)
        session.flush()
        refusal = "Forbidden: bot was kicked from 'Private Words' -100200300"
        put(session, "k", chat.id, {"text": "Private Words"}, now)
        row = session.scalars(select(m.Outbox)).one()
        row.state, row.tries, row.error = "parked", 2, refusal
    database.close()
    done = run("parked", "--database", "a.sqlite3", folder=tmp_path)
    assert done.returncode == 0
    assert done.stdout == (
        "in   2027-03-01 07:30 UTC  telegram  text  deadbeef  "
        "KeyError at core/handlers/care.py:12\n"
        "out  2027-03-01 07:30 UTC  telegram  answer  tries 2  "
        "Forbidden: bot was kicked from ... ...\n"
    )


def test_nothing_parked_says_so(tmp_path: Path) -> None:
    done = run("parked", folder=tmp_path)
    assert (done.returncode, done.stdout) == (0, "Nothing is parked.\n")


# --- chat ---

ODD = (
    b"/start\n\n   \n\xff\xfe\x00\x01 hello\n/sow \xe2\x82\n:nonsense\n:as\n:at never\n:wait -3d\n"
    b"99\n0\n/\n/@\n:::\n\x1b[2J\x1b]0;x\x07\n" + b"/note " + b"x" * 30_000 + b"\n"
    b"/sow tomato T1 A1-B3\r\n'); DROP TABLE inbox; --\n{0} {name} %s %(x)s\n"
    b"\xf0\x9f\x8c\xb1 /up \xf0\x9f\x8c\xb1\n/frost .\n/frost /etc/shadow.csv\n:private\n/me\nlast"
)


def test_no_input_crashes_the_chat_and_its_end_is_success(tmp_path: Path) -> None:
    done = run("chat", "--empty", folder=tmp_path, typed=ODD)
    assert done.returncode == 0
    assert "Traceback" not in done.stdout + done.stderr
    assert done.stderr == ""
    echoed = [line for line in done.stdout.splitlines() if line.startswith("> ")]
    assert len(echoed) == len(ODD.splitlines())
    assert echoed[-1] == "> last"
    assert "\x1b" not in done.stdout
    assert "\x07" not in done.stdout


def test_output_that_nobody_reads_is_no_error(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-P", "-m", "bot", "chat", "--empty"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": str(ROOT)},
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        try:
            process.stdin.write(b"/help\n" * 2000)
            process.stdin.close()
        except BrokenPipeError:
            pass  # it has left already
        assert process.stderr.read() == b""
        assert process.wait(60) == 0


def test_an_empty_chat_hints_at_the_first_command(tmp_path: Path) -> None:
    done = run("chat", "--empty", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "type /start" in done.stdout
    assert "invented" not in done.stdout


def test_a_first_chat_is_a_demo_that_says_so_and_goes_on_the_next_time(tmp_path: Path) -> None:
    first = run("chat", folder=tmp_path, typed=b"/note T1 written the first time\n/trays\n")
    assert (first.returncode, first.stderr) == (0, "")
    assert "invented" in first.stdout
    assert re.search(r"T5.*pepper", first.stdout)
    database = open_database(
        f"sqlite:///{tmp_path / '.local' / 'share' / 'traywarden' / 'chat.sqlite3'}"
    )
    with database.transaction() as session:
        notes = session.query(m.Report).filter(m.Report.kind == "note").count()
        acts = session.query(m.Act).count()
    assert notes == 1
    second = run("chat", folder=tmp_path, typed=b":quit\nnot read")
    assert "invented" in second.stdout
    assert "not read" not in second.stdout
    with database.transaction() as session:
        assert session.query(m.Act).count() == acts
    database.close()


def test_a_new_group_sets_the_old_one_aside_and_loses_nothing(tmp_path: Path) -> None:
    run("chat", "--empty", "--database", "a.sqlite3", folder=tmp_path, typed=b"/start\n")
    old = (tmp_path / "a.sqlite3").read_bytes()
    done = run("chat", "--empty", "--database", "a.sqlite3", folder=tmp_path)
    assert "The earlier group is kept in a-" in done.stdout
    (kept,) = tmp_path.glob("a-*.sqlite3")
    assert kept.read_bytes() == old


def test_a_moved_clock_stands_where_it_was_left(tmp_path: Path) -> None:
    place = ("chat", "--database", "a.sqlite3")
    run(*place, "--empty", folder=tmp_path, typed=b"/start\n:wait 40d\n/start\n")
    done = run(*place, folder=tmp_path)
    assert "The clock stands at" in done.stdout


def test_lines_from_a_pipe_play_a_day(tmp_path: Path) -> None:
    typed = b":at 2027-03-01 07:00\n/start\n/tray T1 72\n/sow tomato T1 A1-B3\n:wait 3d\n:quit\n"
    done = run("chat", "--empty", folder=tmp_path, typed=typed)
    assert "It is Mon 2027-03-01 07:00." in done.stdout
    assert "> /sow tomato T1 A1-B3\nS1: tomato sown in T1 A1-B3" in done.stdout
    assert "-- Wed 2027-03-03 07:30 to the group" in done.stdout
    assert done.stdout.rstrip().endswith("> :quit")
