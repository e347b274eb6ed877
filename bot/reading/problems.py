"""What the reader cannot settle by itself."""

from __future__ import annotations

from dataclasses import dataclass

from bot.grammar.problems import NotUnderstood


@dataclass(eq=False, kw_only=True)
class Asks(NotUnderstood):
    """One piece is missing: count, tray, crop, cells, date, unit, place or what."""

    asks: str
    frame: str
    typed: str


@dataclass(eq=False, kw_only=True)
class NothingTold(NotUnderstood):
    """No report was made.

    Attributes:
        why: question, ahead, request, not, if, elsewhere, thanks, or unread.
    """

    why: str
