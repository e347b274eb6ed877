"""Handle stored updates: in order within a chat, chats beside each other.

What must be had first is had outside of the transaction, so that nothing is locked meanwhile: who
runs the chat and a document's bytes from the platform, heavy work from a process of its own.

What a process that ended had in hand may be why it ended. It is handled in a process of its own,
one update after the other: the one that ends that process as well is parked.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import pickle
import time
from collections import deque
from collections.abc import Callable
from contextlib import AsyncExitStack
from dataclasses import replace

from sqlalchemy.exc import SQLAlchemyError

from bot.delivery.apart import AT_ONCE, Apart
from bot.delivery.budget import MOST_WAITING, Budget, Waits
from bot.delivery.courier import Courier
from bot.delivery.holding import has_ended
from bot.delivery.shares import Lane, Shares
from bot.delivery.threads import Threads
from bot.delivery.together import Together
from bot.incoming import Event, Incoming
from bot.operate.clock import Clock
from bot.talk import worker
from bot.talk.document import File, FileWanted
from bot.telegram.admins import standing
from bot.telegram.client import Client
from bot.telegram.documents import fetch
from bot.telegram.intake import Stored
from bot.telegram.translate import PLATFORM
from core import apart
from core.apart import Errand
from core.handlers.rights import RightsWanted
from core.records import inbox
from core.records.database import Database
from core.scene import Standing

log = logging.getLogger(__name__)

CHATS_AT_ONCE = 64
LANE = 50  # updates of one chat kept in memory
AT_A_TIME = 8  # updates of one chat handled before one that found no lane has it
LOOK_AGAIN_S = 2.0
ELSEWHERE_S = 0.05
MOST_LOOKED_AT = 200
MOST_BEGUN = 2  # times an update is begun as usual by processes nobody knows to have ended
MOST_ERRANDS = apart.MOST + 3
DOUBT_EACH_S = 5.0  # for an update that may be why a process ended
ALIKE_S, MOST_S = 0.02, 0.2  # of the writer's time: an everyday report takes less
LITTLE = 2  # updates left to handle: it is time to ask for more
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
        me: str,
        budget: Budget,
        pressed: Callable[[str], None] = lambda key: None,
    ) -> None:
        self._database, self._client, self._clock, self._db = database, client, clock, db
        self._courier, self._me = courier, me
        self._apart, self._budget, self._pressed = Apart(), budget, pressed
        self._paused: set[str] = set()  # chats that have had their share for now
        self._shares, self._heavy = Shares(ALIKE_S, MOST_S), Lane(AT_ONCE)
        self._together = (
            Together(database, clock, db, courier, self._shares) if db.count == 1 else None
        )
        self._event = asyncio.Event()
        self._look = True
        self._left = False  # something is stored that no lane holds
        self._busy: dict[str, asyncio.Task[None]] = {}
        self._lanes: dict[str, deque[Stored]] = {}
        self._little: asyncio.Future[None] | None = None  # somebody waits until little is left

    async def little_left(self, most_s: float) -> None:
        """Wait until hardly anything is left to handle, at most so long.

        What comes meanwhile is then taken in at once, with one call and one transaction for many.
        """
        if self._left_to_do() <= LITTLE:
            return
        self._little = asyncio.get_running_loop().create_future()
        try:
            await asyncio.wait_for(self._little, most_s)
        except TimeoutError:
            return
        finally:
            self._little = None

    def _left_to_do(self) -> int:
        return sum(map(len, self._lanes.values()))

    def _handled_one(self) -> None:
        little = self._little
        if little is not None and not little.done() and self._left_to_do() <= LITTLE:
            little.set_result(None)

    def take(self, stored: list[Stored]) -> None:
        """Begin with what was just stored; what there is no room for is found by a later look."""
        for update in stored:
            lane = self._lanes.get(update.chat)
            if lane is not None and len(lane) < LANE:
                lane.append(update)
            elif update.chat in self._busy or update.chat in self._paused:
                continue  # found by the look that follows
            elif len(self._busy) < CHATS_AT_ONCE:
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
            found, doubtful, more = await self._db.run(self._queue, [*self._busy, *self._paused])
        except SQLAlchemyError as error:
            log.warning("the inbox is out of reach: %s", type(error).__name__)
            return
        self._look = self._look or more
        if doubtful:
            task = asyncio.create_task(self._by_itself(doubtful))
            self._busy |= {chat: task for _, chat in doubtful}
        lanes: dict[str, deque[Stored]] = {}
        for waiting in found:
            lanes.setdefault(waiting.chat, deque()).append(waiting)
        for chat, lane in sorted(lanes.items(), key=lambda one: self._shares.turn(one[0])):
            if len(self._busy) >= CHATS_AT_ONCE:
                self._left = True
                break
            if chat not in self._busy:  # since the look
                self._begin(chat, lane)

    def _queue(self, busy: list[str]) -> tuple[list[Stored], list[tuple[int, str]], bool]:
        """Return updates to begin with, those in doubt (row, chat), and whether there are more."""
        with self._database.transaction() as session:
            rows = inbox.queue(session, PLATFORM, busy=busy)
            doubtful = [
                (row.id, row.chat)
                for row in rows
                if row.lease_by not in (None, self._me)
                and (row.tries >= MOST_BEGUN or has_ended(row.lease_by, self._me))
            ]
            elsewhere = {chat for _, chat in doubtful}
            rows = [row for row in rows if row.chat not in elsewhere]
            fresh = [row.id for row in rows if row.lease_by != self._me]
            if fresh:
                inbox.begin(session, fresh, self._me)
            stored = [Stored(row.id, row.chat, _read(row.body)) for row in rows]
            return stored, doubtful, len(rows) + len(doubtful) >= MOST_LOOKED_AT

    async def _by_itself(self, doubtful: list[tuple[int, str]]) -> None:
        """Handle what a process had in hand when it ended; park what ends another one."""
        left = [row_id for row_id, _ in doubtful]
        log.warning("%s updates were in hand when a process ended", len(left))
        url = self._database.engine.url.render_as_string(hide_password=False)
        try:
            while left:
                call = (url, left, self._clock.now(), self._client.username)
                ran = await self._apart.run(
                    pickle.dumps((worker.work_by_itself, call, {})),
                    each_s=DOUBT_EACH_S,
                )
                if not ran.values:  # it did not even begin: no fault of theirs
                    await self._db.run(self._take_over, left)
                    return
                done = ran.values[1:]
                again = [row_id for row_id, handled in done if not handled]
                await self._db.run(self._take_over, again)
                left = left[len(done) :]
                if left and not ran.whole:
                    fault = "its process was held up" if ran.late else "its process ended"
                    await self._db.run(
                        worker.park, self._database, left.pop(0), fault, self._clock.now()
                    )
                self._courier.wake()
        except SQLAlchemyError as error:
            log.warning("updates in doubt wait for the database: %s", type(error).__name__)
            await asyncio.sleep(PAUSE_S)
        finally:
            for _, chat in doubtful:
                self._busy.pop(chat, None)
            self.wake()

    def _take_over(self, row_ids: list[int]) -> None:
        with self._database.transaction() as session:
            inbox.begin(session, row_ids, self._me)

    async def _lane(self, chat: str, lane: deque[Stored]) -> None:
        """Handle one chat's updates, one after the other; what is left is found by a look."""
        handled = 0
        try:
            while lane and not (self._left and handled >= AT_A_TIME):
                self._budget.take(chat)
                if not await self._handled(lane[0]):
                    # another process has this chat, or an older update of it waits
                    await asyncio.sleep(ELSEWHERE_S)
                    return
                done = lane.popleft().incoming
                handled += 1
                if done is not None and done.press is not None:
                    self._pressed(done.key)
                self._handled_one()
        except Waits as waits:
            await self._pause(lane[0], waits.wait_s)
        except SQLAlchemyError as error:
            log.warning("an update waits for the database: %s", type(error).__name__)
            await asyncio.sleep(PAUSE_S)
        finally:
            self._busy.pop(chat, None)
            self._lanes.pop(chat, None)
            self._handled_one()
            if lane or self._left or self._look:
                self._left = False
                self.wake()

    async def _pause(self, waiting: Stored, wait_s: float) -> None:
        """Leave a chat alone for a while, and tell it so once."""
        chat = waiting.chat
        self._paused.add(chat)
        asyncio.get_running_loop().call_later(wait_s, self._resume, chat)
        with contextlib.suppress(SQLAlchemyError):
            now = self._clock.now()
            if self._budget.tell(chat):
                await self._db.run(worker.tell_waiting, self._database, waiting.id, now)
            await self._db.run(worker.leave_most, self._database, waiting.id, MOST_WAITING, now)
            self._courier.wake()

    def _resume(self, chat: str) -> None:
        self._paused.discard(chat)
        self.wake()

    async def _handled(self, waiting: Stored) -> bool:
        """Handle an update; whatever goes wrong on the way to it, it is parked and passed over."""
        try:
            if _commands(waiting.incoming) and not self._budget.take_person(_person(waiting)):
                return await self._db.run(
                    worker.leave_unread,
                    self._database,
                    waiting.id,
                    self._clock.now(),
                    tell=self._budget.tell(f"{waiting.chat} {_person(waiting)}"),
                )
            async with AsyncExitStack() as stack:
                return await self._handle(waiting, stack)
        except (SQLAlchemyError, Waits):
            raise
        except Exception as error:  # noqa: BLE001 - the one catch of a lane
            await self._db.run(worker.park, self._database, waiting.id, error, self._clock.now())
            self._courier.wake()
            return True

    async def _handle(self, waiting: Stored, stack: AsyncExitStack) -> bool:
        """Handle an update; the heavy work it turns out to need has its turn until `stack` ends."""
        incoming = waiting.incoming
        task = worker.Task(row_id=waiting.id, standing=Standing.OLD, worked={})
        heavy = False
        for _ in range(MOST_ERRANDS):
            first = task.standing is Standing.OLD and not task.worked
            document = incoming is None or incoming.event is Event.FILE
            done = await self._work(task, chat=waiting.chat, alone=document or not first)
            if not (heavy or isinstance(done, bool | RightsWanted)):
                self._budget.take_heavy(waiting.chat, incoming.user if incoming else None)
                await stack.enter_async_context(self._heavy.turn(waiting.chat))
                heavy = True
            match done:
                case FileWanted() if incoming is not None:
                    task = replace(task, file=File(await fetch(self._client, incoming)))
                case RightsWanted() if incoming is not None:
                    told = await standing(self._client, done.chat, incoming.user or "")
                    task = replace(task, standing=told)
                case Errand():
                    worked = await self._apart.worked(done.work)
                    task = replace(task, worked={**(task.worked or {}), done.key: worked})
                case bool():
                    return done
        raise RuntimeError("an update asks for ever more")

    async def _work(self, task: worker.Task, *, chat: str, alone: bool) -> worker.Handled:
        name = self._client.username
        if self._together is not None:
            return await self._together.work(task, chat=chat, alone=alone, bot_name=name)
        took: list[float] = []

        def work() -> worker.Handled:
            began = time.thread_time()
            done = worker.work(self._database, task, self._clock.now(), bot_name=name)
            took.append(time.thread_time() - began)
            return done

        done = await self._db.run_in_turn(self._shares.turn(chat), work)
        self._shares.charge(chat, sum(took))
        if done is True:
            self._courier.wake()
        return done

    async def stop(self, grace_s: float) -> None:
        """Begin nothing more; a transaction in hand ends by itself."""
        tasks = list(self._busy.values())
        for task in tasks:
            task.cancel()
        if tasks:
            await asyncio.wait(tasks, timeout=grace_s)
        if self._together is not None:
            await self._together.stop(grace_s)
        with contextlib.suppress(SQLAlchemyError, TimeoutError):
            async with asyncio.timeout(grace_s):
                await self._db.run(self._leave)

    def _leave(self) -> None:
        with self._database.transaction() as session:
            inbox.leave(session, self._me)


def _read(body: dict[str, object]) -> Incoming | None:
    try:
        return Incoming.of(body)
    except (TypeError, KeyError, ValueError):
        return None


def _commands(said: Incoming | None) -> bool:
    """Whether somebody asked the bot for something where others do, too."""
    if said is None or said.private or said.user is None:
        return False
    if said.event is Event.TEXT:
        return said.addressed or said.text.startswith("/")
    return said.event in (Event.PRESS, Event.FILE)


def _person(waiting: Stored) -> str:
    return (waiting.incoming and waiting.incoming.user) or ""
