"""Updates of different chats handled in one transaction, as far as they wait at the same time.

Where one thread writes, every transaction of its own would wait for the disk in turn. While one
batch is written the next one gathers; an update that comes alone goes alone, at once.
"""

from __future__ import annotations

import asyncio
from functools import partial

from bot.delivery.courier import Courier
from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from bot.talk import worker
from core.records.database import Database

MOST = 16


class Together:
    """See the module. Each chat may have one update in it at a time."""

    def __init__(self, database: Database, clock: Clock, db: Threads, courier: Courier) -> None:
        self._database, self._clock, self._db = database, clock, db
        self._courier = courier
        self._waiting: list[tuple[worker.Task, asyncio.Future[worker.Handled]]] = []
        self._working: asyncio.Task[None] | None = None

    async def work(self, task: worker.Task, *, bot_name: str) -> worker.Handled:
        """Return what `worker.work` returns, raise what it raises."""
        answer: asyncio.Future[worker.Handled] = asyncio.get_running_loop().create_future()
        self._waiting.append((task, answer))
        if self._working is None or self._working.done():
            self._working = asyncio.create_task(self._work(bot_name))
        return await answer

    async def _work(self, bot_name: str) -> None:
        while self._waiting:
            waiting = [pair for pair in self._waiting if not pair[1].done()]  # not cancelled
            batch, self._waiting = waiting[:MOST], waiting[MOST:]
            if not batch:
                return
            try:
                done = await self._written([task for task, _ in batch], bot_name)
            except Exception as error:  # noqa: BLE001 - each of them is told
                for _, answer in batch:
                    if not answer.done():
                        answer.set_exception(error)
                continue
            for (_, answer), result in zip(batch, done, strict=False):
                if not answer.done():
                    answer.set_result(result)
            self._waiting = batch[len(done) :] + self._waiting

    async def _written(self, tasks: list[worker.Task], bot_name: str) -> list[worker.Handled]:
        """Handle some of the tasks, the first at least, and take a round of the courier along."""
        round_ = self._courier.offer()
        taken = False
        try:
            done, taken = await self._db.run(
                worker.work_together,
                self._database,
                tasks,
                self._clock.now(),
                bot_name=bot_name,
                along=None if round_ is None else partial(self._courier.write_in, round_=round_),
            )
        finally:
            if round_ is None:
                self._courier.wake()
            elif taken:
                self._courier.took(round_)
            else:
                self._courier.left(round_)
        return done

    async def stop(self, grace_s: float) -> None:
        """Let what is in hand end."""
        self._waiting = []
        if self._working is not None and not self._working.done():
            await asyncio.wait({self._working}, timeout=grace_s)
