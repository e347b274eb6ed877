"""How fast messages may go out, within the platform's published limits.

Published: about 30 messages a second over all chats, in one chat no more than one a second with
short bursts allowed, in one group no more than 20 a minute.
Source: Bots FAQ, "My bot is hitting limits, how do I avoid this?". How long a burst may be is not
published: three, from memory.

Messages are spread evenly rather than sent thirty at a time, so that they can go one by one (see
bot/delivery/hand.py). A chat's time runs from the answer to the last message, which is never before
the platform counted it.

All times are monotonic seconds, handed in.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

OVERALL_PER_S = 29.0
SLACK_S = 0.02  # how much a late start may catch up
CHAT_PER_S = 1.0
BURST = 3
GROUP_PER_MIN = 20
OVERALL_MOST, WINDOW_S = 30, 0.97  # answered for in that time or still on the way
MINUTE_S = 60.5
SWEEP_S = 5.0


@dataclass(slots=True, kw_only=True)
class Pace:
    """The state of one sender; `unlimited` lets everything through at once."""

    unlimited: bool = False
    _next: float = 0.0
    _held: float = 0.0
    _flying: int = 0
    _ended: deque[float] = field(default_factory=deque)
    _chats: dict[int, float] = field(default_factory=dict)
    _groups: dict[int, deque[float]] = field(default_factory=dict)
    _swept: float = 0.0

    def room(self, now: float) -> int:
        """Return how many messages may be started now: none or one, unless unlimited."""
        if self.unlimited and now >= self._held:
            return 1_000_000
        while self._ended and self._ended[0] <= now - WINDOW_S:
            self._ended.popleft()
        return int(now >= self.next_at())

    def next_at(self) -> float:
        """Return when the next message may be started."""
        if self.unlimited:
            return self._held
        full = self._flying + len(self._ended) >= OVERALL_MOST
        freed = self._ended[0] + WINDOW_S if full and self._ended else 0.0
        return max(self._next, self._held, freed)

    def start(self, now: float) -> None:
        """A message is started."""
        self._flying += 1
        self._next = max(self._next, now - SLACK_S) + 1 / OVERALL_PER_S

    def hold(self, until: float) -> None:
        """Start nothing before an instant."""
        self._held = max(self._held, until)

    def end(self, chat: int, group: bool, now: float, counted: bool = True) -> None:
        """A message to a chat was answered for, however; `counted`: among those of its chat."""
        self._flying = max(0, self._flying - 1)
        if self.unlimited:
            return
        self._ended.append(now)
        if not counted:
            return
        self._chats[chat] = max(self._chats.get(chat, 0.0), now) + 1 / CHAT_PER_S
        if group:
            self._groups.setdefault(chat, deque()).append(now)
        if now - self._swept > SWEEP_S:
            self._sweep(now)

    def free_at(self, chat: int, now: float) -> float:
        """Return when a chat may have its next message; not after `now` = at once."""
        at = self._chats.get(chat, 0.0) - (BURST - 1) / CHAT_PER_S
        sent = self._groups.get(chat)
        if sent:
            while len(sent) > 1 and sent[0] <= now - MINUTE_S:
                sent.popleft()
            if len(sent) >= GROUP_PER_MIN:
                at = max(at, sent[-GROUP_PER_MIN] + MINUTE_S)
        return at

    def held(self, now: float) -> dict[int, float]:
        """Return the chats that must wait, and until when."""
        if self.unlimited:
            return {}
        waits = {chat: self.free_at(chat, now) for chat in self._chats}
        return {chat: at for chat, at in waits.items() if at > now}

    def _sweep(self, now: float) -> None:
        self._swept = now
        for chat in [c for c, sent in self._groups.items() if sent[-1] <= now - MINUTE_S]:
            del self._groups[chat]
        self._chats = {
            chat: due for chat, due in self._chats.items() if due > now or chat in self._groups
        }
