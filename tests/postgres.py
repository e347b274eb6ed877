"""A throw-away PostgreSQL server: one a test run, a fresh database whenever one is asked for.

Its files lie in a temporary folder of their own, in memory where the machine has some to spare. It
listens on a socket in that folder only, and nothing of it is written through to the disk.
PostgreSQL refuses to run as root: it then runs as an ordinary user of the machine.
"""

from __future__ import annotations

import ctypes
import itertools
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import create_engine, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import OperationalError

from core.records.database import open_engine
from core.records.schema import upgrade

PLACES = "/usr/lib/postgresql/*/bin"  # where Debian puts what is not on the PATH
SERVANTS = ("postgres", "nobody")  # who runs it for root
SHARED_MEMORY = "/dev/shm"
ROOM = 2 * 1024**3  # bytes
OWNER = "traywarden"
TEMPLATE = "template_traywarden"
STARTS_WITHIN_S = 300.0
FILE_COPY_SINCE = 150_000
"""Since this version a new database is written to the log as a whole, unless told not to."""
SETTINGS = {
    "listen_addresses": "",
    "fsync": "off",
    "full_page_writes": "off",
    "synchronous_commit": "off",
    "max_connections": "200",
    "shared_buffers": "32MB",
    "autovacuum": "off",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "max_wal_size": "128MB",
    "timezone": "America/Chicago",  # instants must not depend on it
    "log_min_messages": "fatal",
}


def in_memory() -> str | None:
    """Return a folder that lies in memory and has room; None = where temporary files go.

    A database is three hundred files; making and removing them on a disk takes 0.3 s of the
    system's time, in memory 0.02 s.
    """
    if not os.access(SHARED_MEMORY, os.W_OK | os.X_OK):
        return None
    return SHARED_MEMORY if shutil.disk_usage(SHARED_MEMORY).free >= ROOM else None


def find_programs() -> Path | None:
    """Return the folder of `initdb` and `postgres`, the newest there is; None without any."""
    folders = sorted(
        Path("/").glob(PLACES.lstrip("/")),
        key=lambda folder: float(folder.parent.name) if folder.parent.name.isdigit() else 0.0,
        reverse=True,
    )
    on_path = shutil.which("initdb")
    if on_path is not None:
        folders.append(Path(on_path).resolve().parent)
    for folder in folders:
        if (folder / "initdb").exists() and (folder / "postgres").exists():
            return folder
    return None


class PostgresServer:
    """Started at once; `stop()` ends it and removes its files. Raises RuntimeError without one.

    `settings` are other than SETTINGS.
    """

    def __init__(self, settings: Mapping[str, str] | None = None) -> None:
        programs = find_programs()
        if programs is None:
            raise RuntimeError("no PostgreSQL programs (initdb, postgres) on this machine")
        self._as: dict[str, Any] = {}
        self.folder = Path(tempfile.mkdtemp(prefix="traywarden-pg-", dir=in_memory()))
        if os.geteuid() == 0:
            servant = _servant()
            self._as = {"user": servant.pw_uid, "group": servant.pw_gid, "extra_groups": []}
            os.chown(self.folder, servant.pw_uid, servant.pw_gid)
        data = self.folder / "data"
        self._run(
            str(programs / "initdb"),
            *("--pgdata", str(data), "--username", OWNER, "--auth", "trust"),
            *("--encoding", "UTF8", "--no-locale", "--no-sync", "--no-instructions"),
        )
        chosen = SETTINGS | dict(settings or {})
        options = [part for name, value in chosen.items() for part in ("-c", f"{name}={value}")]
        self._process = subprocess.Popen(
            [str(programs / "postgres"), "-D", str(data), "-k", str(self.folder), *options],
            cwd=self.folder,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            preexec_fn=_end_with_the_tests if sys.platform == "linux" else None,
            **self._as,
        )
        self._numbers = itertools.count(1)
        self._admin = create_engine(self._url("postgres"), isolation_level="AUTOCOMMIT")
        self._await_start()
        self._by_copying = " STRATEGY file_copy" if self._version() >= FILE_COPY_SINCE else ""
        self._do(f"CREATE DATABASE {TEMPLATE}")
        engine = open_engine(self.url(TEMPLATE))
        upgrade(engine)
        engine.dispose()

    def _run(self, *command: str) -> None:
        done = subprocess.run(
            command, cwd=self.folder, capture_output=True, text=True, check=False, **self._as
        )
        if done.returncode:
            raise RuntimeError(f"{command[0]}: {done.stderr}")

    def _await_start(self) -> None:
        deadline = time.monotonic() + STARTS_WITHIN_S
        while True:
            try:
                return self._do("SELECT 1")
            except OperationalError:
                if self._process.poll() is not None or time.monotonic() > deadline:
                    raise
            time.sleep(0.05)

    def _do(self, statement: str) -> None:
        with self._admin.connect() as connection:
            connection.execute(text(statement))

    def _version(self) -> int:
        with self._admin.connect() as connection:
            return int(connection.execute(text("SHOW server_version_num")).scalar_one())

    def _url(self, name: str) -> URL:
        return URL.create(
            "postgresql+psycopg",
            username=OWNER,
            database=name,
            query={"host": str(self.folder)},
        )

    def url(self, name: str) -> str:
        """Return the URL of a database, as DATABASE_URL takes it."""
        return self._url(name).set(drivername="postgresql").render_as_string(hide_password=False)

    def new(self, *, empty: bool = False) -> str:
        """Return the URL of a new database, its schema the newest; `empty`: without any table."""
        name = f"t{next(self._numbers)}"
        source = "template0" if empty else TEMPLATE
        self._do(f"CREATE DATABASE {name} TEMPLATE {source}{self._by_copying}")
        return self.url(name)

    def drop(self, url: str) -> None:
        """Remove a database made by `new`, whoever is still connected."""
        name = url.partition("?")[0].rpartition("/")[2]
        self._do(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def stop(self) -> None:
        """End the server and remove its files."""
        self._admin.dispose()
        self._process.terminate()
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(10)
        shutil.rmtree(self.folder, ignore_errors=True)


def _end_with_the_tests() -> None:
    """Let the server end at once when the test run is killed (Linux: PR_SET_PDEATHSIG)."""
    ctypes.CDLL(None).prctl(1, signal.SIGQUIT)


def _servant() -> pwd.struct_passwd:
    """Return the user who runs the server for root."""
    for name in SERVANTS:
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    raise RuntimeError("PostgreSQL does not run as root, and there is no other user to run it")
