"""How many messages the courier may have in hand at once: as few as the pace allows.

What is in hand when the process is killed is in doubt: it may have reached its chat or not, and
is said again. One at a time is therefore the rule, and at most one message is then said again
after a kill. Two things loosen it:

- A call that takes longer than SLOW_S is not waited for: the platform hangs, or that chat does.
- When more waits than gets away for HURRY_S on end, as many go side by side as the pace needs
  for the time each is in hand: over a line of 100 ms, three.

All times are monotonic seconds, handed in.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.delivery.pace import OVERALL_PER_S
from bot.delivery.shares import Shares

MOST = 30
UNPACED = 12  # the client looks at every idle connection with each call
SLOW_S = 1.0
HURRY_S = 2.0
WEIGHT = 0.1  # of the latest in the mean of the times in hand


@dataclass(slots=True, kw_only=True)
class Hand:
    """What is in hand, by chat, since when; `unlimited` = as many as may be, whatever the line."""

    unlimited: bool = False
    _taken: dict[int, float] = field(default_factory=dict)
    _behind_since: float | None = None
    _in_hand_s: float = 0.0
    _shares: Shares = field(default_factory=Shares)

    def room(self, now: float) -> int:
        """Return how many more may be taken in hand."""
        if self.unlimited:
            return UNPACED - len(self._taken)
        young = sum(now - at < SLOW_S for at in self._taken.values())
        return min(self._at_once(now) - young, MOST - len(self._taken))

    def free_at(self, now: float) -> float:
        """Return when there is room without anything being settled."""
        if self.room(now) > 0:
            return now
        young = [at for at in self._taken.values() if now - at < SLOW_S]
        return min(young, default=now) + SLOW_S

    def _at_once(self, now: float) -> int:
        if self._behind_since is None or now - self._behind_since < HURRY_S:
            return 1
        return 1 + int(OVERALL_PER_S * self._in_hand_s)

    def take(self, chat: int, now: float, cost: float = 1.0) -> None:
        """A message to a chat is taken in hand; what it costs counts for whose turn it is."""
        self._taken[chat] = now
        self._shares.charge(str(chat), cost)

    def turn(self, chat: int) -> float:
        """Return where a chat stands: the lowest has its message next."""
        return self._shares.turn(str(chat))

    def settle(self, chat: int, now: float) -> None:
        """What became of the message to a chat is known."""
        at = self._taken.pop(chat, None)
        if at is not None and now - at < SLOW_S:
            self._in_hand_s += WEIGHT * (now - at - self._in_hand_s)

    def looked(self, now: float, *, more: bool) -> None:
        """A look at the outbox found more waiting than there was room for, or not."""
        if not more:
            self._behind_since = None
        elif self._behind_since is None:
            self._behind_since = now
