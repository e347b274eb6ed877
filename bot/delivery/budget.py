"""How much one chat may ask: what is more waits its turn, so that it starves nobody else.

Nothing is refused or lost: a chat that has used up what it may is left alone until it may again,
and is told so once.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

BURST, A_SECOND = 120.0, 0.5  # updates: a class of thirty joins and reports twice each, then eases
HEAVY_BURST, HEAVY_A_SECOND = 6.0, 1 / 30  # files read and plans solved
TOLD_EVERY_S = 600.0
FORGOTTEN_S = 600.0  # a chat that has been quiet so long has its whole burst again
MOST_KNOWN = 10_000


class Waits(Exception):
    """A chat has used up what it may; `wait_s` until it may again."""

    def __init__(self, wait_s: float) -> None:
        super().__init__()
        self.wait_s = wait_s


@dataclass(slots=True)
class _Bucket:
    left: float
    at: float

    def take(self, now: float, most: float, a_second: float) -> float:
        """Take one, or return in how many seconds there is one."""
        self.left = min(most, self.left + (now - self.at) * a_second)
        self.at = now
        if self.left >= 1:
            self.left -= 1
            return 0.0
        return (1 - self.left) / a_second


class Budget:
    """Buckets by chat; `unlimited` for tests."""

    def __init__(self, *, unlimited: bool = False) -> None:
        self.unlimited = unlimited
        self._light: dict[str, _Bucket] = {}
        self._heavy: dict[str, _Bucket] = {}
        self._told: dict[str, float] = {}

    def take(self, chat: str) -> None:
        """Count an update; raise Waits where the chat has had its share."""
        self._take(self._light, chat, BURST, A_SECOND)

    def take_heavy(self, chat: str) -> None:
        """Count a piece of heavy work; raise Waits where the chat has had its share."""
        self._take(self._heavy, chat, HEAVY_BURST, HEAVY_A_SECOND)

    def _take(self, buckets: dict[str, _Bucket], chat: str, most: float, a_second: float) -> None:
        if self.unlimited:
            return
        now = time.monotonic()
        if len(buckets) > MOST_KNOWN:
            self._drop(buckets, now)
        wait_s = buckets.setdefault(chat, _Bucket(most, now)).take(now, most, a_second)
        if wait_s > 0:
            raise Waits(wait_s)

    def tell(self, chat: str) -> bool:
        """Whether a chat that waits is to be told so now."""
        now = time.monotonic()
        if now - self._told.get(chat, -TOLD_EVERY_S) < TOLD_EVERY_S:
            return False
        self._told = {one: at for one, at in self._told.items() if now - at < TOLD_EVERY_S}
        self._told[chat] = now
        return True

    @staticmethod
    def _drop(buckets: dict[str, _Bucket], now: float) -> None:
        for chat in [chat for chat, one in buckets.items() if now - one.at > FORGOTTEN_S]:
            del buckets[chat]
