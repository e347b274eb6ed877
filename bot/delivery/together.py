"""Updates of different chats handled in one transaction, as far as they wait at the same time.

Where one thread writes, every transaction of its own would wait for the disk in turn. While one
batch is written the next one gathers; an update that comes alone goes alone, at once.
"""

from __future__ import annotations

import asyncio
import time
from dataclasses import dataclass
from functools import partial

from bot.delivery.courier import Courier
from bot.delivery.shares import Shares
from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from bot.talk import worker
from core.records.database import Database

MOST = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class _Waiting:
    task: worker.Task
    chat: str
    alone: bool
    answer: asyncio.Future[worker.Handled]


class Together:
    """See the module. Each chat may have one update in it at a time.

    The chat that has used the least of the writer's time goes first.
    """

    def __init__(
        self, database: Database, clock: Clock, db: Threads, courier: Courier, shares: Shares
    ) -> None:
        self._database, self._clock, self._db = database, clock, db
        self._courier, self._shares = courier, shares
        self._waiting: list[_Waiting] = []
        self._working: asyncio.Task[None] | None = None

    async def work(
        self, task: worker.Task, *, chat: str, alone: bool, bot_name: str
    ) -> worker.Handled:
        """Return what `worker.work` returns, raise what it raises; `alone`: with no other."""
        answer: asyncio.Future[worker.Handled] = asyncio.get_running_loop().create_future()
        self._waiting.append(_Waiting(task=task, chat=chat, alone=alone, answer=answer))
        if self._working is None or self._working.done():
            self._working = asyncio.create_task(self._work(bot_name))
        return await answer

    def _batch(self) -> list[_Waiting]:
        """Return what is worked on next, and keep the rest: those cancelled are left out."""
        waiting = [one for one in self._waiting if not one.answer.done()]
        waiting.sort(key=lambda one: self._shares.turn(one.chat))
        if waiting and waiting[0].alone:
            batch = waiting[:1]
        else:
            batch = [one for one in waiting if not one.alone][:MOST]
        chosen = set(map(id, batch))
        self._waiting = [one for one in waiting if id(one) not in chosen]
        return batch

    async def _work(self, bot_name: str) -> None:
        while batch := self._batch():
            took: list[float] = []
            try:
                if batch[0].alone:
                    done = [await self._by_itself(batch[0].task, bot_name, took)]
                else:
                    done = await self._written([one.task for one in batch], bot_name, took)
            except Exception as error:  # noqa: BLE001 - each of them is told
                for one in batch:
                    if not one.answer.done():
                        one.answer.set_exception(error)
                continue
            for one, seconds in zip(batch, took, strict=False):
                self._shares.charge(one.chat, seconds)
            for one, result in zip(batch, done, strict=False):
                if not one.answer.done():
                    one.answer.set_result(result)
            self._waiting = batch[len(done) :] + self._waiting

    async def _by_itself(
        self, task: worker.Task, bot_name: str, took: list[float]
    ) -> worker.Handled:
        def work() -> worker.Handled:
            began = time.thread_time()
            done = worker.work(self._database, task, self._clock.now(), bot_name=bot_name)
            took.append(time.thread_time() - began)
            return done

        done = await self._db.run(work)
        if done is True:
            self._courier.wake()
        return done

    async def _written(
        self, tasks: list[worker.Task], bot_name: str, took: list[float]
    ) -> list[worker.Handled]:
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
                took=took,
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
