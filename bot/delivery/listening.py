"""Hear from PostgreSQL at once that another process put something into the outbox.

Without this an answer written elsewhere waits for the courier's next look, up to a second.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Callable

import psycopg

from core.records.database import Database
from core.records.news import CHANNEL

log = logging.getLogger(__name__)

LOOK_S = 1.0  # how long the thread may take to notice that it is to end
AGAIN_S = 5.0


class Listening:
    """Calls `heard` in the loop for every word; does nothing on SQLite."""

    def __init__(self, database: Database, heard: Callable[[], None]) -> None:
        self._url = database.engine.url
        self._heard = heard
        self._ended = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Listen until `stop`; call it in the loop that `heard` belongs to."""
        if self._url.get_backend_name() != "postgresql":
            return
        loop = asyncio.get_running_loop()
        self._thread = threading.Thread(
            target=self._listen, args=(loop,), name="listening", daemon=True
        )
        self._thread.start()

    def _listen(self, loop: asyncio.AbstractEventLoop) -> None:
        address = self._url.set(drivername="postgresql").render_as_string(hide_password=False)
        while not self._ended.is_set():
            try:
                with psycopg.connect(address, autocommit=True) as connection:
                    connection.execute(f"LISTEN {CHANNEL}")
                    self._tell(loop)  # what was said while nobody listened
                    while not self._ended.is_set():
                        for _ in connection.notifies(timeout=LOOK_S, stop_after=1):
                            self._tell(loop)
            except psycopg.Error as error:
                log.warning("not listening to the database: %s", type(error).__name__)
                self._ended.wait(AGAIN_S)

    def _tell(self, loop: asyncio.AbstractEventLoop) -> None:
        if not self._ended.is_set() and not loop.is_closed():
            loop.call_soon_threadsafe(self._heard)

    def stop(self) -> None:
        """Hear nothing more; the thread ends by itself."""
        self._ended.set()
