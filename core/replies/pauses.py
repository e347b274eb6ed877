"""What is said when reminders rest or go on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseSaid(Reply):
    """Reminders rest or go on.

    Attributes:
        trays: tray codes, where only those are meant.
        who: a member's name, where only they are meant; `own` when that is the speaker.
        until: the first day with reminders again; None = until somebody says so.
        off: they go on.
        rested: there was a pause to end.
    """

    trays: tuple[str, ...] = ()
    who: str | None = None
    own: bool = False
    until: date | None = None
    off: bool = False
    rested: bool = True
