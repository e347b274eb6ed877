"""What the coming weeks would bring, as they were rehearsed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply

Days = tuple[tuple[date, int], ...]
"""Days with how many messages come on each, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RehearsalSaid(Reply):
    """Who would get how many messages on which day.

    Attributes:
        first, last: the days played.
        group: days on which the group hears something.
        own: member's name → days on which they hear something in private; () = never.
        busiest: the days with most messages, of those with several; the busiest first.
        open_days: days with work for whoever is on duty, and nobody on duty.
        habits: member's name → how they answered, of those who do not always.
    """

    first: date
    last: date
    group: Days
    own: Mapping[str, Days]
    busiest: Days
    open_days: tuple[date, ...]
    habits: Mapping[str, str]
