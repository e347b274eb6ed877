"""What the grammar could not read: values only; `bot/wording` owns the words.

Every class is a `UserError`. `command` is a command word without the slash.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.errors import UserError


@dataclass(eq=False, kw_only=True)
class NotUnderstood(UserError):
    """Base of everything the grammar could not read."""


@dataclass(eq=False, kw_only=True)
class EmptyMessage(NotUnderstood):
    """Nothing but blanks, signs or pictures."""


@dataclass(eq=False, kw_only=True)
class TooLong(NotUnderstood):
    """A line longer than `limit` characters: nothing of it was read."""

    length: int
    limit: int


@dataclass(eq=False, kw_only=True)
class TooManyLines(NotUnderstood):
    """The message has more lines than are read at once; the first `kept` were read."""

    kept: int
    dropped: int


@dataclass(eq=False, kw_only=True)
class CommandUnknown(NotUnderstood):
    """No command in the line; `nearest` are command words somewhat alike, best first."""

    typed: str
    nearest: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class CropNotSaid(NotUnderstood):
    """The command needs a crop."""

    command: str


@dataclass(eq=False, kw_only=True)
class CropNotKnown(NotUnderstood):
    """A word stands where a crop should and is none; `nearest` are crop ids, best first."""

    typed: str
    nearest: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class NumberNotSaid(NotUnderstood):
    """The command needs a number."""

    command: str


@dataclass(eq=False, kw_only=True)
class NumberOdd(NotUnderstood):
    """A number outside what the command takes (lo..hi, both included)."""

    command: str
    given: float
    lo: float
    hi: float


@dataclass(eq=False, kw_only=True)
class TrayNotSaid(NotUnderstood):
    """The command, or the cells named, need one tray."""

    command: str
    cells: str | None = None


@dataclass(eq=False, kw_only=True)
class OneTrayAtATime(NotUnderstood):
    """Cells were named with more than one tray: a line each is clear."""

    trays: tuple[str, ...]
    cells: str


@dataclass(eq=False, kw_only=True)
class CellsNotSaid(NotUnderstood):
    """A sowing needs its cells, or how many of them."""

    command: str


@dataclass(eq=False, kw_only=True)
class WhatNotSaid(NotUnderstood):
    """The command says nothing yet: `needs` names the part missing.

    Attributes:
        needs: `reading`, `level`, `text`, `notice`, `choice`, `sets`, `name`, `date`.
    """

    command: str
    needs: str


@dataclass(eq=False, kw_only=True)
class LeftOver(NotUnderstood):
    """Words that were not understood; nothing was dropped, so nothing was read."""

    command: str
    words: str


@dataclass(eq=False, kw_only=True)
class DateNotUnderstood(NotUnderstood):
    """Something like a date that is none, such as 31 April."""

    typed: str


@dataclass(eq=False, kw_only=True)
class TimeNotUnderstood(NotUnderstood):
    """Something like a time of day that is none, such as 25:00."""

    typed: str


@dataclass(eq=False, kw_only=True)
class UnitClash(NotUnderstood):
    """Two readings of one kind, or a unit that the command does not take."""

    command: str
    typed: str


@dataclass(eq=False, kw_only=True)
class FrostPercentOdd(NotUnderstood):
    """A frost date is kept for a chance of 10, 50 or 90 percent only."""

    given: float


@dataclass(eq=False, kw_only=True)
class FrostOrder(NotUnderstood):
    """Of the frost dates the smaller chance must be the later date."""
