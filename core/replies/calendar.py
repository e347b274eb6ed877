"""The group's dates as a calendar file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarSaid(Reply):
    """What the file holds.

    Attributes:
        member_id: whose duty days it holds; None = everybody's.
        counts: (kind, number) of each kind of event that takes place.
        first, last: dates spanned; None when it is empty.
    """

    group_id: int
    member_id: int | None
    counts: tuple[tuple[str, int], ...]
    first: date | None
    last: date | None
