"""The queue of updates, handed out by long polling or pushed to a webhook.

Polling: an update is confirmed by a call with a higher offset; a second poller ends the first
with 409, and polling is refused while a webhook is set.  Webhook: one request an update, in
order within a chat, chats in parallel up to `max_connections`; anything but 2xx is tried again
after `retry_s`, doubled up to 16 times that, and given up after `attempts`.  Updates nobody
fetched within 24 hours are forgotten.
Source: Bot API reference, "Getting updates".
"""

from __future__ import annotations

import asyncio
import itertools
import json
from collections import deque
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any

import aiohttp

from tests.server.contract import ApiError
from tests.server.tables import QUIET_KINDS, UPDATE_KINDS

KEPT_S = 24 * 3600


@dataclass(frozen=True, slots=True)
class Update:
    """One queued update; `lane` is the chat that orders it, `at` its Unix time in s."""

    update_id: int
    lane: int
    at: float
    body: bytes


@dataclass(slots=True)
class Webhook:
    """Where updates are pushed; `backends` replaces `url` when it names a balancer."""

    url: str
    secret: str | None = None
    max_connections: int = 40
    ip_address: str | None = None
    last_error_at: int | None = None
    last_error: str = ""
    workers: dict[int, asyncio.Task[None]] = field(default_factory=dict)


class UpdateQueue:
    """Pending updates of one bot.

    Attributes:
        pending: unconfirmed updates by id, oldest first.
        polling: True while a getUpdates call is waiting.
        polls: getUpdates calls so far.
        confirmed: highest update id confirmed, 0 before any.
        given_up: ids of updates whose webhook delivery was given up.
        forgotten: ids of updates nobody fetched within KEPT_S.
        balance: webhook url -> addresses tried in turn in its place.
    """

    def __init__(self, first_id: int, wall: Callable[[], float]) -> None:
        self.pending: dict[int, Update] = {}
        self.history: dict[int, Update] = {}
        self.allowed: frozenset[str] | None = None
        self.webhook: Webhook | None = None
        self.balance: dict[str, list[str]] = {}
        self.retry_s = 0.05
        self.attempts = 1000
        self.polls = self.confirmed = 0
        self.given_up: list[int] = []
        self.forgotten: list[int] = []
        self.on_change: Callable[[], None] = lambda: None
        self.on_answer: Callable[[dict[str, Any]], Awaitable[None]] | None = None
        self._wall = wall
        self._ids = itertools.count(first_id)
        self._unordered = False
        self._again: list[Update] = []
        self._waiting: asyncio.Future[bool] | None = None
        self._lanes: dict[int, deque[Update]] = {}
        self._turn = itertools.count()
        self._session: aiohttp.ClientSession | None = None

    @property
    def polling(self) -> bool:
        """True while a getUpdates call is waiting for something to return."""
        return self._waiting is not None

    def wanted(self, kind: str) -> bool:
        """Return whether updates of this kind are made for the bot now."""
        return kind not in QUIET_KINDS if self.allowed is None else kind in self.allowed

    def allow(self, kinds: list[str] | None) -> None:
        """Set the kinds wanted; None keeps the last setting, an empty list is the default."""
        if kinds is None:
            return
        for kind in kinds:
            if kind not in UPDATE_KINDS:
                raise ApiError(400, f'Bad Request: unknown update type "{kind}"')
        self.allowed = frozenset(kinds) or None

    def push(self, kind: str, value: dict[str, Any], lane: int) -> int | None:
        """Queue one update; return its id, or None if the bot does not want the kind."""
        if not self.wanted(kind):
            return None
        return self.inject({kind: value}, lane=lane)

    def inject(self, update: dict[str, Any], *, update_id: int | None = None, lane: int = 0) -> int:
        """Queue an update of any shape, also one no client can parse; return its id."""
        if update_id is None:
            update_id = next(self._ids)
        else:
            self._unordered = True
        body = json.dumps({"update_id": update_id, **update}, separators=(",", ":")).encode()
        queued = Update(update_id, lane, self._wall(), body)
        self.pending[update_id] = self.history[update_id] = queued
        self._offer(queued)
        return update_id

    def replay(self, update_id: int) -> None:
        """Deliver an update of the past once more, whatever was confirmed."""
        again = self.history[update_id]
        if self.webhook is None:
            self._again.append(again)
        self._offer(again)

    def _offer(self, update: Update) -> None:
        if self.webhook is not None:
            self._lane(update)
        self._wake(True)
        self.on_change()

    def _wake(self, result: bool) -> None:
        if self._waiting is not None and not self._waiting.done():
            self._waiting.set_result(result)

    async def get(self, offset: int, limit: int, timeout_s: float) -> list[bytes]:
        """Return the bodies of unconfirmed updates, waiting up to `timeout_s` for one."""
        if self.webhook is not None:
            raise ApiError(
                409,
                "Conflict: can't use getUpdates method while webhook is active; "
                "use deleteWebhook to delete the webhook first",
            )
        self.polls += 1
        self._wake(False)
        self._confirm(offset)
        self._forget()
        deadline = asyncio.get_running_loop().time() + timeout_s
        while not self.pending and not self._again:
            left = deadline - asyncio.get_running_loop().time()
            if left <= 0:
                return []
            mine = self._waiting = asyncio.get_running_loop().create_future()
            self.on_change()
            try:
                stays = await asyncio.wait_for(mine, left)
            except TimeoutError:
                return []
            finally:
                if self._waiting is mine:
                    self._waiting = None
            if not stays:
                raise ApiError(
                    409,
                    "Conflict: terminated by other getUpdates request; "
                    "make sure that only one bot instance is running",
                )
        again, self._again = self._again, []
        first = list(itertools.islice(self.pending.values(), limit))
        return [update.body for update in [*again, *first][:limit]]

    def _confirm(self, offset: int) -> None:
        if offset < 0:
            for update_id in list(self.pending)[:offset]:
                self._done(update_id)
        elif self._unordered:
            for update_id in [i for i in self.pending if i < offset]:
                self._done(update_id)
        else:
            while self.pending and (first := next(iter(self.pending))) < offset:
                self._done(first)

    def _forget(self) -> None:
        limit = self._wall() - KEPT_S
        for update in list(self.pending.values()):
            if update.at >= limit:
                return
            del self.pending[update.update_id]
            self.forgotten.append(update.update_id)

    def _done(self, update_id: int) -> None:
        self.pending.pop(update_id, None)
        self.confirmed = max(self.confirmed, update_id)

    def release(self) -> None:
        """End a waiting poll with 409, as for another poller; used at shutdown."""
        self._wake(False)

    # Webhook -----------------------------------------------------------------------------

    def set_webhook(self, webhook: Webhook) -> None:
        """Push from now on, oldest pending first."""
        self.drop_webhook()
        self._forget()
        self.webhook = webhook
        self._wake(False)
        for update in self.pending.values():
            self._lane(update)

    def drop_webhook(self) -> None:
        """Stop pushing; what was not taken stays pending."""
        if self.webhook is not None:
            for task in self.webhook.workers.values():
                task.cancel()
        self.webhook = None
        self._lanes.clear()

    async def close(self) -> None:
        """Stop everything."""
        self.drop_webhook()
        self.release()
        if self._session is not None:
            await self._session.close()

    def _lane(self, update: Update) -> None:
        hook = self.webhook
        assert hook is not None
        self._lanes.setdefault(update.lane, deque()).append(update)
        self._start(hook)

    def _start(self, hook: Webhook) -> None:
        for lane in list(self._lanes):
            if len(hook.workers) >= hook.max_connections:
                return
            if lane not in hook.workers:
                hook.workers[lane] = asyncio.create_task(self._serve_lane(hook, lane))

    async def _serve_lane(self, hook: Webhook, lane: int) -> None:
        waiting = self._lanes[lane]
        while waiting:
            await self._deliver(hook, waiting[0])
            waiting.popleft()
        if self._lanes.get(lane) is waiting:
            del self._lanes[lane]
        hook.workers.pop(lane, None)
        self._start(hook)

    async def _deliver(self, hook: Webhook, update: Update) -> None:
        wait_s = self.retry_s
        for _ in range(self.attempts):
            error = await self._post(hook, update)
            if error is None:
                self._done(update.update_id)
                self.on_change()
                return
            hook.last_error, hook.last_error_at = error, int(self._wall())
            self.on_change()
            await asyncio.sleep(wait_s)
            wait_s = min(wait_s * 2, self.retry_s * 16)
        self.given_up.append(update.update_id)
        self._done(update.update_id)
        self.on_change()

    async def _post(self, hook: Webhook, update: Update) -> str | None:
        if self._session is None:
            self._session = aiohttp.ClientSession(timeout=aiohttp.ClientTimeout(total=10))
        targets = self.balance.get(hook.url) or [hook.url]
        target = targets[next(self._turn) % len(targets)]
        headers = {"Content-Type": "application/json"}
        if hook.secret:
            headers["X-Telegram-Bot-Api-Secret-Token"] = hook.secret
        try:
            async with self._session.post(target, data=update.body, headers=headers) as answer:
                text = await answer.read()
                if not 200 <= answer.status < 300:
                    return f"Wrong response from the webhook: {answer.status} {answer.reason}"
        except (aiohttp.ClientError, TimeoutError, OSError) as error:
            return f"Connection failed: {type(error).__name__}"
        if self.on_answer and text[:1] == b"{" and b'"method"' in text:
            await self.on_answer(json.loads(text))
        return None

    def webhook_info(self) -> dict[str, Any]:
        """Return WebhookInfo."""
        hook = self.webhook
        info: dict[str, Any] = {
            "url": hook.url if hook else "",
            "has_custom_certificate": False,
            "pending_update_count": len(self.pending),
        }
        if hook:
            info["max_connections"] = hook.max_connections
            if hook.ip_address:
                info["ip_address"] = hook.ip_address
            if hook.last_error_at is not None:
                info["last_error_date"] = hook.last_error_at
                info["last_error_message"] = hook.last_error
        if self.allowed is not None:
            info["allowed_updates"] = sorted(self.allowed)
        return info
