"""Carry messages from the outbox to their chats: paced, in order within a chat, never twice.

One courier at a time works for a token: the one that holds the lease `courier`. It takes a
message in hand (`sending`, under a lease of its own) right before it is sent, never two of one
chat at a time, and settles it as soon as the answer is in.

What is in hand at a kill is in doubt and said again. Messages therefore go one by one, each
settled before the next is taken in hand, as long as that is fast enough (see bot/delivery/hand.py).

A round of settling and taking in hand is one transaction. Where a single thread writes, that of
an update being handled takes it along (`offer`): its answer is in hand when it is on disk.

What becomes of a message whose outcome nobody knows, because the connection broke or the process
was killed between the call and the settling, is decided in core/records/delivery.py: `unknown`.

A wait the platform asks for pauses that chat alone. Without a connection nothing is tried, chat
after chat, but everything waits a little.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from bot.delivery.hand import Hand
from bot.delivery.holding import Holding, has_ended
from bot.delivery.job import Carrier, Job, Outcome, Result
from bot.delivery.merging import merged
from bot.delivery.pace import Pace
from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from bot.operate.fault import place
from core.records import delivery, outbox_age, payloads, people
from core.records.database import Database

log = logging.getLogger(__name__)

LEASE = "courier"
IDLE_S = 1.0
RECOVER_S = 5.0  # how often messages in the hand of a process that is gone are looked for
TAKEOVER_S = 1.0  # what the courier before may have sent in its last second
SETTLE_S = 1.0
MOST_TRIES, GIVE_UP_AFTER = 50, timedelta(hours=24)  # answered with 5xx all that time


@dataclass(slots=True, kw_only=True)
class Round:
    """What to settle, and how many messages to take in hand of chats that are not `busy`."""

    results: list[Result]
    busy: Collection[int]
    room: int
    begun_at: float
    offered: bool = False
    jobs: list[Job] = field(default_factory=list)
    more: bool = True


class Courier:
    """See the module. `wake` says that the outbox has something new."""

    def __init__(
        self,
        database: Database,
        carrier: Carrier,
        clock: Clock,
        db: Threads,
        holding: Holding,
        pace: Pace,
    ) -> None:
        self._database, self._clock, self._db = database, clock, db
        self._carrier, self._platform = carrier, carrier.platform
        self._holding, self.pace = holding, pace
        self._recover_at = 0.0
        self._doubt: set[int] = set()  # rows in hand, in flight or not settled yet
        self._event = asyncio.Event()
        self._look = True
        self._in_flight: dict[int, asyncio.Task[None]] = {}  # by chat
        self._hand = Hand(unlimited=pace.unlimited)
        self._round: Round | None = None
        self._results: list[Result] = []
        self._pauses: dict[int, float] = {}
        self._leading = False
        self._stopping = False
        self._ended = asyncio.Event()

    def wake(self) -> None:
        """Look at the outbox now."""
        self._look = True
        self._event.set()

    @property
    def idle(self) -> bool:
        """Nothing in hand, nothing to settle, nothing to look at."""
        return not (self._look or self._in_flight or self._results or self._round)

    async def run(self) -> None:
        """Work until stopped."""
        while not self._stopping:
            self._event.clear()
            timeout_s = IDLE_S
            if self._holding.held(LEASE):
                timeout_s = await self._step()
            else:
                self._leading, self._look = False, True
            try:
                await asyncio.wait_for(self._event.wait(), timeout_s)
            except TimeoutError:
                self._look = self._look or timeout_s == IDLE_S
        self._ended.set()

    async def _step(self) -> float:
        """Settle, take in hand, start; return how long there is nothing to do."""
        if self._round is not None:
            return IDLE_S  # it is being written; `took` or `left` wakes
        if not self._leading:
            try:
                await self._db.first(self._lead)
            except SQLAlchemyError as error:
                return await self._out_of_reach(error)
            self._leading = True
            self._recover_at = time.monotonic() + RECOVER_S
        elif time.monotonic() >= self._recover_at:
            self._recover_at = time.monotonic() + RECOVER_S
            try:
                if await self._db.first(self._recover):
                    self._look = True
            except SQLAlchemyError as error:
                return await self._out_of_reach(error)
        round_ = self._begin()
        if round_ is not None:
            try:
                await self._db.first(self._write, round_)
            except SQLAlchemyError as error:
                self.left(round_)
                return await self._out_of_reach(error)
            self.took(round_)
        return self._rest()

    async def _out_of_reach(self, error: SQLAlchemyError) -> float:
        log.warning("the outbox is out of reach: %s", type(error).__name__)
        await asyncio.sleep(IDLE_S)
        return 0.0

    def offer(self) -> Round | None:
        """Return a round for another transaction to take along, if there is room for one.

        Whoever takes it calls `write_in` in that transaction, then `took`, or `left` if it failed.
        """
        if not self._leading or self._stopping or self._round or not self._holding.held(LEASE):
            return None
        return self._begin(offered=True)

    def _begin(self, *, offered: bool = False) -> Round | None:
        now = time.monotonic()
        results, self._results = self._results, []
        self._after(results, now)
        room = min(self._hand.room(now), self.pace.room(now)) if self._look or offered else 0
        if room < 1 and not results:
            return None
        if room > 0:
            self._look = False  # a wake from here on asks for another look
        busy = set(self._in_flight) | set(self._held(now))
        self._round = Round(
            results=results, busy=busy, room=max(room, 0), begun_at=now, offered=offered
        )
        return self._round

    def took(self, round_: Round) -> None:
        """A round is on disk: send what it took in hand."""
        self._round = None
        for result in round_.results:
            self._doubt.difference_update(result.job.sending.ids)
        if round_.room > 0 or round_.offered:
            self._look = self._look or round_.more
        if round_.room > 0:
            self._hand.looked(round_.begun_at, more=round_.more)
        for job in round_.jobs:
            self.pace.start(time.monotonic())
            chat = job.sending.chat_id
            self._doubt.update(job.sending.ids)
            self._hand.take(chat, round_.begun_at, job.cost)
            self._in_flight[chat] = asyncio.create_task(self._carry(job))
        self._event.set()

    def left(self, round_: Round) -> None:
        """A round was not written; all of it is to be done again."""
        self._round = None
        self._results = round_.results + self._results
        self.wake()

    def _held(self, now: float) -> dict[int, float]:
        """Return the chats that must wait, for the pace or a pause, and until when."""
        self._pauses = {chat: at for chat, at in self._pauses.items() if at > now}
        return self.pace.held(now) | self._pauses

    def _rest(self) -> float:
        now = time.monotonic()
        if self._results:
            return 0.0
        waits = [now + IDLE_S]
        if self._look:
            waits.append(max(self.pace.next_at(), self._hand.free_at(now)))
        held = self._held(now)
        if held:
            first = min(held.values())
            if first <= now + IDLE_S:
                self._look = True  # by then there may be something for that chat
                waits.append(max(first, self.pace.next_at(), self._hand.free_at(now)))
        return max(0.0, min(waits) - now)

    async def _carry(self, job: Job) -> None:
        chat = job.sending.chat_id
        try:
            async with asyncio.timeout(self._carrier.call_limit_s):
                result = await self._carrier.send(job)
        except (asyncio.CancelledError, TimeoutError):
            result = Result(job=job, outcome=Outcome(kind="unknown", reason="cut off"))
        except Exception as error:  # noqa: BLE001 - the message or group is passed over
            log.error("message %s cannot be sent: %s", job.sending.id, place(error))
            result = Result(job=job, outcome=Outcome(kind="refused", reason=place(error)))
        self.pace.end(chat, not job.sending.private, time.monotonic(), job.counted)
        self._results.append(result)
        self._in_flight.pop(chat, None)
        self.wake()

    def _after(self, results: list[Result], now: float) -> None:
        """Keep in mind what the results mean for the next sends."""
        for result in results:
            outcome, chat = result.outcome, result.job.sending.chat_id
            self._hand.settle(chat, now)
            if outcome.kind == "away":
                log.warning("no connection to the messenger: %s", outcome.reason)
                self.pace.hold(now + outcome.wait_s)
            elif outcome.wait_s:
                self._pauses[chat] = now + outcome.wait_s

    # --- in the database's thread ---

    def _lead(self) -> None:
        """Take over: what was in the hands of the courier before, and its pace."""
        now = self._clock.now()
        me = self._holding.me
        with self._database.transaction() as session:
            left = delivery.orphans(
                session, self._platform, now, lambda h: h == me or has_ended(h, me)
            )
            for row_id, holder in left:
                delivery.unknown(session, [row_id], holder, now)
            outbox_age.mark_stale(session, self._platform, now)
            delivery.drop_stale(session, now)
            sent = outbox_age.sent_since(session, self._platform, now - outbox_age.REMEMBERED)
        at = time.monotonic()
        for chat, private, sent_at, times in sent:
            for _ in range(times):
                self.pace.end(chat, not private, at - max(0.0, (now - sent_at).total_seconds()))
        if (sent or left) and not self.pace.unlimited:
            self.pace.hold(at + TAKEOVER_S)

    def _recover(self) -> int:
        """Take back what a process that is gone has in hand; return how many messages.

        A holder that cannot be known to be gone, on another host or hidden from this process, is
        followed when its lease on the message ends.
        """
        now, me = self._clock.now(), self._holding.me
        with self._database.transaction() as session:
            found = delivery.orphans(session, self._platform, now, lambda h: has_ended(h, me))
            left = [pair for pair in found if pair[0] not in self._doubt]
            for row_id, holder in left:
                delivery.unknown(session, [row_id], holder, now)
            outbox_age.mark_stale(session, self._platform, now)
            delivery.drop_stale(session, now)
        return len(left)

    def _write(self, round_: Round) -> None:
        with self._database.transaction() as session:
            self.write_in(session, round_)

    def write_in(self, session: Session, round_: Round) -> None:
        """Settle and take in hand, in a transaction at whose end the round is on disk."""
        now = self._clock.now()
        me = self._holding.me
        round_.jobs, round_.more = [], True
        self._settle(session, round_.results, now)
        if round_.room < 1:
            return
        busy, room, turn = round_.busy, round_.room, self._hand.turn
        ids, round_.more = delivery.heads(
            session, self._platform, now, busy=busy, limit=room, turn=turn
        )
        until = now + timedelta(seconds=self._carrier.call_limit_s + 5)
        chats = delivery.chats_of(session, ids) if ids else ()
        for sending in delivery.claim(session, ids, me, now, until, merge_in=chats):
            if sending.dead is not None:
                delivery.park(session, sending.ids, me, sending.dead)
                delivery.end_chat(session, sending.chat_id, sending.dead, now)
                continue
            round_.jobs.append(self._job(session, sending))

    def _job(self, session: Session, sending: delivery.Sending) -> Job:
        body = merged(sending.bodies)
        rows = [
            [
                [label, self._carrier.payload(session, command, sending.chat_id)]
                for label, command in row
            ]
            for row in body.get("buttons", ())
        ]
        named = {person for _, _, person in body.get("mentions", ())}
        return Job(
            sending=sending,
            parts=self._carrier.parts(body),
            people=delivery.people(session, named),
            buttons=rows or None,
        )

    def _settle(self, session: Session, results: list[Result], at: datetime) -> None:
        me = self._holding.me
        whole = [
            (row_id, r.message)
            for r in results
            if r.outcome.kind == "sent" and r.whole
            for row_id in r.job.sending.ids
        ]
        delivery.sent(session, whole, me, at)
        for result in results:
            sending, outcome = result.job.sending, result.outcome
            if result.file is not None:
                payloads.keep_file(session, self._platform, *result.file, at)
            pause = at + timedelta(seconds=outcome.wait_s)
            match outcome.kind:
                case "sent":
                    if not result.whole:
                        delivery.part_sent(session, sending.id, me, sending.part + 1)
                case "unknown":
                    log.warning("message %s may not have arrived: %s", sending.id, outcome.reason)
                    delivery.unknown(session, sending.ids, me, at)
                case "gone":
                    delivery.park(session, sending.ids, me, outcome.reason)
                    delivery.end_chat(session, sending.chat_id, outcome.reason, at)
                case "refused":
                    log.warning("message %s was refused: %s", sending.id, outcome.reason)
                    delivery.park(session, sending.ids, me, outcome.reason)
                case "moved":
                    delivery.again(session, sending.ids, me, "moved")
                    people.rename_chat(session, self._platform, sending.chat, str(outcome.to))
                case "no_thread" if sending.thread is None:
                    delivery.park(session, sending.ids, me, outcome.reason)
                case "no_thread":
                    delivery.again(session, sending.ids, me, outcome.reason)
                    delivery.leave_thread(session, sending.chat_id)
                case "bad_file":
                    if result.lost_file is not None and sending.tries < 3:
                        payloads.drop_file(session, self._platform, result.lost_file)
                        delivery.again(session, sending.ids, me, outcome.reason)
                    else:
                        delivery.park(session, sending.ids, me, outcome.reason)
                case "wait" if sending.tries >= MOST_TRIES and at - sending.due_at > GIVE_UP_AFTER:
                    delivery.park(session, sending.ids, me, outcome.reason)
                case _:  # wait, away, bad_photo
                    delivery.again(session, sending.ids, me, outcome.reason)
                    if outcome.kind == "wait":
                        delivery.pause_chat(session, sending.chat_id, pause)

    async def stop(self, grace_s: float) -> None:
        """Take nothing more in hand; let what is in flight end within `grace_s`, and settle."""
        self._stopping = True
        self._event.set()
        try:
            async with asyncio.timeout(SETTLE_S):
                await self._ended.wait()
                while self._round is not None:  # another transaction takes it along
                    self._event.clear()
                    await self._event.wait()
        except TimeoutError:
            log.warning("the outbox does not answer")
        tasks = list(self._in_flight.values())
        if tasks:
            _, late = await asyncio.wait(tasks, timeout=grace_s)
            for task in late:
                task.cancel()
            if late:
                await asyncio.wait(late, timeout=0.2)
        results, self._results = self._results, []
        if results:
            last = Round(results=results, busy=(), room=0, begun_at=time.monotonic())
            try:
                async with asyncio.timeout(SETTLE_S):
                    await self._db.first(self._write, last)
            except (TimeoutError, SQLAlchemyError):
                log.warning("%s messages could not be settled", len(results))
