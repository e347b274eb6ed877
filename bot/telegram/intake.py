"""Take updates in: each is on disk before the platform hears that it was received.

An update that this program cannot read is stored as well, set aside with its error, and blocks
nothing. A button press is acknowledged once it is handled, or two seconds after it is stored.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import logging
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any, Protocol

from sqlalchemy.exc import SQLAlchemyError
from telegram import Update
from telegram.error import Conflict, InvalidToken, RetryAfter, TelegramError

from bot.bounds import within
from bot.delivery.holding import Holding
from bot.delivery.threads import Threads
from bot.incoming import Incoming
from bot.operate.clock import Clock
from bot.operate.fault import place
from bot.operate.watchdog import Watchdog
from bot.telegram.client import CALL_LIMIT_S, POLL_S, Client, RawUpdate, seconds
from bot.telegram.translate import PLATFORM, Arrival, translate
from core.due.notices import AWAY_AFTER
from core.records import absence, inbox, marks, outbox
from core.records.database import Database, away

log = logging.getLogger(__name__)

LEASE = "intake"
HEARD = "heard"  # mark: when the platform last answered
HEARD_EVERY = timedelta(minutes=1)
BACKOFF_S = (0.5, 1.0, 2.0, 5.0, 10.0, 30.0)
ANSWERED_WITHIN_S = 2.0  # so long a press waits for words of its own; choice
HEAD_START_S = 0.01  # for what just came, before the next call takes the processor
MOST_WAIT_S = 0.04  # for what is left to handle, before more is asked for
MOST_DIGITS = 18  # of a number that a database holds
MOST_NUMBER = 10**MOST_DIGITS
KEPT_OF_UNREADABLE = 4000  # characters

Row = tuple[str, str, str, dict[str, Any]]


class Intake(Protocol):
    """A way in which updates come: long polling, or a webhook."""

    async def run(self) -> None:
        """Take updates in until cancelled."""
        ...


@dataclass(frozen=True, slots=True)
class Stored:
    """An update on disk: its row, the chat whose turn it takes, and what it says.

    `incoming` is None when its row cannot be read (the worker parks it).
    """

    id: int
    chat: str
    incoming: Incoming | None


@dataclass(frozen=True, slots=True)
class Taken:
    """An update as it came, and what it holds; `error` where it cannot be read or stored."""

    raw: RawUpdate
    arrivals: list[Arrival] = field(default_factory=list)
    error: str | None = None


class Receiver:
    """Stores updates, however they come, and acknowledges presses."""

    def __init__(
        self,
        database: Database,
        client: Client,
        clock: Clock,
        db: Threads,
        stored: Callable[[list[Stored]], None],
        me: str | None = None,
    ) -> None:
        self._database, self._client, self._clock, self._db = database, client, clock, db
        self._stored, self._me = stored, me
        self._heard_at: datetime | None = None
        self.remembers = True  # when the platform was last heard
        self._acknowledging: set[asyncio.Task[None]] = set()
        self._handled: dict[str, asyncio.Event] = {}  # presses that wait, by key

    async def take(self, updates: list[RawUpdate]) -> int:
        """Return how many were new once all are on disk; raise SQLAlchemyError if they are not.

        One that cannot be read, or not be stored, is set aside by itself.
        """
        taken = [self._read(raw) for raw in updates]
        new = 0
        for said in (arrival.incoming for one in taken for arrival in one.arrivals):
            if said.press is not None:
                self._handled.setdefault(said.key, asyncio.Event())
        if taken:
            stored, new = await asyncio.shield(self._db.first(self._keep, taken))
            self._stored(stored)
        await self._heard()
        for said in (arrival.incoming for one in taken for arrival in one.arrivals):
            if said.press is not None:
                task = asyncio.create_task(self._acknowledge(said.key, said.press))
                self._acknowledging.add(task)
                task.add_done_callback(self._acknowledging.discard)
        return new

    def handled(self, key: str) -> None:
        """The press of a key was handled: what the presser is to be told is on disk."""
        if key in self._handled:
            self._handled[key].set()

    def _read(self, raw: RawUpdate) -> Taken:
        try:
            found = translate(Update.de_json(raw, self._client), self._client)
            return Taken(raw, [replace(one, incoming=within(one.incoming)) for one in found])
        except Exception as error:  # noqa: BLE001 - whatever is wrong with it, it is set aside
            log.warning("an update cannot be read: %s", place(error))
            return Taken(raw, error=place(error))

    def _keep(self, taken: list[Taken]) -> tuple[list[Stored], int]:
        """Store all at once, or one by one where that fails by the fault of one."""
        try:
            return self._store(taken)
        except Exception as error:
            if away(error):
                raise
        stored: list[Stored] = []
        count = 0
        for one in taken:
            try:
                found, new = self._store([one])
            except Exception as error:
                if away(error):
                    raise
                log.warning("an update cannot be stored: %s", place(error))
                found, new = self._store([Taken(one.raw, error=place(error))])
            stored += found
            count += new
        return stored, count

    def _store(self, taken: list[Taken]) -> tuple[list[Stored], int]:
        """Return the new ones that are to be handled, and how many were new in all."""
        now = self._clock.now()
        with self._database.transaction() as session:
            rows: list[Row] = []
            nowhere: list[Row] = []
            said: dict[str, Incoming] = {}
            for arrival in (arrival for one in taken for arrival in one.arrivals):
                incoming = arrival.incoming
                row = (PLATFORM, incoming.key, arrival.lane, incoming.body())
                (rows if arrival.lane else nowhere).append(row)
                said.setdefault(incoming.key, incoming)
            new = inbox.store(session, rows, now, by=self._me)
            count = len(new) + len(inbox.store(session, nowhere, now, state="done"))
            for one in taken:
                if one.error is not None:
                    unread = [_unreadable(one.raw)]
                    count += len(
                        inbox.store(session, unread, now, state="parked", error=one.error[:2000])
                    )
        lanes = {key: lane for _, key, lane, _ in reversed(rows)}
        stored = [Stored(row_id, lanes[key], said[key]) for key, row_id in new.items()]
        return sorted(stored, key=lambda update: update.id), count

    async def _heard(self) -> None:
        """Remember now and then that the platform answers."""
        now = self._clock.now()
        if not self.remembers:
            return
        if self._heard_at is None or abs(now - self._heard_at) >= HEARD_EVERY:
            await self._db.first(self._mark, now)
            self._heard_at = now

    def _mark(self, now: datetime) -> None:
        with self._database.transaction() as session:
            before = marks.get(session, f"{HEARD}:{PLATFORM}")
            if before is not None and now - before.at > AWAY_AFTER:
                absence.note_all(session, PLATFORM, before.at, now)
            marks.put(session, f"{HEARD}:{PLATFORM}", now.isoformat(), now)

    async def _acknowledge(self, key: str, press: str) -> None:
        """Let the button come to rest, unless the courier does so with words for the presser."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._handled[key].wait(), ANSWERED_WITHIN_S)
        self._handled.pop(key, None)
        with contextlib.suppress(SQLAlchemyError):
            if await self._db.run(self._has_words, key):
                return
        try:
            await self._client.answer_callback_query(press)
        except TelegramError as error:  # too old, or answered before: nothing depends on it
            log.info("a press could not be acknowledged: %s", error)

    def _has_words(self, key: str) -> bool:
        with self._database.transaction() as session:
            return outbox.is_apart(session, f"{PLATFORM}:{key}:0")

    def close(self) -> None:
        """Drop what is still being acknowledged."""
        for task in self._acknowledging:
            task.cancel()


def _unreadable(raw: RawUpdate) -> Row:
    """Return what is kept of an update that cannot be read or stored, under its number."""
    try:
        text = json.dumps(raw, sort_keys=True, default=str)
    except (ValueError, TypeError, RecursionError):
        text = "{}"
    number = raw.get("update_id") if isinstance(raw, dict) else None
    if not isinstance(number, int) or not 0 <= number < MOST_NUMBER:
        import hashlib

        number = "x" + hashlib.sha256(text.encode()).hexdigest()[:40]
    return (PLATFORM, str(number), "", {"unreadable": text[:KEPT_OF_UNREADABLE]})


class Polling:
    """Long polling. One process at a time polls for a token: the one that holds the lease."""

    def __init__(
        self,
        client: Client,
        receiver: Receiver,
        holding: Holding,
        watchdog: Watchdog | None = None,
        little_left: Callable[[float], Awaitable[None]] | None = None,
    ) -> None:
        """`little_left` waits, at most so many seconds, until little is left to handle."""
        self._client, self._receiver, self._holding = client, receiver, holding
        self._little_left = little_left
        self._watchdog = watchdog or Watchdog()
        self._offset: int | None = None
        self._failures = 0

    async def run(self) -> None:
        """Poll until cancelled."""
        cleared = False
        while True:
            await self._holding.wait(LEASE)
            try:
                if not cleared:
                    await self._client.delete_webhook(drop_pending_updates=False)
                    await self._receiver.take([])  # heard
                    cleared = True
                with self._watchdog.step("intake", POLL_S + CALL_LIMIT_S):
                    updates = await self._client.raw_updates(self._offset)
                with self._watchdog.step("intake"):
                    await self._receiver.take(updates)
            except Exception as error:  # noqa: BLE001 - the one catch of the intake: it goes on
                await asyncio.sleep(self._pause(error))
                continue
            self._failures = 0
            numbers = [u["update_id"] for u in updates if isinstance(u.get("update_id"), int)]
            # Once all is confirmed the offset is dropped: after a quiet week the platform may
            # begin again with any number, also a lower one.
            self._offset = max(numbers) + 1 if numbers else None
            if updates:
                await asyncio.sleep(HEAD_START_S)
                if self._little_left is not None:
                    await self._little_left(MOST_WAIT_S)

    def _pause(self, error: Exception) -> float:
        """Log what went wrong; return how long to wait."""
        self._failures += 1
        wait_s = BACKOFF_S[min(self._failures, len(BACKOFF_S)) - 1]
        match error:
            case RetryAfter():
                return seconds(error.retry_after)
            case Conflict():
                log.warning("another program polls with this token")
            case InvalidToken():
                log.error("the token is refused")
            case SQLAlchemyError():
                log.warning("updates could not be stored: %s", type(error).__name__)
            case TelegramError():
                log.warning("the messenger cannot be reached: %s", error)
            case _:
                log.error("updates could not be taken in: %s", place(error))
        return wait_s
