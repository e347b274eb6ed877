"""Hold a lease as long as this process lives: the jobs only one process may do.

A lease runs LEASE_S and is renewed every RENEW_S. Whoever waits for it tries at the same pace, so
that a killed holder is followed within LEASE_S + RENEW_S; at once when it ran on this machine,
because then it is known to be gone.
"""

from __future__ import annotations

import asyncio
import logging
import os
import socket
import time
import uuid
from datetime import timedelta
from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError

from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from core.records import leases
from core.records.database import Database

log = logging.getLogger(__name__)

LEASE_S = 15.0
RENEW_S = 4.0
SPARE_S = 3.0  # a lease not renewed in time is given up this long before it ends


def _here() -> str:
    """Name the space in which process ids mean something; empty where that is not known."""
    try:
        boot = Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii")[:8]
        space = os.readlink("/proc/self/ns/pid")
    except OSError:
        return ""
    return boot + "".join(c for c in space if c.isdigit())


HERE = _here()


def new_holder() -> str:
    """Return a name for this process, at most 40 characters."""
    place = HERE or socket.gethostname()[:18]
    return f"{place[:22]}:{os.getpid()}:{uuid.uuid4().hex[:6]}"


def has_ended(holder: str, me: str) -> bool:
    """Whether a holder is known to have ended: a process of this machine that is no more."""
    place, _, rest = holder.partition(":")
    pid = rest.partition(":")[0]
    if not HERE or place != HERE[:22] or not pid.isdigit() or holder == me:
        return False
    if int(pid) == os.getpid():
        return holder not in _MINE
    try:
        os.kill(int(pid), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False


_MINE: set[str] = set()  # holders in this very process


class Holding:
    """Tries for some leases and keeps them. `held(name)` is exact to the monotonic clock."""

    def __init__(
        self, database: Database, threads: Threads, clock: Clock, names: tuple[str, ...]
    ) -> None:
        self.me = new_holder()
        _MINE.add(self.me)
        self._database, self._threads, self._clock = database, threads, clock
        self._names = names
        self._until = dict.fromkeys(names, 0.0)
        self._changed = asyncio.Event()

    def held(self, name: str) -> bool:
        """Whether this process may do the job now."""
        return time.monotonic() < self._until[name]

    async def wait(self, name: str) -> None:
        """Return once the lease is held."""
        while not self.held(name):
            self._changed.clear()
            await self._changed.wait()

    async def run(self) -> None:
        """Take and renew until cancelled."""
        while True:
            await self.renew()
            await asyncio.sleep(RENEW_S)

    async def renew(self) -> None:
        """Try for every lease once."""
        asked_at = time.monotonic()
        try:
            got = await self._threads.first(self._take)
        except SQLAlchemyError as error:
            log.warning("the leases could not be renewed: %s", type(error).__name__)
            return
        for name in got:
            self._until[name] = asked_at + LEASE_S - SPARE_S
        self._changed.set()

    def _take(self) -> list[str]:
        now = self._clock.now()
        until = now + timedelta(seconds=LEASE_S)
        with self._database.transaction() as session:
            return [
                name
                for name in self._names
                if leases.take(
                    session, name, self.me, now, until, gone=lambda h: has_ended(h, self.me)
                )
            ]

    def release(self) -> None:
        """Let go of everything; blocks."""
        self._until = dict.fromkeys(self._names, 0.0)
        _MINE.discard(self.me)
        with self._database.transaction() as session:
            leases.release(session, self.me)
