"""How much one chat and one person may ask, so that neither starves anybody else.

A chat that has used up what it may is left alone until it may again, and is told so once. Nothing
of it is refused up to MOST_WAITING. In a group one person cannot use up what all of it may: what
somebody writes beyond their own share there stays unread, which is said once.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

BURST, A_SECOND = 120.0, 0.5  # updates: a class of thirty joins and reports twice each, then eases
PERSON_BURST, PERSON_A_SECOND = 80.0, 1 / 3  # commands of one person in groups, all together
HEAVY_BURST, HEAVY_A_SECOND = 6.0, 1 / 30  # files read and plans solved, of a chat or a person
MOST_WAITING = 1000  # updates of one chat; at A_SECOND they take half an hour
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
        self._people: dict[str, _Bucket] = {}
        self._told: dict[str, float] = {}

    def take(self, chat: str) -> None:
        """Count an update; raise Waits where the chat has had its share."""
        self._take(self._light, chat, BURST, A_SECOND)

    def take_person(self, person: str) -> bool:
        """Count a command that somebody gave in a group; False where they have had their share."""
        return self._waits(self._people, person, PERSON_BURST, PERSON_A_SECOND) == 0

    def take_heavy(self, chat: str, person: str | None = None) -> None:
        """Count a piece of heavy work; raise Waits where chat or person has had their share."""
        self._take(self._heavy, chat, HEAVY_BURST, HEAVY_A_SECOND)
        if person is not None and person != chat:
            self._take(self._heavy, f"of {person}", HEAVY_BURST, HEAVY_A_SECOND)

    def _take(self, buckets: dict[str, _Bucket], chat: str, most: float, a_second: float) -> None:
        wait_s = self._waits(buckets, chat, most, a_second)
        if wait_s > 0:
            raise Waits(wait_s)

    def _waits(self, buckets: dict[str, _Bucket], key: str, most: float, a_second: float) -> float:
        if self.unlimited:
            return 0.0
        now = time.monotonic()
        if len(buckets) > MOST_KNOWN:
            self._drop(buckets, now)
        return buckets.setdefault(key, _Bucket(most, now)).take(now, most, a_second)

    def tell(self, chat: str) -> bool:
        """Whether a chat that waits, or a person in it, is to be told so now."""
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
