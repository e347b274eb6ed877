"""Whose turn it is: the chat that has used least is served first.

A fair queue by start times (Goyal, Vin and Cheng 1996, from memory): work of a chat may begin
where its last ended, on a scale of time used that runs with what is in service. Who has used
much stands behind; who has been away has nothing in store, and nobody waits for ever.
"""

from __future__ import annotations

import asyncio
import heapq
import itertools
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

MOST_KNOWN = 10_000


class Shares:
    """What each chat has used: seconds, or what else it is charged.

    Args:
        alike: those that stand behind by no more than so much are served as they come.
        most: what is charged at once; what is loaded for everybody is nobody's debt.
    """

    def __init__(self, alike: float = 0.0, most: float = float("inf")) -> None:
        self._now, self._alike, self._most = 0.0, alike, most
        self._ends: dict[str, float] = {}

    def turn(self, chat: str) -> float:
        """Return where a chat stands: the lowest is served first, among equals the first come."""
        end = self._ends.get(chat, 0.0)
        return end if end > self._now + self._alike else self._now

    def charge(self, chat: str, used: float) -> None:
        """A chat was served, and has used so much."""
        self._now = max(self._now, self._ends.get(chat, 0.0))
        self._ends[chat] = self._now + min(max(0.0, used), self._most)
        if len(self._ends) > MOST_KNOWN:
            most = heapq.nlargest(MOST_KNOWN // 2, self._ends.items(), key=lambda one: one[1])
            self._ends = dict(most)  # who has used little stands as one who is new


class Lane:
    """Room for so much heavy work at a time, given to the chats in their turn."""

    def __init__(self, at_once: int) -> None:
        self._room, self.shares = at_once, Shares()
        self._numbers = itertools.count()
        self._waiting: list[tuple[float, int, asyncio.Future[None]]] = []

    @asynccontextmanager
    async def turn(self, chat: str) -> AsyncIterator[None]:
        """Wait for room, and have it until the end of the block."""
        if self._room == 0:
            await self._wait(chat)
        else:
            self._room -= 1
        began = time.monotonic()
        try:
            yield
        finally:
            self.shares.charge(chat, time.monotonic() - began)
            self._next()

    async def _wait(self, chat: str) -> None:
        room: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        heapq.heappush(self._waiting, (self.shares.turn(chat), next(self._numbers), room))
        try:
            await room
        except asyncio.CancelledError:
            if room.done() and not room.cancelled():
                self._next()  # it was given and is not wanted any more
            raise

    def _next(self) -> None:
        while self._waiting:
            room = heapq.heappop(self._waiting)[2]
            if not room.done():
                room.set_result(None)
                return
        self._room += 1
