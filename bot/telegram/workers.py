"""Handle stored updates: in order within a chat, chats beside each other.

What must be asked of the platform first (who runs the chat, a document's bytes) is asked before
the transaction, so that nothing is locked while it answers.
"""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy.exc import SQLAlchemyError

from bot import worker
from bot.clock import Clock
from bot.incoming import Event, Incoming
from bot.telegram.admins import Admins, matters
from bot.telegram.client import Client
from bot.telegram.documents import text_of
from bot.telegram.threads import Threads
from bot.telegram.together import Together
from bot.telegram.translate import PLATFORM
from core.records import inbox, people
from core.records.database import Database

log = logging.getLogger(__name__)

CHATS_AT_ONCE = 64
LOOK_AGAIN_S = 2.0
ELSEWHERE_S = 0.05


@dataclass(frozen=True, slots=True)
class Waiting:
    """A stored update; `incoming` is None when its row cannot be read (the worker parks it)."""

    id: int
    chat: str
    incoming: Incoming | None


class Workers:
    """See the module. `wake` says that the inbox has something new."""

    def __init__(
        self,
        database: Database,
        client: Client,
        clock: Clock,
        db: Threads,
        answered: Callable[[], None],
    ) -> None:
        self._database, self._client, self._clock, self._db = database, client, clock, db
        self._answered = answered
        self._admins = Admins(client)
        self._together = Together(database, clock, db) if db.count == 1 else None
        self._event = asyncio.Event()
        self._look = True
        self._busy: dict[str, asyncio.Task[None]] = {}

    def wake(self) -> None:
        """Look at the inbox now."""
        self._look = True
        self._event.set()

    @property
    def idle(self) -> bool:
        """Nothing in hand and nothing to look at."""
        return not (self._look or self._busy)

    async def run(self) -> None:
        """Work until cancelled."""
        while True:
            self._event.clear()
            if self._look and len(self._busy) < CHATS_AT_ONCE:
                await self._start()
            try:
                await asyncio.wait_for(self._event.wait(), LOOK_AGAIN_S)
            except TimeoutError:
                self._look = True

    async def _start(self) -> None:
        self._look = False  # a wake from here on asks for another look
        try:
            found, more = await self._db.run(self._queue, list(self._busy))
        except SQLAlchemyError as error:
            log.warning("the inbox is out of reach: %s", type(error).__name__)
            return
        self._look = self._look or more
        lanes: dict[str, deque[Waiting]] = {}
        for waiting in found:
            lanes.setdefault(waiting.chat, deque()).append(waiting)
        for chat, lane in lanes.items():
            if len(self._busy) >= CHATS_AT_ONCE:
                self._look = True
                break
            self._busy[chat] = asyncio.create_task(self._lane(chat, lane))

    def _queue(self, busy: list[str]) -> tuple[list[Waiting], bool]:
        with self._database.transaction() as session:
            rows = inbox.queue(session, PLATFORM, busy=busy)
            return [Waiting(row.id, row.chat, _read(row.body)) for row in rows], len(rows) >= 200

    async def _lane(self, chat: str, lane: deque[Waiting]) -> None:
        """Handle one chat's updates, one after the other."""
        try:
            while lane:
                if not await self._handle(lane.popleft()):
                    await asyncio.sleep(ELSEWHERE_S)  # another process has this chat
                    return
        except SQLAlchemyError as error:
            log.warning("an update waits for the database: %s", type(error).__name__)
            await asyncio.sleep(1.0)
        finally:
            self._busy.pop(chat, None)
            self.wake()

    async def _handle(self, waiting: Waiting) -> bool:
        admin, text = False, None
        incoming = waiting.incoming
        if incoming is not None:
            if matters(incoming) and not await self._db.run(self._coordinates, incoming):
                admin = await self._admins.is_admin(incoming.chat, incoming.user or "")
            if incoming.event is Event.FILE:
                text = await text_of(self._client, incoming)
        done = await self._work(worker.Task(row_id=waiting.id, file_text=text, admin=admin))
        if done:
            self._answered()
        return done

    async def _work(self, task: worker.Task) -> bool:
        if self._together is not None:
            return await self._together.work(task, bot_name=self._client.username)
        return await self._db.run(
            worker.work,
            self._database,
            task.row_id,
            self._clock.now(),
            bot_name=self._client.username,
            file_text=task.file_text,
            admin=task.admin,
        )

    def _coordinates(self, incoming: Incoming) -> bool:
        with self._database.transaction() as session:
            return people.coordinates(session, PLATFORM, incoming.chat, incoming.user or "")

    async def stop(self, grace_s: float) -> None:
        """Begin nothing more; a transaction in hand ends by itself."""
        tasks = list(self._busy.values())
        for task in tasks:
            task.cancel()
        if tasks:
            await asyncio.wait(tasks, timeout=grace_s)
        if self._together is not None:
            await self._together.stop(grace_s)


def _read(body: dict[str, object]) -> Incoming | None:
    try:
        return Incoming.of(body)
    except (TypeError, KeyError, ValueError):
        return None
