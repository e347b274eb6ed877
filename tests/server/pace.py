"""The platform's sending limits, answered with 429 when the bot's own pace exceeds them.

Published: about 30 messages a second over all chats; in one chat no more than one a second,
short bursts allowed; in one group no more than 20 a minute.
Source: Bots FAQ, "My bot is hitting limits, how do I avoid this?".
How long a burst may be is not published; `burst` is a setting of this server.
"""

from __future__ import annotations

import math
from collections import deque

from tests.server.contract import ApiError


class Pace:
    """Counts messages sent and refuses those over the limits.

    Attributes:
        enabled: False lets everything through (and counts nothing).
        overall_per_s, group_per_min: messages in any window of that length.
        chat_per_s, burst: one chat's steady rate and how many may come at once.
        tolerance_s: how much shorter than stated the windows are, for jitter on the way here.
        refused: messages refused for the caller's own pace, by limit.
        early: messages that came before a stated `retry_after` had run out.
    """

    def __init__(self, *, enabled: bool = True) -> None:
        self.enabled = enabled
        self.overall_per_s = 30
        self.group_per_min = 20
        self.chat_per_s = 1.0
        self.burst = 3
        self.tolerance_s = 0.05
        self.refused = {"overall": 0, "chat": 0, "group": 0}
        self.early = 0
        self._overall: deque[float] = deque()
        self._groups: dict[int, deque[float]] = {}
        self._chats: dict[int, float] = {}
        self._until: dict[int, float] = {}

    def hold(self, chat_id: int, now: float, retry_after_s: int) -> None:
        """Refuse this chat until `retry_after_s` from now, whatever the limits say."""
        self._until[chat_id] = now + retry_after_s

    def take(self, chat_id: int, is_group: bool, now: float, count: int = 1) -> None:
        """Count `count` messages at monotonic time `now` (s); raise ApiError 429 if too many."""
        until = self._until.get(chat_id, 0.0)
        if now + self.tolerance_s < until:
            self.early += 1
            raise too_many(math.ceil(until - now))
        if not self.enabled:
            return
        overall_s, group_s = 1 - self.tolerance_s, 60 - self.tolerance_s
        group = self._groups.setdefault(chat_id, deque()) if is_group else None
        _forget(self._overall, now - overall_s)
        due = self._chats.get(chat_id, 0.0)
        earliest = now + (self.burst - 1) / self.chat_per_s + self.tolerance_s
        if len(self._overall) + count > self.overall_per_s:
            self._refuse("overall", chat_id, now, 1.0)
        if due > earliest:
            self._refuse("chat", chat_id, now, due - earliest)
        if group is not None:
            _forget(group, now - group_s)
            if len(group) + count > self.group_per_min:
                self._refuse("group", chat_id, now, group[0] + group_s - now if group else 60.0)
            group.extend([now] * count)
        self._overall.extend([now] * count)
        self._chats[chat_id] = max(due, now) + count / self.chat_per_s

    def _refuse(self, limit: str, chat_id: int, now: float, wait_s: float) -> None:
        self.refused[limit] += 1
        retry_after_s = max(1, math.ceil(wait_s))
        self.hold(chat_id, now, retry_after_s)
        raise too_many(retry_after_s)


def too_many(retry_after_s: int) -> ApiError:
    """Return the 429 answer."""
    return ApiError(
        429, f"Too Many Requests: retry after {retry_after_s}", retry_after=retry_after_s
    )


def _forget(times: deque[float], before: float) -> None:
    while times and times[0] <= before:
        times.popleft()
