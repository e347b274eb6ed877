"""`serve` under the restrictions of the systemd unit, applied by hand where no systemd runs.

No new privileges, no capability at all, everything read-only but the folder of the records, files
for the owner alone. Not applied here: the filter of system calls, and what hides devices and home.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import AsyncExitStack, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from core.records import models as m
from tests.databases import new_database, new_url
from tests.server import BotApiServer
from tests.telegram.conftest import BOT, Bench

ROOT = Path(__file__).resolve().parents[2]
UNIT = (ROOT / "deploy" / "traywarden.service").read_text(encoding="utf-8")
STRICT = """set -e
umask 0077
mount --bind "$1" "$1"
while read -r _ place _; do
  case "$place" in "$1" | /proc* | /sys* | /dev | /dev/pts | /dev/mqueue) ;;
    *) mount -o remount,ro,bind "$place" 2>/dev/null || [ "$place" != / ] ;;
  esac
done </proc/self/mounts
cd "$1"
shift
exec setpriv --no-new-privs --inh-caps=-all --ambient-caps=-all --bounding-set=-all "$@"
"""
CALENDAR = """BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//invented//EN\r
BEGIN:VEVENT\r
UID:1\r
DTSTART;VALUE=DATE:{first:%Y%m%d}\r
DTEND;VALUE=DATE:{last:%Y%m%d}\r
SUMMARY:Closed\r
END:VEVENT\r
END:VCALENDAR\r
"""


def strictly(state: Path, *words: str) -> list[str]:
    """Return the command that runs another under the restrictions."""
    return ["unshare", "--mount", "sh", "-c", STRICT, "sh", str(state), *words]


@pytest.fixture
def state(tmp_path: Path) -> Path:
    """The one folder that may be written, as the unit's StateDirectory."""
    folder = tmp_path / "state"
    folder.mkdir(mode=0o700)
    if any(shutil.which(name) is None for name in ("unshare", "setpriv", "mount")):
        pytest.skip("not all of unshare, setpriv and mount are here")
    if subprocess.run(strictly(folder, "true"), capture_output=True, check=False).returncode:
        pytest.skip("this user may not make a mount of its own")
    return folder


@contextmanager
def serving(server: BotApiServer, url: str, state: Path) -> Iterator[subprocess.Popen[bytes]]:
    environment = {
        **os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "DATABASE_URL": url,
        "TELEGRAM_BOT_TOKEN": server.token, "TELEGRAM_API_URL": server.url,
    }  # fmt: skip
    with (state / "log").open("wb") as log:
        process = subprocess.Popen(
            strictly(state, sys.executable, "-P", "-m", "bot", "serve"),
            env=environment, stdout=log, stderr=log,
        )  # fmt: skip
        try:
            yield process
        finally:
            if process.poll() is None:
                process.kill()
            process.wait(10)


def test_nothing_can_be_written_elsewhere_and_no_right_is_left(state: Path, tmp_path: Path) -> None:
    elsewhere, within = tmp_path / "elsewhere", state / "within"
    for file, works in ((elsewhere, False), (within, True)):
        done = subprocess.run(strictly(state, "touch", str(file)), capture_output=True, check=False)
        assert (done.returncode == 0, file.exists()) == (works, works)
    shown = subprocess.run(
        strictly(state, "cat", "/proc/self/status"), capture_output=True, text=True, check=True
    ).stdout
    fields = dict(line.split(":\t", 1) for line in shown.splitlines() if ":\t" in line)
    assert fields["NoNewPrivs"].strip() == "1"
    assert int(fields["CapBnd"], 16) == int(fields["CapAmb"], 16) == 0
    assert within.stat().st_mode & 0o077 == 0


def test_these_are_the_restrictions_of_the_unit() -> None:
    for line in ("NoNewPrivileges=yes", "CapabilityBoundingSet=", "AmbientCapabilities=",
                 "ProtectSystem=strict", "UMask=0077", "StateDirectory=traywarden"):  # fmt: skip
        assert line in UNIT.splitlines()


async def test_it_serves_reads_a_file_apart_and_ends_by_itself(state: Path) -> None:
    url = new_url(state)
    async with BotApiServer() as server, AsyncExitStack() as stack:
        bench = Bench(server, new_database(url), stack)
        with serving(server, url, state) as process:
            await bench.until(lambda: server.updates.polling, timeout=60)
            ana, group = await bench.founded()
            ana.say(group, f"/tray{BOT} T1 72")
            await bench.until(lambda: "72" in server.by_bot(group)[-1].text, timeout=20)
            first = datetime.now(UTC) + timedelta(days=30)
            made = CALENDAR.format(first=first, last=first + timedelta(days=2)).encode()
            ana.send_document(group, made, "days.ics", "text/calendar", caption=f"/closed{BOT}")
            await bench.until(lambda: bench.rows(m.Closure), timeout=30)
            process.send_signal(signal.SIGTERM)
            assert process.wait(15) == 0
    assert "Traceback" not in (state / "log").read_text(encoding="utf-8")
