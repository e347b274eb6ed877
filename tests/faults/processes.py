"""The Bot API server and `serve` as processes, ended whatever happens."""

from __future__ import annotations

import http.client
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Self

ROOT = Path(__file__).parents[2]
TOKEN = "1234567:local-test-token"
ENDS_WITHIN_S = 300.0  # then it hangs, however busy the machine is

Json = dict[str, Any]


class ServerProcess:
    """`python -m tests.server`, and its control endpoints; a context manager."""

    def __init__(self, *options: str) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.server", "--token", TOKEN, *options],
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        assert self._process.stdout is not None
        line = self._process.stdout.readline().split()
        if not line:
            raise RuntimeError("the Bot API server did not start")
        self.url = line[-1]
        self._port = int(self.url.rpartition(":")[2])

    @property
    def pid(self) -> int:
        return self._process.pid

    def ask(self, name: str, **body: Any) -> Json:
        """Post to a control endpoint and return its answer; safe to use from several threads."""
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=60)
        try:
            connection.request("POST", f"/control/{name}", json.dumps(body))
            answer = connection.getresponse()
            found: Json = json.loads(answer.read())
        finally:
            connection.close()
        if answer.status != 200:
            raise RuntimeError(f"{name}: {found}")
        return found

    def said(self) -> list[Json]:
        """Return the whole transcript."""
        entries: list[Json] = []
        while True:
            part = self.ask("transcript", since=len(entries))
            if not part["entries"]:
                return entries
            entries += part["entries"]

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        end(self._process, signal.SIGTERM)
        if self._process.stdout is not None:
            self._process.stdout.close()


class Bot:
    """One `serve` at a time, started anew after each kill. `log` gets what it prints."""

    def __init__(self, server_url: str, database_url: str, log: Path) -> None:
        self._log = log
        self._environment = {
            **os.environ,
            "TELEGRAM_BOT_TOKEN": TOKEN,
            "TELEGRAM_API_URL": server_url,
            "DATABASE_URL": database_url,
            "LOG_LEVEL": "INFO",
        }
        self._process: subprocess.Popen[bytes] | None = None
        self.started_at = 0.0

    def start(self, arguments: Sequence[str] = ("-m", "bot", "serve")) -> None:
        """Start a process; the one before has ended."""
        assert self._process is None
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-P", *arguments],
                env={**self._environment, "PYTHONPATH": str(ROOT)},
                cwd=self._log.parent,
                stdout=log,
                stderr=log,
            )
        self.started_at = time.time()

    @property
    def process(self) -> subprocess.Popen[bytes]:
        """The process that runs."""
        assert self._process is not None
        return self._process

    @property
    def runs(self) -> bool:
        """Whether it has not ended by itself."""
        return self._process is not None and self._process.poll() is None

    def kill(self) -> float:
        """End it by SIGKILL; return the Unix time of the kill."""
        process = self.process
        at = time.time()
        process.kill()
        process.wait(ENDS_WITHIN_S)
        self._process = None
        return at

    def terminate(self) -> tuple[int, float]:
        """End it by SIGTERM; return its exit status and how many seconds that took."""
        process = self.process
        began = time.monotonic()
        process.send_signal(signal.SIGTERM)
        try:
            status = process.wait(ENDS_WITHIN_S)
        finally:
            self.close()
        return status, time.monotonic() - began

    def close(self) -> None:
        """End it, whatever it does."""
        if self._process is not None:
            end(self._process, signal.SIGKILL)
            self._process = None


class Nursery:
    """Processes that run `serve`, forked from one that has imported it; a context manager."""

    def __init__(self) -> None:
        self._parent = subprocess.Popen(
            [sys.executable, "-P", "-m", "tests.faults.nursery"],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        self._children: set[int] = set()
        if self._read() != "ready":
            raise RuntimeError("the nursery did not start")

    def _read(self) -> str:
        assert self._parent.stdout is not None
        return self._parent.stdout.readline().strip()

    def start(self, server_url: str, database_url: str, log: Path) -> int:
        """Start a `serve`; return its process id."""
        environment = {
            "TELEGRAM_BOT_TOKEN": TOKEN,
            "TELEGRAM_API_URL": server_url,
            "DATABASE_URL": database_url,
            "LOG_LEVEL": "INFO",
        }
        asked = {"environment": environment, "folder": str(log.parent), "log": str(log)}
        assert self._parent.stdin is not None
        self._parent.stdin.write(json.dumps(asked) + "\n")
        self._parent.stdin.flush()
        child = int(self._read())
        self._children.add(child)
        return child

    def kill(self, child: int) -> float:
        """End a process by SIGKILL; return the Unix time, once it is gone."""
        assert child in self._children
        at = time.time()
        os.kill(child, signal.SIGKILL)
        self._gone(child)
        return at

    def terminate(self, child: int) -> None:
        """End a process by SIGTERM and wait until it is gone."""
        assert child in self._children
        os.kill(child, signal.SIGTERM)
        self._gone(child)

    def _gone(self, child: int) -> None:
        deadline = time.monotonic() + ENDS_WITHIN_S
        while _lives(child):
            if time.monotonic() > deadline:
                raise TimeoutError(f"process {child} has not ended")
            time.sleep(0.002)
        self._children.discard(child)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        for child in self._children:
            if _lives(child):
                os.kill(child, signal.SIGKILL)
        assert self._parent.stdin is not None
        assert self._parent.stdout is not None
        self._parent.stdin.close()
        end(self._parent, signal.SIGTERM)
        self._parent.stdout.close()


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def end(process: subprocess.Popen[Any], how: signal.Signals) -> None:
    """End one process that was started here."""
    if process.poll() is None:
        process.send_signal(how)
    try:
        process.wait(ENDS_WITHIN_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait(ENDS_WITHIN_S)
