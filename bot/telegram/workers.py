"""Handle stored updates: in order within a chat, chats beside each other.

What must be asked of the platform first (who runs the chat, a document's bytes) is asked before
the transaction, so that nothing is locked while it answers.
"""

from __future__ import annotations

import asyncio
import logging
from collections import deque

from sqlalchemy.exc import SQLAlchemyError

from bot.delivery.courier import Courier
from bot.delivery.threads import Threads
from bot.delivery.together import Together
from bot.incoming import Event, Incoming
from bot.operate.clock import Clock
from bot.talk import worker
from bot.telegram.admins import Admins, matters
from bot.telegram.client import Client
from bot.telegram.documents import text_of
from bot.telegram.intake import Stored
from bot.telegram.translate import PLATFORM
from core.records import inbox, people
from core.records.database import Database

log = logging.getLogger(__name__)

CHATS_AT_ONCE = 64
LANE = 50  # updates of one chat kept in memory
LOOK_AGAIN_S = 2.0
ELSEWHERE_S = 0.05
PAUSE_S = 1.0  # before an update that had to wait is tried again


class Workers:
    """See the module. `wake` says that the inbox has something new."""

    def __init__(
        self,
        database: Database,
        client: Client,
        clock: Clock,
        db: Threads,
        courier: Courier,
    ) -> None:
        self._database, self._client, self._clock, self._db = database, client, clock, db
        self._courier = courier
        self._admins = Admins(client)
        self._together = Together(database, clock, db, courier) if db.count == 1 else None
        self._event = asyncio.Event()
        self._look = True
        self._left = False  # something is stored that no lane holds
        self._busy: dict[str, asyncio.Task[None]] = {}
        self._lanes: dict[str, deque[Stored]] = {}

    def take(self, stored: list[Stored]) -> None:
        """Begin with what was just stored; what there is no room for is found by a later look."""
        for update in stored:
            lane = self._lanes.get(update.chat)
            if lane is not None and len(lane) < LANE:
                lane.append(update)
            elif lane is None and len(self._busy) < CHATS_AT_ONCE:
                self._begin(update.chat, deque([update]))
            else:
                self._left = True

    def _begin(self, chat: str, lane: deque[Stored]) -> None:
        self._lanes[chat] = lane
        self._busy[chat] = asyncio.create_task(self._lane(chat, lane))

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
        lanes: dict[str, deque[Stored]] = {}
        for waiting in found:
            lanes.setdefault(waiting.chat, deque()).append(waiting)
        for chat, lane in lanes.items():
            if len(self._busy) >= CHATS_AT_ONCE:
                self._left = True
                break
            if chat not in self._busy:  # since the look
                self._begin(chat, lane)

    def _queue(self, busy: list[str]) -> tuple[list[Stored], bool]:
        with self._database.transaction() as session:
            rows = inbox.queue(session, PLATFORM, busy=busy)
            return [Stored(row.id, row.chat, _read(row.body)) for row in rows], len(rows) >= 200

    async def _lane(self, chat: str, lane: deque[Stored]) -> None:
        """Handle one chat's updates, one after the other; what is left is found by a look."""
        try:
            while lane:
                if not await self._handled(lane[0]):
                    # another process has this chat, or an older update of it waits
                    await asyncio.sleep(ELSEWHERE_S)
                    return
                lane.popleft()
        except SQLAlchemyError as error:
            log.warning("an update waits for the database: %s", type(error).__name__)
            await asyncio.sleep(PAUSE_S)
        finally:
            self._busy.pop(chat, None)
            self._lanes.pop(chat, None)
            if lane or self._left or self._look:
                self._left = False
                self.wake()

    async def _handled(self, waiting: Stored) -> bool:
        """Handle an update; whatever goes wrong on the way to it, it is parked and passed over."""
        try:
            return await self._handle(waiting)
        except SQLAlchemyError:
            raise
        except Exception as error:  # noqa: BLE001 - the one catch of a lane
            await self._db.run(worker.park, self._database, waiting.id, error, self._clock.now())
            self._courier.wake()
            return True

    async def _handle(self, waiting: Stored) -> bool:
        admin, text = False, None
        incoming = waiting.incoming
        if incoming is not None:
            if matters(incoming) and not await self._db.run(self._coordinates, incoming):
                admin = await self._admins.is_admin(incoming.chat, incoming.user or "")
            if incoming.event is Event.FILE:
                text = await text_of(self._client, incoming)
        return await self._work(worker.Task(row_id=waiting.id, file_text=text, admin=admin))

    async def _work(self, task: worker.Task) -> bool:
        if self._together is not None:
            return await self._together.work(task, bot_name=self._client.username)
        done = await self._db.run(
            worker.work,
            self._database,
            task.row_id,
            self._clock.now(),
            bot_name=self._client.username,
            file_text=task.file_text,
            admin=task.admin,
        )
        if done:
            self._courier.wake()
        return done

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
