"""Threads for work that blocks, so that the event loop never does.

They are daemon threads: work that hangs never keeps the process from ending. A transaction cut
off that way was never committed.
"""

from __future__ import annotations

import asyncio
import itertools
import queue
import threading
import time
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

from bot.operate.watchdog import Watchdog

P = ParamSpec("P")
T = TypeVar("T")

Job = Callable[[], None]

URGENT, COMMON, LAST = 0, 1, 2


class Threads:
    """Runs calls in the order they come, `count` at a time; urgent ones before the others.

    A call that takes longer than half a minute is stuck, by its watchdog.
    """

    def __init__(self, count: int, name: str, watchdog: Watchdog | None = None) -> None:
        self.count = count
        self._watchdog, self._name = watchdog or Watchdog(), name
        self._jobs: queue.PriorityQueue[tuple[int, float, int, Job | None]] = queue.PriorityQueue()
        self._numbers = itertools.count()
        self._threads = [
            threading.Thread(target=self._serve, name=f"{name}-{n}", daemon=True)
            for n in range(count)
        ]
        for thread in self._threads:
            thread.start()

    async def run(self, call: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what the call returns; raise what it raises.

        When the caller is cancelled, a call that has not begun is dropped, and one that has runs
        to its end.
        """
        return await self._run(COMMON, lambda: call(*args, **kwargs))

    async def run_in_turn(self, turn: float, call: Callable[[], T]) -> T:
        """As `run`, the lowest turn first; what has no turn goes before."""
        return await self._run(COMMON, call, turn)

    async def first(self, call: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """As `run`, but before all that is not urgent: what must be on disk at once."""
        return await self._run(URGENT, lambda: call(*args, **kwargs))

    async def _run(self, rank: int, call: Callable[[], T], turn: float = -1.0) -> T:
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[T] = loop.create_future()

        def job() -> None:
            if answer.cancelled():
                return
            settle: Callable[[Any], None]
            try:
                result: Any = call()
                settle = answer.set_result
            except BaseException as error:  # noqa: BLE001 - handed to the caller, whatever it is
                result, settle = error, answer.set_exception

            def tell() -> None:
                if not answer.cancelled():
                    settle(result)

            try:
                loop.call_soon_threadsafe(tell)
            except RuntimeError:  # the loop has ended; nobody waits
                return

        self._jobs.put((rank, turn, next(self._numbers), job))
        return await answer

    def _serve(self) -> None:
        while (job := self._jobs.get()[3]) is not None:
            with self._watchdog.step(self._name):
                job()

    def close(self, wait_s: float = 0.3) -> None:
        """Let the threads end after the work in hand; wait a little for that."""
        for _ in self._threads:
            self._jobs.put((LAST, 0.0, next(self._numbers), None))
        until = time.monotonic() + wait_s
        for thread in self._threads:
            thread.join(max(0.0, until - time.monotonic()))
