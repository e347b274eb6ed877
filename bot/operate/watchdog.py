"""Notice a part that has not moved: say so in `/health`, and end so that it is started anew.

A part steps: a step that takes longer than its limit is stuck. While none is, systemd is told so
(`WATCHDOG=1`, sd_notify(3)); where the event loop itself stands still, nobody tells it, and its
`WatchdogSec` ends the process. Elsewhere the process ends by itself, and whatever runs it begins
anew.
"""

from __future__ import annotations

import asyncio
import itertools
import logging
import os
import socket
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager

log = logging.getLogger(__name__)

LIMIT_S = 30.0
EVERY_S = 5.0
PATIENCE = 3  # looks at which a part is stuck before the process ends


class Watchdog:
    """Steps may begin and end in any thread.

    Args:
        monotonic: seconds of a clock that never goes back.
        environment: where systemd names its socket (`NOTIFY_SOCKET`).
    """

    def __init__(
        self,
        monotonic: Callable[[], float] = time.monotonic,
        environment: Mapping[str, str] = os.environ,
    ) -> None:
        self._monotonic, self._environment = monotonic, environment
        self._lock = threading.Lock()
        self._numbers = itertools.count()
        self._steps: dict[int, tuple[str, float]] = {}  # part, and until when it may take
        self._looks = 0

    @contextmanager
    def step(self, part: str, limit_s: float | None = None) -> Iterator[None]:
        """Time one step of a part; nested and concurrent steps are timed each."""
        limit_s = LIMIT_S if limit_s is None else limit_s
        number = next(self._numbers)
        with self._lock:
            self._steps[number] = (part, self._monotonic() + limit_s)
        try:
            yield
        finally:
            with self._lock:
                del self._steps[number]

    def stuck(self) -> tuple[str, ...]:
        """Return the parts that are in a step for longer than its limit."""
        now = self._monotonic()
        with self._lock:
            return tuple(sorted({part for part, until in self._steps.values() if now > until}))

    def look(self) -> bool:
        """Tell systemd that all moves; return whether the process should end."""
        stuck = self.stuck()
        if not stuck:
            self._looks = 0
            notify("WATCHDOG=1", self._environment)
            return False
        self._looks += 1
        if self._looks == 1:
            log.critical("does not move: %s", ", ".join(stuck))
        return self._looks >= PATIENCE

    async def run(self, end: Callable[[], None]) -> None:
        """Look every five seconds until cancelled; call `end` once where a part stays stuck."""
        while not self.look():
            await asyncio.sleep(EVERY_S)
        end()


def notify(state: str, environment: Mapping[str, str] = os.environ) -> bool:
    """Send a state to systemd; False where it does not listen. Source: sd_notify(3)."""
    address = environment.get("NOTIFY_SOCKET", "")
    if not address.startswith(("/", "@")) or not hasattr(socket, "AF_UNIX"):
        return False
    if address.startswith("@"):
        address = "\0" + address[1:]
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as sent:
            sent.connect(address)
            sent.sendall(state.encode())
    except OSError as error:
        log.warning("systemd could not be told: %s", error.strerror)
        return False
    return True
