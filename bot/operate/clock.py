"""Clocks: the system's, and one that stands still until it is moved."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """Says what time it is."""

    def now(self) -> datetime: ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        return datetime.now(UTC)


class MovableClock:
    """A clock that follows the system until it is set, and then stands where it is put."""

    def __init__(self, at: datetime | None = None) -> None:
        self._at = at

    def now(self) -> datetime:
        return self._at if self._at is not None else datetime.now(UTC)

    @property
    def moved(self) -> bool:
        return self._at is not None

    def set(self, at: datetime) -> None:
        """Put the clock at an aware instant, forwards or back."""
        if at.tzinfo is None:
            raise ValueError("a naive instant")
        self._at = at.astimezone(UTC)
