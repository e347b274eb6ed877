"""What is said of reminders that members asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class ReminderSet(Reply):
    """Somebody is going to be reminded.

    Attributes:
        id: to take it back by.
        who: a member's name; None = whoever is on duty that day. `own` when it is the speaker.
    """

    id: int
    on: date
    text: str
    who: str | None = None
    own: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReminderEnded(Reply):
    """A reminder was taken back, or what it was about is done; `again`: it had ended before."""

    text: str
    done: bool
    again: bool
